"""Signs of the sheets: nails, bolts, washers, clenches, plates, bearings, brackets, hook ends.

A bolt is the upright cross of ISO 5845-1 (value from memory). No standard has a sign for a nail
seen on its head: here it is a filled dot where the head is on the face shown and an open dot
where it is driven from the other side, which the legend of every drawing says.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style
from girderply.drawing.primitives import Circle, Cross, Dot, Line, Point, Polygon, Polyline, Shape
from girderply.jobfile.job import BearingSpec
from girderply.model.girder import HungLoad, Member, Plate
from girderply.schedule.types import Fasteners, Schedule


@dataclass(frozen=True, slots=True)
class Look:
    """How fasteners are shown.

    Attributes:
        face: the face that is seen. strong: of the stage at hand; light: already there.
        scale: paper mm per model mm, for signs that have a least size on paper.
    """

    face: str
    strong: bool
    scale: float


def nail_sign(at: Point, head_seen: bool, strong: bool, tag: str = "") -> Dot:
    """A filled or an open dot."""
    pen = style.NAIL if strong else style.NAIL_LIGHT
    size = style.NAIL_DOT if strong else style.NAIL_DOT_LEAST
    return Dot(at, size, pen, filled=head_seen, tag=tag)


def clench_sign(at: Point, across: float, scale: float, strong: bool) -> Line:
    """A short tick across the grain; `across` is its direction, rad, `at` in model mm."""
    reach = 1.7 / scale
    tip = (at[0] + reach * math.cos(across), at[1] + reach * math.sin(across))
    return Line(at, tip, style.MEDIUM if strong else style.NAIL_LIGHT, tag="clench")


def bolt_sign(
    at: Point, side: float, look: Look, tag: str = "", shape: str = "square"
) -> list[Shape]:
    """A cross with the outline of its washer at true size: `side` across, mm, square or round."""
    strong = look.strong
    half = side / 2
    pen = style.WASHER if strong else style.WASHER_LIGHT
    corners = tuple((at[0] + sx * half, at[1] + sy * half) for sx, sy in _CORNERS)
    outline: Shape = Polygon(corners, pen, tag="washer")
    if shape == "round":
        outline = Circle(at, half, pen, tag="washer")
    size = max(3.6 if strong else 3.0, side * look.scale + 1.4)
    return [outline, Cross(at, size, style.BOLT if strong else style.BOLT_LIGHT, tag=tag)]


_CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))


def washer_side(schedule: Schedule, spec: str) -> float:
    """Outer side of the washer under this bolt, mm; 40 where the spec has none."""
    choice = schedule.bolts.get(spec)
    return choice.washer.outer if choice else 40.0


def washer_shape(schedule: Schedule, spec: str) -> str:
    """Square or round, as the washer under this bolt is; square where the spec has none."""
    choice = schedule.bolts.get(spec)
    return choice.washer.shape if choice else "square"


def fastener_signs(schedule: Schedule, chosen: Fasteners, look: Look) -> Iterator[Shape]:
    """Signs of these fasteners in elevation mm, tagged kind:id."""
    angles = {m.id: m.angle for m in schedule.girder.members}
    for i in range(len(chosen)):
        at = (float(chosen.x[i]), float(chosen.y[i]))
        across = angles.get(str(chosen.member[i]), 0.0) + math.pi / 2
        yield from _sign(schedule, chosen, i, at, across, look)


def local_signs(schedule: Schedule, chosen: Fasteners, look: Look) -> Iterator[Shape]:
    """Signs of these fasteners in station and offset mm, tagged kind:id."""
    for i in range(len(chosen)):
        at = (float(chosen.station[i]), float(chosen.offset[i]))
        yield from _sign(schedule, chosen, i, at, math.pi / 2, look)


def _sign(
    schedule: Schedule, f: Fasteners, i: int, at: Point, across: float, look: Look
) -> Iterator[Shape]:
    tag = f"{f.kind[i]}:{f.id[i]}"
    if f.kind[i] == FastenerKind.BOLT:
        spec = str(f.spec[i])
        side, shape = washer_side(schedule, spec), washer_shape(schedule, spec)
        yield from bolt_sign(at, side, look, tag, shape)
        return
    if f.clench[i]:
        side = across + (math.pi if f.bend[i] < 0 else 0.0)
        yield clench_sign(at, side, look.scale, look.strong)
    yield nail_sign(at, str(f.face[i]) == look.face, look.strong, tag)


def hatch(corners: Sequence[Point], spacing: float) -> list[Line]:
    """Lines at 45 degrees inside a convex outline, `spacing` apart in its own units."""
    points = np.asarray(corners, float)
    levels = points[:, 1] - points[:, 0]
    first = math.ceil(levels.min() / spacing) + 0
    last = math.floor(levels.max() / spacing)
    lines: list[Line] = []
    for k in range(first, last + 1):
        ends = _crossings(points, levels, k * spacing)
        if len(ends) >= 2 and math.dist(ends[0], ends[-1]) > 0:
            lines.append(Line(ends[0], ends[-1], style.HATCH, tag="hatch"))
    return lines


def _crossings(points: np.ndarray, levels: np.ndarray, level: float) -> list[Point]:
    found: list[Point] = []
    for i in range(len(points)):
        a, b = levels[i], levels[i - 1]
        if (a - level) * (b - level) <= 0 and a != b:
            t = (level - a) / (b - a)
            x, y = points[i] + t * (points[i - 1] - points[i])
            found.append((round(float(x), 6), round(float(y), 6)))
    return sorted(set(found))


def plate_sign(plate: Plate, scale: float) -> list[Shape]:
    """A nail plate: hatched outline when given, dashed outline when assumed."""
    corners = as_points(plate.outline)
    if plate.assumed:
        return [Polygon(corners, style.PLATE_ASSUMED, tag="plate")]
    return [*hatch(corners, 1.6 / scale), Polygon(corners, style.PLATE, tag="plate")]


def as_points(array: Iterable[Iterable[float]]) -> tuple[Point, ...]:
    """Rows of an array as points."""
    return tuple((float(x), float(y)) for x, y in array)


def bearing_sign(bearing: BearingSpec, y: float, scale: float) -> list[Shape]:
    """A triangle under the girder on a line as wide as the bearing; `y` of the seat, mm."""
    x, h, half = bearing.x, 4.0 / scale, max(bearing.width / 2, 2.4 / scale)
    return [
        Polygon(((x, y), (x + 2.4 / scale, y - h), (x - 2.4 / scale, y - h)), style.MEDIUM, 1.0),
        Line((x - half, y - h), (x + half, y - h), style.HEAVY, tag="bearing"),
    ]


def hook_sign(member: Member, scale: float) -> list[Shape]:
    """The end where the tape is hooked: a heavy bar across it and an arrowhead along it."""
    half, out, long = member.depth / 2, 0.7 / scale, 2.6 / scale
    wide = min(1.0 / scale, half * 0.8)
    local = [
        [(-out, -half), (-out, half)],
        [(long, 0.0), (0.0, wide), (0.0, -wide)],
    ]
    bar, head = (as_points(member.to_elevation(np.array(p))) for p in local)
    return [Polyline(bar, style.HEAVY, tag="hook"), Polygon(head, None, 0.0, tag="hook")]


def bracket_sign(load: HungLoad, seen: str) -> list[Shape]:
    """A bracket's footprint: full outline on the face seen, dashed on the other."""
    if load.footprint is None:
        return []
    pen = style.BRACKET if load.face == seen else style.BRACKET_BACK
    return [Polygon(as_points(load.footprint), pen, tag="bracket")]


