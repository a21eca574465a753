"""The legend of a drawing: the signs that it uses, in words, in as many lines as it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from girderply.drawing import style, symbols
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Polygon, Shape, Text, moved
from girderply.schedule.types import Fasteners, Schedule
from girderply.wording import Voice

_LINE, _SIGN = 5.4, 8.0


@dataclass(frozen=True, slots=True)
class Shown:
    """What a sheet shows, so that its legend has that and nothing else.

    Attributes:
        now: fasteners that are done here. before: those that stand there already.
        face: that is seen. clench: points are bent over here. empty: marks that stay empty.
        hooks: hook ends are drawn. loads: hung loads are drawn as arrows.
    """

    now: Fasteners
    before: Fasteners
    face: str
    clench: bool = False
    empty: bool = False
    hooks: bool = True
    loads: bool = False


def legend(voice: Voice, schedule: Schedule, width: float, shown: Shown) -> Drawing:
    """A strip `width` mm wide with the signs of one sheet in words."""
    drawing = Drawing("legend", width, _LINE, title=voice.phrase("legend.title"))
    x, y = 0.0, _LINE / 2
    for sign, words in _entries(voice, schedule, shown):
        need = _SIGN + text_width(words, style.SMALL) + 5.0
        if x + need > width and x > 0:
            x, y = 0.0, y + _LINE
        drawing.add(*(moved(s, x + 3.4, y) for s in sign))
        drawing.add(Text((x + _SIGN, y), words, style.SMALL, "start", tag="legend"))
        x += need
    drawing.height = y + _LINE / 2
    return drawing


def _entries(voice: Voice, schedule: Schedule, shown: Shown) -> Iterator[tuple[list[Shape], str]]:
    now, kind = shown.now, schedule.driven
    if (now.driven & (now.face == shown.face)).any():
        yield [symbols.nail_sign((0, 0), True, True)], voice.phrase(f"legend.{kind}")
    if (now.driven & (now.face != shown.face)).any():
        yield [symbols.nail_sign((0, 0), False, True)], voice.phrase(f"legend.{kind}_other")
    if shown.clench:
        tick = Line((0, 0), (0, -1.9), style.MEDIUM)
        yield [tick, symbols.nail_sign((0, 0), False, True)], voice.phrase("legend.clench")
    yield from _bolt_entries(voice, schedule, now)
    if len(shown.before):
        light: list[Shape] = [symbols.nail_sign((2.4, 0), True, False)]
        if shown.before.bolted.any():
            light += symbols.bolt_sign((-1.2, 0), 1.6, symbols.Look("front", False, 1.0))
        yield light, voice.phrase("legend.light")
    if shown.empty:
        cross: list[Shape] = [Line((-0.9, y), (0.9, -y), style.THIN) for y in (-0.9, 0.9)]
        yield cross, voice.phrase("legend.left_out")
    yield from _timber_entries(voice, schedule, shown)
    near = {x.face in (shown.face, "top") for x in schedule.girder.loads if shown.loads}
    for here, name in ((True, "load"), (False, "load_other")):
        if here in near:
            head = ((0.0, 2.0), (0.95, -0.4), (-0.95, -0.4))
            arrow = Polygon(head, style.THIN, 0.0 if here else 1.0)
            yield (
                [Line((0.0, -2.2), (0.0, -0.4), style.MEDIUM), arrow],
                voice.phrase(f"legend.{name}"),
            )


def _bolt_entries(
    voice: Voice, schedule: Schedule, now: Fasteners
) -> Iterator[tuple[list[Shape], str]]:
    specs = set(now.spec[now.bolted].tolist())
    shapes = {symbols.washer_shape(schedule, spec) for spec in specs}
    look = symbols.Look("front", True, 1.0)
    for shape in sorted(shapes):
        yield (
            symbols.bolt_sign((0, 0), 2.4, look, shape=shape),
            voice.phrase(f"legend.bolt_{shape}"),
        )


def _timber_entries(
    voice: Voice, schedule: Schedule, shown: Shown
) -> Iterator[tuple[list[Shape], str]]:
    box = ((-3.0, -1.5), (3.0, -1.5), (3.0, 1.5), (-3.0, 1.5))
    if any(not p.assumed for p in schedule.girder.plates):
        yield [*symbols.hatch(box, 1.6), Polygon(box, style.PLATE)], voice.phrase("legend.plate")
    if schedule.plates_assumed:
        yield [Polygon(box, style.PLATE_ASSUMED)], voice.phrase("legend.plate_assumed")
    if shown.hooks:
        hook: list[Shape] = [
            Line((-2.6, -1.9), (-2.6, 1.9), style.HEAVY),
            Polygon(((0.8, 0), (-1.8, 1), (-1.8, -1)), None, 0.0),
        ]
        yield list(hook), voice.phrase("legend.hook")
    small = ((-1.4, -1.7), (1.4, -1.7), (1.4, 1.7), (-1.4, 1.7))
    faces = {
        load.face == shown.face for load in schedule.girder.loads if load.footprint is not None
    }
    if True in faces:
        yield [Polygon(small, style.BRACKET)], voice.phrase("legend.bracket")
    if False in faces:
        yield [Polygon(small, style.BRACKET_BACK)], voice.phrase("legend.bracket_other")
