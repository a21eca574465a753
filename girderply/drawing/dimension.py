"""Dimensions: single ones, running ones from an origin (ISO 129-1), the bar of 100 mm.

Everything here is in paper mm. Running dimensions have one origin circle, one dimension line and
an arrow at every station; the figures are moved apart until none overlaps, each tied to its
station by a thin leader.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from girderply.drawing.lettering import text_width
from girderply.drawing.primitives import (
    Anchor,
    Circle,
    Dimension,
    Line,
    Point,
    Polygon,
    Polyline,
    Shape,
    Text,
)
from girderply.drawing.style import DIMENSION, SMALL

_GAP = 1.5  # least clear distance between two figures that stand level, mm
_MOST_MOVE = 7.0  # farthest that a level figure is moved from its station, mm


def arrow(tip: Point, direction: float, size: float = 2.0) -> Polygon:
    """A filled arrowhead; `direction` in degrees counter-clockwise, pointing at `tip`."""
    back = math.radians(direction + 180.0)
    spread = math.radians(11.0)

    def wing(a: float) -> Point:
        return (tip[0] + size * math.cos(a), tip[1] - size * math.sin(a))

    return Polygon((tip, wing(back + spread), wing(back - spread)), pen=None, fill=0.0)


def dimension_lines(d: Dimension) -> tuple[Shape, ...]:
    """A placed dimension as extension lines, dimension line with arrows, and its text."""
    (ax, ay), (bx, by) = d.a, d.b
    length = math.hypot(bx - ax, by - ay)
    if length == 0:
        return ()
    ux, uy = (bx - ax) / length, (by - ay) / length
    nx, ny = uy, -ux  # to the left of travel, paper y pointing down
    side = math.copysign(1.0, d.offset)
    a, b = (ax + nx * d.offset, ay + ny * d.offset), (bx + nx * d.offset, by + ny * d.offset)
    angle = math.degrees(math.atan2(-uy, ux))
    over = 1.5 * side
    text = Text(
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2),
        d.text,
        d.height,
        angle=_upright(angle),
        mask=True,
        tag=d.tag,
    )
    return (
        Line((ax + nx * side, ay + ny * side), (a[0] + nx * over, a[1] + ny * over), d.pen),
        Line((bx + nx * side, by + ny * side), (b[0] + nx * over, b[1] + ny * over), d.pen),
        Line(a, b, d.pen),
        arrow(a, angle + 180.0),
        arrow(b, angle),
        text,
    )


def _upright(angle: float) -> float:
    turned = (angle + 90.0) % 180.0 - 90.0
    return 90.0 if math.isclose(turned, -90.0, abs_tol=1e-9) else turned


def spread(wanted: Sequence[float], gaps: Sequence[float], low: float, high: float) -> list[float]:
    """Positions nearest to those wanted (least squares) that keep the gaps, in rising order.

    Pool-adjacent-violators on the positions less the gaps before them. `gaps[i]` is the least
    distance from position i to i + 1. Where the whole does not fit between `low` and `high`
    it is centred and overhangs.
    """
    offsets = [0.0]
    for gap in gaps:
        offsets.append(offsets[-1] + gap)
    blocks: list[list[float]] = []  # mean, weight
    for value, offset in zip(wanted, offsets, strict=True):
        blocks.append([value - offset, 1.0])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            mean, weight = blocks.pop()
            last = blocks[-1]
            total = last[1] + weight
            last[0], last[1] = (last[0] * last[1] + mean * weight) / total, total
    flat = [mean for mean, weight in blocks for _ in range(round(weight))]
    top = high - offsets[-1]
    if top < low:
        low = top = (low + top) / 2
    return [min(max(v, low), top) + o for v, o in zip(flat, offsets, strict=True)]


@dataclass(frozen=True, slots=True)
class Figure:
    """One station of a running dimension: where it is on paper, from where it is drawn, its text.

    Attributes:
        x: paper mm. y: where its extension line starts. text: the figure. bold: stressed.
    """

    x: float
    y: float
    text: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Track:
    """The line that a running dimension stands on.

    Attributes:
        y: of the dimension line, paper mm. start: x at which the line begins. side: 1 writes
            below the line, -1 above it. low, high: between which x the figures may stand.
        origin: whether the line begins at station 0; if not, it comes from another piece.
    """

    y: float
    start: float
    side: int
    low: float
    high: float
    origin: bool = True


def running_dimension(
    figures: Sequence[Figure], track: Track, height: float = SMALL
) -> tuple[list[Shape], float]:
    """A running dimension as shapes, and how far its figures reach from the line, mm.

    Figures stand level, moved apart a little where they must be; where that would take them too
    far from their stations they stand upright.
    """
    if not figures:
        return [], 0.0
    ordered = sorted(figures, key=lambda f: (f.x, f.text))
    shapes = _track_lines(ordered, track)
    lettering, reach = level_figures(ordered, track, height) or _upright_figures(
        ordered, track, height
    )
    return shapes + lettering, reach


def level_figures(
    figures: Sequence[Figure], track: Track, height: float
) -> tuple[list[Shape], float] | None:
    """Level figures with their leaders; None where one would stand too far from its station."""
    widths = [text_width(f.text, height, f.bold) for f in figures]
    gaps = [(v + w) / 2 + _GAP for v, w in pairwise(widths)]
    low, high = track.low + widths[0] / 2, track.high - widths[-1] / 2 + 4.0
    xs = spread([f.x for f in figures], gaps, low, high)
    moves = [abs(x - f.x) for x, f in zip(xs, figures, strict=True)]
    if max(moves) > _MOST_MOVE or xs[0] < low - 1e-6:
        return None
    drop = 2.2 if max(moves) > 0.6 else 0.0
    shapes: list[Shape] = []
    y = track.y + track.side * (drop + height / 2 + 1.4)
    for figure, x in zip(figures, xs, strict=True):
        if drop:
            foot = track.y + track.side * drop
            shapes.append(Polyline(((figure.x, track.y), (x, foot)), DIMENSION))
        shapes.append(Text((x, y), figure.text, height, bold=figure.bold, mask=True))
    return shapes, drop + height + 2.2


def _track_lines(figures: Sequence[Figure], track: Track) -> list[Shape]:
    xs = [f.x for f in figures]
    start = track.start
    far = xs[-1] if abs(xs[-1] - start) >= abs(xs[0] - start) else xs[0]
    away = 0.0 if far >= start else 180.0
    shapes: list[Shape] = [Line((start, track.y), (far, track.y), DIMENSION)]
    if track.origin:
        shapes.append(Circle((start, track.y), 0.9, DIMENSION, fill=1.0))
    for f in figures:
        shapes.append(Line((f.x, f.y), (f.x, track.y), DIMENSION))
        if abs(f.x - start) > 2.6:
            shapes.append(arrow((f.x, track.y), away, 1.6))
    return shapes


def _upright_figures(
    figures: Sequence[Figure], track: Track, height: float
) -> tuple[list[Shape], float]:
    on_line = [replace(f, y=track.y) for f in figures]
    return spread_figures(on_line, track.y, track.side, (track.low, track.high), height)


def spread_figures(
    figures: Sequence[Figure],
    level: float,
    side: int,
    across: tuple[float, float],
    height: float = SMALL,
) -> tuple[list[Shape], float]:
    """Upright figures beyond `level`, moved apart, each tied to its own x by a bent leader.

    Figures come sorted by x, each with the y that its leader starts from. Gives the shapes and
    how far they reach from `level`, mm.
    """
    pitch = height * 1.36 + 0.3
    xs = spread([f.x for f in figures], [pitch] * (len(figures) - 1), *across)
    knee, start = level + side * 2.4, level + side * 3.0
    shapes: list[Shape] = []
    for figure, x in zip(figures, xs, strict=True):
        points = ((figure.x, figure.y), (figure.x, level), (x, knee), (x, start))
        anchor: Anchor = "end" if side > 0 else "start"
        at = (x, start + side * 0.4)
        shapes.append(Polyline(points, DIMENSION))
        shapes.append(
            Text(at, figure.text, height, anchor, angle=90.0, bold=figure.bold, mask=True)
        )
    return shapes, 3.8 + max(text_width(f.text, height, f.bold) for f in figures)


def scale_bar(at: Point, label: str) -> list[Shape]:
    """The bar of exactly 100 mm that proves the scale of a print; `at` is its left end."""
    x, y = at
    shapes: list[Shape] = []
    for i in range(10):
        left = x + 10.0 * i
        box = ((left, y), (left + 10, y), (left + 10, y + 2), (left, y + 2))
        shapes.append(Polygon(box, DIMENSION, fill=0.0 if i % 2 == 0 else 1.0, tag="bar"))
    shapes.append(Text((x, y - 2.4), label, SMALL, anchor="start", tag="bar-label"))
    return shapes


def inch_bar(at: Point, label: str) -> list[Shape]:
    """The bar of exactly four inches in half inches; `at` is its left end."""
    x, y = at
    half = 12.7
    shapes: list[Shape] = []
    for i in range(8):
        left = x + half * i
        box = ((left, y), (left + half, y), (left + half, y + 2), (left, y + 2))
        shapes.append(Polygon(box, DIMENSION, fill=0.0 if i % 2 == 0 else 1.0, tag="bar"))
    shapes.append(Text((x, y - 2.4), label, SMALL, anchor="start", tag="bar-label"))
    return shapes
