"""The stack in cross-section: which nail goes through which plies, and how deep its point is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from girderply.drawing import style
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Drawing
from girderply.drawing.scales import SCALES
from girderply.drawing.shapes import Line, Point, Polygon, Polyline, Text
from girderply.schedule.types import Fasteners, Schedule, Stage
from girderply.units.show import Show

_LEFT, _TOP, _COLUMN = 6.0, 11.0, 17.0


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


def stack_section(schedule: Schedule, stage: Stage, width: float, most: float) -> Drawing:
    """The plies that lie on the trestles in this stage, the face that is up at the top."""
    plies = _from_the_top(stage)
    t = schedule.girder.ply_thickness
    room = most - _TOP - 12.0
    n = next((n for n in SCALES[1:] if len(plies) * t / n <= room), 20)
    high = len(plies) * t / n
    drawing = Drawing(f"section-{stage.number}", width, _TOP + high + 12.0, scale=n)
    ways = _ways(schedule.fasteners, stage)
    words = [f"ply {p}{_face_word(p, schedule.girder.plies)}" for p in plies]
    right = width - max(text_width(w, style.SMALL) for w in words) - 4.0
    for k, word in enumerate(words):
        y = _TOP + k * t / n
        box = ((_LEFT, y), (right, y), (right, y + t / n), (_LEFT, y + t / n))
        drawing.add(Polygon(box, style.MEDIUM, 1.0, tag="ply"))
        drawing.add(Text((right + 2.0, y + t / n / 2), word, style.SMALL, "start", tag="ply"))
    shown = ways[-max(1, int((right - _LEFT) // _COLUMN)) :]
    step = (right - _LEFT) / max(len(shown), 1)
    for k, way in enumerate(shown):
        _draw(drawing, schedule, way, _LEFT + (k + 0.5) * step, (plies, t / n, n, stage.number))
    drawing.add(Text((_LEFT, 2.6), f"{stage.face_up} face up", style.SMALL, "start", tag="face"))
    return drawing


def _from_the_top(stage: Stage) -> tuple[int, ...]:
    return tuple(sorted(stage.plies, reverse=stage.face_up == "back"))


def _face_word(ply: int, plies: int) -> str:
    if ply == 1:
        return " (front)"
    return " (back)" if ply == plies else ""


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


def _draw(
    drawing: Drawing,
    schedule: Schedule,
    way: _Way,
    x: float,
    stack: tuple[Sequence[int], float, int, int],
) -> None:
    plies, t, n, stage = stack
    if way.from_ply not in plies or way.to_ply not in plies:
        return
    head_ply, point_ply = plies.index(way.from_ply), plies.index(way.to_ply)
    down = 1.0 if head_ply <= point_ply else -1.0
    if head_ply == point_ply:
        down = 1.0
    head = _TOP + (head_ply if down > 0 else head_ply + 1) * t
    entry = _TOP + (point_ply if down > 0 else point_ply + 1) * t
    strong = way.stage == stage
    if way.kind == "bolt":
        _bolt(drawing, x, (head, entry + down * t), down, strong)
        return
    inside = t if way.protrusion > 0 else min(way.depth / n, t)
    point = entry + down * inside
    _nail(drawing, x, (head, point), down, (way, n, strong))
    if strong:
        _words(drawing, schedule, way, x, (head, point, down))


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
    drawing: Drawing, schedule: Schedule, way: _Way, x: float, ends: tuple[float, float, float]
) -> None:
    """How deep the point is in the ply it ends in, beside the point."""
    show = Show(schedule.job.info.units)
    head, point, down = ends
    text = "clench" if way.clench else f"{show.length(way.depth)} deep"
    y = point + down * (4.0 if way.clench else 0.0)
    if not way.clench:
        y = point - down * 2.0
    side = Text((x + 1.4, y), text, style.SMALL, "start", mask=True, tag="depth")
    drawing.label([side, Text((x, head - down * 3.0), text, style.SMALL, tag="depth")], [])
