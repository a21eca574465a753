"""The stack in cross-section: which nail goes through which plies, and how deep its point is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Point, Polygon, Polyline, Text
from girderply.drawing.scales import SCALES
from girderply.schedule.types import Fasteners, Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import face_up_words, spec_words

_LEFT, _TOP, _COLUMN = 0.5, 11.0, 9.0
_UNDER = 9.0  # room under the stack for points and nuts, mm


@dataclass(frozen=True, slots=True)
class _Way:
    """One way in which fasteners go in: all that share it are drawn once."""

    kind: str
    spec: str
    face: str
    from_ply: int
    to_ply: int
    protrusion: float
    depth: float
    clench: bool
    stage: int


def stack_section(
    voice: Voice, schedule: Schedule, stage: Stage, width: float, most: float
) -> Drawing:
    """The plies that lie on the trestles in this stage, the face that is up at the top.

    Ways of this stage are drawn heavy and lettered; what they are stands below the stack.
    """
    plies, t = _from_the_top(stage), schedule.girder.ply_thickness
    n = next((n for n in SCALES[2:] if len(plies) * t / n <= most - _TOP - _UNDER), 20)
    bottom = _TOP + len(plies) * t / n
    drawing = Drawing(f"section-{stage.number}", width, bottom + _UNDER, scale=n)
    drawing.title = voice.phrase("stage.section", number=stage.number)
    right = _plies(voice, drawing, schedule, plies, t / n)
    ways = _ways(schedule.fasteners, stage)
    shown = ways[-max(1, int((right - _LEFT) // _COLUMN)) :]
    step = (right - _LEFT) / max(len(shown), 1)
    stack = _Stack(plies, t / n, n, stage.number)
    letters = iter("abcdefghijklmnopqrstuvwxyz")
    y = bottom + _UNDER
    for k, way in enumerate(shown):
        x = _LEFT + (k + 0.5) * step
        _draw(drawing, way, x, stack)
        if way.stage == stage.number:
            letter = next(letters, "z")
            drawing.add(Text((x - 3.2, _TOP - 3.6), letter, style.SMALL, bold=True, tag="way"))
            y = _words(voice, drawing, schedule, way, letter, y)
    drawing.height = y
    words = voice.phrase(
        "stage.section_scale", face_up=face_up_words(stage.face_up, stage.upright), scale=n
    )
    drawing.add(Text((_LEFT, 2.6), words, style.SMALL, "start", tag="face"))
    return drawing


def _plies(
    voice: Voice, drawing: Drawing, schedule: Schedule, plies: Sequence[int], high: float
) -> float:
    """Draw the plies with their names; the x at which they end."""
    words = [_ply_words(voice, p, schedule.girder.plies) for p in plies]
    right = drawing.width - max(text_width(w, style.SMALL) for w in words) - 4.0
    for k, word in enumerate(words):
        y = _TOP + k * high
        box = ((_LEFT, y), (right, y), (right, y + high), (_LEFT, y + high))
        drawing.add(Polygon(box, style.MEDIUM, 1.0, tag="ply"))
        drawing.add(Text((right + 2.0, y + high / 2), word, style.SMALL, "start", tag="ply"))
    return right


def _from_the_top(stage: Stage) -> tuple[int, ...]:
    return tuple(sorted(stage.plies, reverse=stage.face_up == "back"))


def _ply_words(voice: Voice, ply: int, plies: int) -> str:
    if ply == 1:
        return voice.phrase("stage.ply_front", ply=ply)
    return voice.phrase("stage.ply_back" if ply == plies else "stage.ply", ply=ply)


def _ways(f: Fasteners, stage: Stage) -> list[_Way]:
    """Ways of this stage and of those before it, the ones of this stage last."""
    found: dict[_Way, None] = {}
    for i in range(len(f)):
        if f.stage[i] <= stage.number:
            way = _Way(
                str(f.kind[i]), str(f.spec[i]), str(f.face[i]), int(f.from_ply[i]),
                int(f.to_ply[i]), round(float(f.protrusion[i]), 1),
                round(float(f.point_depth[i]), 1), bool(f.clench[i]), int(f.stage[i]),
            )  # fmt: skip
            found[way] = None
    return sorted(
        found, key=lambda w: (w.stage, w.kind, w.from_ply, w.to_ply, w.depth, w.face, w.spec)
    )


@dataclass(frozen=True, slots=True)
class _Stack:
    """Plies from the top, height of one on paper, scale, stage at hand."""

    plies: tuple[int, ...]
    high: float
    scale: int
    stage: int


def _draw(drawing: Drawing, way: _Way, x: float, stack: _Stack) -> None:
    if way.from_ply not in stack.plies or way.to_ply not in stack.plies:
        return
    head_ply, point_ply = stack.plies.index(way.from_ply), stack.plies.index(way.to_ply)
    down = -1.0 if head_ply > point_ply else 1.0
    near = 0 if down > 0 else 1
    head = _TOP + (head_ply + near) * stack.high
    entry = _TOP + (point_ply + near) * stack.high
    strong = way.stage == stack.stage
    if way.kind == FastenerKind.BOLT:
        _bolt(drawing, x, (head, entry + down * stack.high), down, strong)
        return
    out = way.protrusion > 0
    inside = stack.high if out else min(way.depth / stack.scale, stack.high)
    _nail(drawing, x, (head, entry + down * inside), down, (way, stack.scale, strong))


def _nail(
    drawing: Drawing, x: float, ends: Point, down: float, what: tuple[_Way, int, bool]
) -> None:
    way, n, strong = what
    head, point = ends
    pen = style.HEAVY if strong else style.NAIL_LIGHT
    drawing.add(Line((x - 1.5, head), (x + 1.5, head), pen, tag="nail-head"))
    tip = point + down * way.protrusion / n
    if way.protrusion > 0 and way.clench:
        out = point + down * 0.8
        drawing.add(Polyline(((x, head), (x, out), (x + way.protrusion / n, out)), pen, tag="nail"))
    else:
        drawing.add(Line((x, head), (x, tip), pen, tag="nail"))
        drawing.add(Polygon(((x, tip + down), (x - 0.5, tip), (x + 0.5, tip)), None, pen.grey))


def _bolt(drawing: Drawing, x: float, ends: Point, down: float, strong: bool) -> None:
    pen = style.HEAVY if strong else style.NAIL_LIGHT
    head, end = ends
    drawing.add(Line((x, head - 2.2 * down), (x, end + 4.0 * down), pen, tag="bolt"))
    for y, sign in ((head, -down), (end, down)):
        drawing.add(Line((x - 3.2, y + 0.4 * sign), (x + 3.2, y + 0.4 * sign), pen, tag="washer"))
        y0, y1 = y + 0.8 * sign, y + 2.6 * sign
        box = ((x - 1.6, y0), (x + 1.6, y0), (x + 1.6, y1), (x - 1.6, y1))
        drawing.add(Polygon(box, style.THIN, 0.75 if strong else 1.0, tag="nut"))


def _words(
    voice: Voice, drawing: Drawing, schedule: Schedule, way: _Way, letter: str, y: float
) -> float:
    """What a lettered way is, in words under the stack; the y after them."""
    text = _way_words(voice, way, Printed(schedule.job.info.units, voice))
    drawing.add(Text((_LEFT, y), letter, style.SMALL, "start", bold=True, tag="way"))
    for line in wrap(text, drawing.width - _LEFT - 5.0):
        drawing.add(Text((_LEFT + 4.5, y), line, style.SMALL, "start", tag="way"))
        y += 4.3
    return y


def _way_words(voice: Voice, way: _Way, show: Printed) -> str:
    way_of = {"spec": spec_words(way.spec), "first": way.from_ply, "last": way.to_ply}
    if way.kind == FastenerKind.BOLT:
        return voice.phrase("stage.way_bolt", **way_of)
    if way.protrusion <= 0:
        return voice.phrase("stage.way_deep", depth=show.small(way.depth), **way_of)
    out = show.small(way.protrusion)
    return voice.phrase("stage.way_clench" if way.clench else "stage.way_out", out=out, **way_of)