LOAD_TAIL = 7.0  # length of a load's arrow on paper, mm


def load_sign(
    load: HungLoad, seen: str, edge: float, scale: float, where: tuple[bool, bool]
) -> list[Shape]:
    """An arrow down: filled for a load on the face seen, hollow for one on the other.

    `where`: below the chord or above it, and whether it is the second arrow in one place.
    """
    below, second = where
    gap, tail, head, wide = (v / scale for v in (1.2, LOAD_TAIL, 2.8, 0.95))
    start = edge - (tail if second else 0.0) if below else edge + (tail if second else 0.0)
    tip = start - tail if below else start + gap
    top = start - gap if below else start + tail
    near = load.face in (seen, "top")
    corners = ((load.x, tip), (load.x + wide, tip + head), (load.x - wide, tip + head))
    return [
        Line((load.x, top), (load.x, tip + head), style.MEDIUM, tag="load"),
        Polygon(corners, style.THIN, 0.0 if near else 1.0, tag="load"),
    ]


def edge_y(members: Iterable[Member], x: float, lowest: bool) -> float | None:
    """The lowest (or highest) y of these members' outlines at x, mm; None where none is."""
    found: list[float] = []
    for member in members:
        points = member.outline
        for (ax, ay), (bx, by) in zip(points, np.roll(points, -1, axis=0), strict=True):
            if min(ax, bx) <= x <= max(ax, bx):
                found += [ay, by] if ax == bx else [ay + (x - ax) / (bx - ax) * (by - ay)]
    if not found:
        return None
    return float(min(found) if lowest else max(found))
