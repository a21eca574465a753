"""Writes a drawing as SVG through a template: millimetres on paper, text as text."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from girderply.drawing.lettering import font_size, text_box, text_origin
from girderply.drawing.page import Drawing
from girderply.drawing.resources import template_folder
from girderply.drawing.shapes import Circle, Cross, Dot, Line, Point, Polygon, Polyline, Shape, Text
from girderply.drawing.style import Pen, shade

if TYPE_CHECKING:
    from jinja2 import Template

Plain = dict[str, object]


def mm(value: float) -> str:
    """A length on paper to a hundredth of a millimetre, without needless zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def write_svg(drawing: Drawing) -> str:
    """The drawing as one SVG document with exact millimetre sizes.

    Masks of lettering lie over lines and under dots and crosses: no fastener is ever hidden.
    """
    lines = [_item(s) for s in drawing.shapes if not isinstance(s, Text | Dot | Cross)]
    signs = [_item(s) for s in drawing.shapes if isinstance(s, Dot | Cross)]
    texts = [t for t in drawing.shapes if isinstance(t, Text)]
    masks = [_path_item(text_box(t, 0.3), None, 1.0) for t in texts if t.mask]
    return _template("drawing.svg").render(
        title=drawing.title or drawing.name,
        width=mm(drawing.width),
        height=mm(drawing.height),
        items=lines + masks + signs,
        texts=[_text_item(t) for t in texts],
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


def _item(shape: Shape) -> Plain:
    if isinstance(shape, Line):
        return _path_item((shape.a, shape.b), shape.pen, None, closed=False)
    if isinstance(shape, Polyline):
        return _path_item(shape.points, shape.pen, None, closed=False)
    if isinstance(shape, Polygon):
        return _path_item(shape.points, shape.pen, shape.fill)
    if isinstance(shape, Circle):
        return _circle_item(shape.centre, shape.radius, shape.pen, shape.fill)
    if isinstance(shape, Dot):
        fill = shape.pen.grey if shape.filled else 1.0
        return _circle_item(shape.centre, (shape.diameter - shape.pen.width) / 2, shape.pen, fill)
    if isinstance(shape, Cross):
        return _cross_item(shape)
    raise TypeError(f"not a shape that is drawn: {shape!r}")


def _ink(pen: Pen | None, fill: float | None) -> Plain:
    return {
        "stroke": pen.colour if pen else "none",
        "stroke_width": mm(pen.width) if pen else "",
        "dash": " ".join(mm(d) for d in pen.dash) if pen else "",
        "fill": "none" if fill is None else shade(fill),
    }


def _path_item(
    points: tuple[Point, ...], pen: Pen | None, fill: float | None, closed: bool = True
) -> Plain:
    d = "M" + "L".join(f"{mm(x)} {mm(y)}" for x, y in points) + ("Z" if closed else "")
    return {"kind": "path", "d": d} | _ink(pen, fill)


def _circle_item(centre: Point, radius: float, pen: Pen, fill: float | None) -> Plain:
    place = {"kind": "circle", "cx": mm(centre[0]), "cy": mm(centre[1]), "r": mm(radius)}
    return place | _ink(pen, fill)


def _cross_item(shape: Cross) -> Plain:
    (x, y), half = shape.centre, shape.size / 2
    d = f"M{mm(x - half)} {mm(y)}H{mm(x + half)}M{mm(x)} {mm(y - half)}V{mm(y + half)}"
    return {"kind": "path", "d": d} | _ink(shape.pen, None)


def _text_item(text: Text) -> Plain:
    x, y = text_origin(text)
    turn = "" if text.angle == 0 else f"rotate({mm(-text.angle)} {mm(x)} {mm(y)})"
    return {
        "x": mm(x),
        "y": mm(y),
        "turn": turn,
        "size": mm(font_size(text.height) + 0.005),
        "anchor": text.anchor,
        "weight": "bold" if text.bold else "normal",
        "fill": "none" if text.hollow else shade(text.grey),
        "stroke": shade(text.grey) if text.hollow else "",
        "text": text.text,
    }
