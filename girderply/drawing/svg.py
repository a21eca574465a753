"""Writes a drawing as SVG through a template: millimetres on paper, text as text."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING

from girderply.drawing.lettering import font_size, text_box, text_origin
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import (
    Circle,
    Cross,
    Dot,
    Line,
    Point,
    Polygon,
    Polyline,
    Shape,
    Text,
)
from girderply.drawing.resources import template_folder
from girderply.drawing.style import Pen, shade

if TYPE_CHECKING:
    from jinja2 import Template


def mm(value: float) -> str:
    """A length on paper to a hundredth of a millimetre, without needless zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def write_svg(drawing: Drawing) -> str:
    """The drawing as one SVG document with exact millimetre sizes.

    Masks of lettering lie over lines and under dots and crosses: no fastener is ever hidden.
    Elements are written here, not in the template: a pack has tens of thousands of them.
    """
    from markupsafe import Markup  # noqa: PLC0415

    lines = [_element(s) for s in drawing.shapes if not isinstance(s, Text | Dot | Cross)]
    signs = [_element(s) for s in drawing.shapes if isinstance(s, Dot | Cross)]
    texts = [t for t in drawing.shapes if isinstance(t, Text)]
    masks = [_path(text_box(t, 0.3), None, 1.0) for t in texts if t.mask]
    return _template("drawing.svg").render(
        title=drawing.title or drawing.name,
        width=mm(drawing.width),
        height=mm(drawing.height),
        shapes=Markup("".join(lines + masks + signs)),
        lettering=Markup("".join(map(_lettering, texts))),
    )


@cache
def _template(name: str) -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # noqa: PLC0415

    loader = FileSystemLoader(template_folder() / "svg")
    environment = Environment(
        loader=loader,
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template(name)


def _element(shape: Shape) -> str:
    if isinstance(shape, Line):
        return _path((shape.a, shape.b), shape.pen, None, closed=False)
    if isinstance(shape, Polyline):
        return _path(shape.points, shape.pen, None, closed=False)
    if isinstance(shape, Polygon):
        return _path(shape.points, shape.pen, shape.fill)
    if isinstance(shape, Circle):
        return _circle(shape.centre, shape.radius, shape.pen, shape.fill)
    if isinstance(shape, Dot):
        fill = shape.pen.grey if shape.filled else 1.0
        return _circle(shape.centre, (shape.diameter - shape.pen.width) / 2, shape.pen, fill)
    if isinstance(shape, Cross):
        return _cross(shape)
    raise TypeError(f"not a shape that is drawn: {shape!r}")


@lru_cache(maxsize=512)
def _ink(pen: Pen | None, fill: float | None) -> str:
    """The attributes of a line and of what it encloses."""
    ink = f' fill="{"none" if fill is None else shade(fill)}"'
    if pen:
        ink += f' stroke="{pen.colour}" stroke-width="{mm(pen.width)}"'
    if pen and pen.dash:
        ink += f' stroke-dasharray="{" ".join(map(mm, pen.dash))}"'
    return ink


def _path(
    points: tuple[Point, ...], pen: Pen | None, fill: float | None, closed: bool = True
) -> str:
    d = "M" + "L".join([f"{mm(x)} {mm(y)}" for x, y in points]) + ("Z" if closed else "")
    return f'<path d="{d}"{_ink(pen, fill)}/>\n'


def _circle(centre: Point, radius: float, pen: Pen, fill: float | None) -> str:
    x, y = centre
    return f'<circle cx="{mm(x)}" cy="{mm(y)}" r="{mm(radius)}"{_ink(pen, fill)}/>\n'


def _cross(shape: Cross) -> str:
    (x, y), half = shape.centre, shape.size / 2
    d = f"M{mm(x - half)} {mm(y)}H{mm(x + half)}M{mm(x)} {mm(y - half)}V{mm(y + half)}"
    return f'<path d="{d}"{_ink(shape.pen, None)}/>\n'


def _lettering(text: Text) -> str:
    """A line of text; what it says is escaped, whoever wrote it."""
    from markupsafe import escape  # noqa: PLC0415

    x, y = (mm(v) for v in text_origin(text))
    size = mm(font_size(text.height) + 0.005)
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    weight = ' font-weight="bold"' if text.bold else ""
    turn = f' transform="rotate({mm(-text.angle)} {x} {y})"' if text.angle else ""
    grey = shade(text.grey)
    ink = f' fill="none" stroke="{grey}" stroke-width="0.45"' if text.hollow else f' fill="{grey}"'
    where = f'x="{x}" y="{y}" font-size="{size}"'
    return f"<text {where}{anchor}{weight}{turn}{ink}>{escape(text.text)}</text>\n"
