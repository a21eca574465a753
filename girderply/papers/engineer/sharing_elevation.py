"""The girder on its front face, every fastener a circle whose area is the force it passes on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style, symbols
from girderply.drawing.dimension import spread
from girderply.drawing.lettering import text_box, text_width, wrap
from girderply.drawing.page import Box, Drawing
from girderply.drawing.placement import Placement
from girderply.drawing.primitives import Circle, Line, Point, Polygon, Text
from girderply.model.girder import Member
from girderply.papers.engineer.sharing_words import hardest_fasteners, used_words
from girderply.schedule.types import Schedule
from girderply.strength.sharing import SharingReport
from girderply.units.show import Printed
from girderply.wording import Voice

LARGEST = 3.5  # mm, radius of the circle of the largest force
NAMED = 5
_SIDE, _ABOVE, _BELOW = 8.0, 4.0, 16.0  # mm beside the girder, over and under it
_NAMES_ABOVE = 9.0  # mm more over it where fasteners are named there
_KEY = 2 * LARGEST + 1.6  # mm for the key under it
_LINE = 4.2
_NAIL, _BOLT = style.THIN, style.OUTLINE


@dataclass(frozen=True, slots=True)
class _Mark:
    """One circle: centre and radius on paper, the fastener's number."""

    at: Point
    radius: float
    index: int


def sharing_elevation(
    voice: Voice, schedule: Schedule, report: SharingReport, width: float, most: float
) -> Drawing:
    """The elevation, `width` mm wide and at most `most` mm high, with the hardest five by name."""
    above = _ABOVE + (_NAMES_ABOVE if _high(schedule, hardest_fasteners(report, NAMED)) else 0.0)
    placement, height = _placement(schedule, width, (above, most - _KEY))
    drawing = Drawing("sharing", width, height, voice.phrase("sharing.elevation"))
    _timber(schedule, drawing, placement)
    force = largest_forces(report)
    marks = _marks(schedule, force, placement)
    for mark in marks:
        pen = _BOLT if schedule.fasteners.kind[mark.index] == FastenerKind.BOLT else _NAIL
        tag = f"force:{schedule.fasteners.id[mark.index]}"
        drawing.add(Circle(mark.at, mark.radius, pen, tag=tag))
    _hardest(voice, schedule, report, drawing, marks)
    _names(schedule, drawing, placement, marks)
    _key(voice, drawing, float(force.max(initial=0.0)), Printed(schedule.job.info.units, voice))
    return drawing


def largest_forces(report: SharingReport) -> np.ndarray:
    """(F,) the largest force of each fastener at any interface, N."""
    sharing = report.sharing
    if sharing is None or not sharing.force.size:
        return np.zeros(0)
    return np.asarray(sharing.force_size.max(axis=1), float)


def _high(schedule: Schedule, chosen: Sequence[int]) -> list[int]:
    """Those in the upper half of the girder: they are named over it, the others under it."""
    xy = np.concatenate([m.outline for m in schedule.girder.members])
    middle = float(xy[:, 1].min() + xy[:, 1].max()) / 2
    return [i for i in chosen if schedule.fasteners.y[i] > middle]


def _placement(
    schedule: Schedule, width: float, down: tuple[float, float]
) -> tuple[Placement, float]:
    """As large as fits, no standard scale; `down` is room over the girder and height in all."""
    above, most = down
    xy = np.concatenate([m.outline for m in schedule.girder.members])
    (x0, y0), (x1, y1) = xy.min(axis=0), xy.max(axis=0)
    scale = min((width - 2 * _SIDE) / (x1 - x0), (most - above - _BELOW) / (y1 - y0))
    left = (width - scale * (x1 - x0)) / 2
    height = scale * (y1 - y0) + above + _BELOW
    return Placement((left - scale * x0, above + scale * y1), scale), height


def _timber(schedule: Schedule, drawing: Drawing, placement: Placement) -> None:
    girder, scale = schedule.girder, placement.scale
    for member in girder.members:
        outline = symbols.as_points(member.outline)
        drawing.place(placement, Polygon(outline, style.OUTLINE_LIGHT, 1.0, tag=member.id))
    for load in girder.loads:
        drawing.place(placement, *symbols.bracket_sign(load, "front"))
    for bearing in girder.bearings:
        y = symbols.edge_y(girder.members, bearing.x, lowest=True)
        drawing.place(placement, *symbols.bearing_sign(bearing, y or 0.0, scale))


def _marks(schedule: Schedule, force: np.ndarray, placement: Placement) -> list[_Mark]:
    """Circles, the largest first so that small ones lie on top."""
    f, most = schedule.fasteners, float(force.max(initial=0.0))
    if most <= 0:
        return []
    order = np.argsort(-np.round(force, 6), kind="stable").tolist()
    return [
        _Mark(
            placement.point((float(f.x[i]), float(f.y[i]))),
            LARGEST * math.sqrt(float(force[i]) / most),
            i,
        )
        for i in order
    ]


