"""The legend of a drawing: the signs that it uses, in words, in as many lines as it takes."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.drawing import style, symbols
from girderply.drawing.dimension import arrow
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Drawing
from girderply.drawing.shapes import Circle, Line, Polygon, Shape, Text, moved
from girderply.schedule.types import Schedule
from girderply.wording import phrase

_LINE, _SIGN = 5.4, 8.0


def legend(schedule: Schedule, width: float, stage: bool) -> Drawing:
    """A strip `width` mm wide; `stage` adds the light signs of earlier stages."""
    drawing = Drawing("legend", width, _LINE)
    x, y = 0.0, _LINE / 2
    for sign, words in _entries(schedule, stage):
        need = _SIGN + text_width(words, style.SMALL) + 5.0
        if x + need > width and x > 0:
            x, y = 0.0, y + _LINE
        drawing.add(*(moved(s, x + 3.4, y) for s in sign))
        drawing.add(Text((x + _SIGN, y), words, style.SMALL, "start", tag="legend"))
        x += need
    drawing.height = y + _LINE / 2
    return drawing


def _entries(schedule: Schedule, stage: bool) -> Iterator[tuple[list[Shape], str]]:
    f = schedule.fasteners
    if f.driven.any():
        kind = schedule.driven
        yield [symbols.nail_sign((0, 0), True, True)], phrase(f"legend.{kind}")
        yield [symbols.nail_sign((0, 0), False, True)], phrase(f"legend.{kind}_other")
    if f.clench.any():
        tick = Line((0, 0), (0, -1.9), style.MEDIUM)
        yield [tick, symbols.nail_sign((0, 0), True, True)], phrase("legend.clench")
    if (f.kind == "bolt").any():
        look = symbols.Look("front", True, 1.0)
        yield symbols.bolt_sign((0, 0), 2.4, look), phrase("legend.bolt")
    if stage:
        light: list[Shape] = [symbols.nail_sign((2.4, 0), True, False)]
        if (f.kind == "bolt").any():
            light += symbols.bolt_sign((-1.2, 0), 1.6, symbols.Look("front", False, 1.0))
        yield light, phrase("legend.light")
    yield from _timber_entries(schedule)


def _timber_entries(schedule: Schedule) -> Iterator[tuple[list[Shape], str]]:
    box = ((-3.0, -1.5), (3.0, -1.5), (3.0, 1.5), (-3.0, 1.5))
    if any(not p.assumed for p in schedule.girder.plates):
        yield [*symbols.hatch(box, 1.6), Polygon(box, style.PLATE)], phrase("legend.plate")
    if schedule.plates_assumed:
        yield [Polygon(box, style.PLATE_ASSUMED)], phrase("legend.plate_assumed")
    hook: list[Shape] = [
        Line((-2.6, -1.9), (-2.6, 1.9), style.HEAVY),
        Polygon(((0.8, 0), (-1.8, 1), (-1.8, -1)), None, 0.0),
    ]
    yield list(hook), phrase("legend.hook")
    if schedule.girder.loads:
        small = ((-1.4, -1.7), (1.4, -1.7), (1.4, 1.7), (-1.4, 1.7))
        yield [Polygon(small, style.BRACKET)], phrase("legend.bracket")
        yield [Polygon(small, style.BRACKET_BACK)], phrase("legend.bracket_other")
    yield (
        [Circle((-2.2, 0), 0.9, style.DIMENSION), Line((-1.3, 0), (2.0, 0)), arrow((3.0, 0), 0.0)],
        phrase("legend.station"),
    )