def _names(
    schedule: Schedule, drawing: Drawing, placement: Placement, marks: Sequence[_Mark]
) -> None:
    """Names of the members beside them, over leaders but not over circles and timber."""
    taken = drawing.obstacles()
    taken.extend(_square(m.at, m.radius) for m in marks if m.radius > 0.6)
    for m in schedule.girder.members:
        half = np.array([(0, -1), (m.length, -1), (m.length, 1), (0, 1)]) * (1, m.depth / 2)
        corners = placement.points(m.to_elevation(half))
        taken.append((corners[0], corners[1], corners[2], corners[3]))
    for bearing in schedule.girder.bearings:
        y = symbols.edge_y(schedule.girder.members, bearing.x, lowest=True) or 0.0
        x, y = placement.point((bearing.x, y))
        taken.append(_square((x, y + 2.5), 3.0))
    for member in schedule.girder.members:
        drawing.label(_spots(member, placement), taken)


def _square(at: Point, half: float) -> Box:
    x, y = at
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


def _spots(member: Member, placement: Placement) -> Iterator[Text]:
    """Places for a member's name, nearest to its middle and to itself first."""
    a, b = placement.point(member.hook), placement.point(member.far)
    length = math.dist(a, b) or 1.0
    normal = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
    half = text_width(member.id, style.SMALL) / 2
    away = member.depth / 2 * placement.scale + half * abs(normal[0]) + 1.25 * abs(normal[1]) + 1.2
    for more in (0.0, 1.5, 3.0, 5.0):
        for t in (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74):
            for side in (-1, 1):
                r = side * (away + more)
                at = (a[0] + t * (b[0] - a[0]) + r * normal[0],
                      a[1] + t * (b[1] - a[1]) + r * normal[1])  # fmt: skip
                yield Text(at, member.id, style.SMALL, mask=True, tag="member")


def _hardest(
    voice: Voice,
    schedule: Schedule,
    report: SharingReport,
    drawing: Drawing,
    marks: Sequence[_Mark],
) -> None:
    """The hardest fasteners by name, in a row over or under the girder, each tied to its circle."""
    own = {m.index: m for m in marks}
    chosen = [i for i in hardest_fasteners(report, NAMED) if i in own]
    high = _high(schedule, chosen)
    over = sorted((own[i] for i in high), key=lambda m: m.at[0])
    under = sorted((own[i] for i in chosen if i not in high), key=lambda m: m.at[0])
    for some, y, side in ((over, 2.2, 1), (under, drawing.height - 4.0, -1)):
        if some:
            _row(
                drawing,
                some,
                [_mark_words(voice, schedule, report, m.index) for m in some],
                (y, side),
            )


def _row(
    drawing: Drawing, marks: Sequence[_Mark], words: Sequence[str], place: tuple[float, int]
) -> None:
    """Names side by side at one height (`side` 1: over the girder), in the order of the circles."""
    y, side = place
    widths = [text_width(w, style.SMALL, True) for w in words]
    gaps = [(a + b) / 2 + 4.0 for a, b in pairwise(widths)]
    low, high = widths[0] / 2, drawing.width - widths[-1] / 2
    places = spread([m.at[0] for m in marks], gaps, low, high)
    for mark, text, x in zip(marks, words, places, strict=True):
        label = Text((x, y), text, style.SMALL, bold=True, tag="hardest")
        foot = (x, max(p[1] for p in text_box(label)) if side > 0 else y - 1.9)
        drawing.add(Line(foot, _rim(mark, foot), style.DIMENSION, tag="leader"), label)


def _rim(mark: _Mark, seen: Point) -> Point:
    """Where a line from `seen` to the middle of a circle meets it."""
    away = math.dist(seen, mark.at) or 1.0
    t = min(mark.radius / away, 1.0)
    return (mark.at[0] + t * (seen[0] - mark.at[0]), mark.at[1] + t * (seen[1] - mark.at[1]))


def _mark_words(voice: Voice, schedule: Schedule, report: SharingReport, index: int) -> str:
    show, sharing = Printed(schedule.job.info.units, voice), report.sharing
    force = float(largest_forces(report)[index])
    words = voice.phrase(
        "sharing.mark", fastener=str(schedule.fasteners.id[index]), force=show.force(force)
    )
    if sharing is None or report.strength is None:
        return words
    used = float(sharing.utilisation(report.strength)[index].max())
    return f"{words}, {used_words(voice, used, show)}"


def _key(voice: Voice, drawing: Drawing, most: float, show: Printed) -> None:
    """What the circles mean, at the foot of the picture."""
    if most <= 0:
        return
    drawing.height += _KEY
    x, y = 6.0, drawing.height - LARGEST - 0.8
    for part, words in (
        (1.0, show.force(most)),
        (0.25, show.force(most / 4)),
    ):
        radius = LARGEST * math.sqrt(part)
        drawing.add(Circle((x, y), radius, _NAIL, tag="key"))
        drawing.add(Text((x + radius + 1.5, y), words, style.SMALL, "start", tag="key"))
        x += 2 * radius + text_width(words, style.SMALL) + 7.0
    words = voice.phrase("sharing.circles")
    lines = wrap(words, drawing.width - x)
    for k, line in enumerate(lines):
        at = (x, y + _LINE * (k - (len(lines) - 1) / 2))
        drawing.add(Text(at, line, style.SMALL, "start", tag="key"))
