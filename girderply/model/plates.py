"""Nail plates: as given, or estimated from the members that meet at a joint.

An estimate is what a truss plant would press: aligned with the chord (a heel plate with the
contact of the chords, an apex plate level), covering the joint lines, biting into each member
and no larger, for fasteners keep off it. The proportions are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from girderply.jobfile.job import MemberSpec, PlateSpec
from girderply.model.frame import Frame, is_end
from girderply.model.girder import Array, Plate
from girderply.model.heel_plates import heel_need, heel_of
from girderply.model.lines import FAR, Axis, Line
from girderply.model.plate_need import BITE_SHARE, LEAST_BITE, MARGIN, MODULE, Need, Range

LEAST_WIDTH = 60.0  # mm
WIDTH_SHARE = 0.35  # of the depth of the web, either side of its centreline
COVER_SHARE = 0.75  # of the depth of a chord with webs on one side only
LONGEST = 2.5  # times the depth of the chord, either side of the joint

Cut = Mapping[str, Polygon]


def given_plate(spec: PlateSpec) -> Plate:
    """The plate as the job gives it."""
    line = Line(np.asarray(spec.centre, float), np.array([np.cos(spec.angle), np.sin(spec.angle)]))
    half = spec.width / 2, spec.height / 2
    return Plate(spec.joint, _rectangle(line, (-half[0], half[0]), (-half[1], half[1])), False)


def estimated_plate(frame: Frame, node: str, cut: Cut, module: float = MODULE) -> Plate:
    """A plate for one joint, sized up to the module (mm) and marked as assumed."""
    need = _need(frame, node, cut, module)
    along = _sized(need.along, need.along_limit, module)
    across = _sized(need.across, need.across_limit, module)
    return Plate(node, _rectangle(need.axis, along, across), True)


def _rectangle(axis: Line, along: Range, across: Range) -> Array:
    (a, b), (c, d) = along, across
    local = np.array([[a, c], [b, c], [b, d], [a, d]])
    corners: Array = np.round(axis.point + local @ np.array([axis.u, axis.n]), 6)
    return corners


def _sized(need: Range, limit: Range, module: float) -> Range:
    """Round up to the module about the middle, inside the limits (then rounded down)."""
    room = limit[1] - limit[0]
    size = math.ceil((need[1] - need[0]) / module - 1e-6) * module
    if size > room:
        size = max(module, math.floor(room / module + 1e-6) * module)
    low = (need[0] + need[1] - size) / 2
    low = max(limit[0], min(low, limit[1] - size))
    return low, low + size


def _need(frame: Frame, node: str, cut: Cut, module: float) -> Need:
    chords = [m for m in frame.at(node) if m.role.is_chord]
    roles = {m.role for m in chords}
    if len(roles) == 2:
        return heel_need(heel_of(frame, node, chords))
    if len(chords) == 2 and all(is_end(m, node) for m in chords):
        return _corner_need(frame, node, chords, cut, module)
    if len(chords) == 1 and is_end(chords[0], node) and _sloping(frame.axis(chords[0])):
        return _corner_need(frame, node, chords, cut, module)
    through = chords or [m for m in frame.at(node) if not is_end(m, node)]
    if through:
        return _chord_need(frame, node, through[0], cut)
    return _web_need(frame, node, cut)


def _sloping(axis: Axis) -> bool:
    return bool(abs(axis.u[1]) > 0.02)


# --- a chord that runs through, with webs -----------------------------------------------------


def _chord_need(frame: Frame, node: str, chord: MemberSpec, cut: Cut) -> Need:
    axis = frame.axis(chord)
    line = Line(
        axis.away_from(frame.nodes[node]).point, axis.u * (1.0 if axis.u[0] > -1e-9 else -1.0)
    )
    webs = _web_targets(frame, node, cut)
    local = _local(line, webs)
    local[:, 0] = np.clip(local[:, 0], -LONGEST * chord.depth, LONGEST * chord.depth)
    half = chord.depth / 2
    above, below = bool((local[:, 1] > half).any()), bool((local[:, 1] < -half).any())
    low = -half + (MARGIN if below else (1 - COVER_SHARE) * chord.depth)
    high = half - (MARGIN if above else (1 - COVER_SHARE) * chord.depth)
    return Need(
        line,
        _widened(_span(local[:, 0])),
        (min(low, local[:, 1].min()), max(high, local[:, 1].max())),
        _end_limits(line, cut[chord.id], chord.depth),
        (-math.inf if below else -half + MARGIN, math.inf if above else half - MARGIN),
    )


def _end_limits(line: Line, outline: Polygon, depth: float) -> Range:
    """Between the ends of the chord, wherever across it one measures, mm along the line."""
    low, high = [], []
    for off in (-0.4 * depth, 0.4 * depth):
        at = line.shifted(off)
        hit = outline.intersection(LineString([at.point - FAR * at.u, at.point + FAR * at.u]))
        reach = line.along(shapely.get_coordinates(hit))
        if len(reach):
            low.append(float(reach.min()))
            high.append(float(reach.max()))
    return (max(low) + MARGIN, min(high) - MARGIN) if low else (-math.inf, math.inf)


def _web_targets(frame: Frame, node: str, cut: Cut) -> Array:
    """(k, 2) points that the plate must reach on the webs that end or run through here."""
    spots = [np.empty((0, 2))]
    for web in frame.at(node):
        if not web.role.is_chord and is_end(web, node):
            spots.append(_bite(frame.axis(web).away_from(frame.nodes[node]), web, cut[web.id]))
    return np.vstack(spots)


def _bite(line: Line, web: MemberSpec, outline: Polygon) -> Array:
    """Where a web begins on its centreline, how far the plate bites into it, and how wide."""
    ray = outline.intersection(LineString([line.point - FAR * line.u, line.point + FAR * line.u]))
    reach = line.along(shapely.get_coordinates(ray))
    start, length = float(reach.min()), float(np.ptp(reach))
    bite = min(max(LEAST_BITE, BITE_SHARE * web.depth), 0.35 * length)
    side = WIDTH_SHARE * web.depth
    local = np.array([[start, 0], [start + bite, 0], [start + bite / 2, side],
                      [start + bite / 2, -side]])  # fmt: skip
    return np.asarray(line.point + local @ np.array([line.u, line.n]), float)


def _local(line: Line, points: Array) -> Array:
    return np.asarray((points - line.point) @ np.array([line.u, line.n]).T, float)


def _widened(span: Range) -> Range:
    """At least as wide as the narrowest plate, about the same middle."""
    more = max(0.0, LEAST_WIDTH - (span[1] - span[0])) / 2
    return span[0] - more, span[1] + more


def _span(values: Array) -> Range:
    return float(values.min()), float(values.max())


# --- chords that end here: apex, knee, splice, plumb end on a post -----------------------------


def _corner_need(
    frame: Frame, node: str, chords: list[MemberSpec], cut: Cut, module: float
) -> Need:
    """Level (or half-way between the runs), its corners under the outer edges of the chords."""
    axes = [frame.axis(m) for m in chords]
    leaving = [a.away_from(frame.nodes[node]) for a in axes]
    line, out = _corner_axis(frame, node, leaving, cut)
    bent = len(axes) == 1 or abs(float((leaving[0].u + leaving[1].u) @ line.n)) > 0.02
    bites = [
        p.point + p.u * max(LEAST_BITE, BITE_SHARE * a.depth) * (1 if bent else 2)
        for p, a in zip(leaving, axes, strict=True)
    ]
    webs = _local(line, _web_targets(frame, node, cut))
    spots = np.vstack([_local(line, np.array(bites)), webs])[:, 0]
    limit = (-math.inf, math.inf)
    if len(axes) == 1:
        low, high = _span(line.along(shapely.get_coordinates(cut[chords[0].id])))
        limit = (low + MARGIN, high - MARGIN)
    longest = LONGEST * max(a.depth for a in axes)
    along = _sized(_span(np.clip(spots, -longest, longest)), limit, module)
    outer = min(_edge_at(line, a, out, s) * out for a in axes for s in along)
    inner = max(_edge_at(line, a, -out, 0.0) * out for a in axes)
    reach = min([inner, *(webs[:, 1] * out)])
    if not bent and not len(webs):
        reach += MARGIN
    across = sorted((out * (outer - MARGIN), out * reach))
    free = (-math.inf, across[1]) if out > 0 else (across[0], math.inf)
    return Need(line, along, (across[0], across[1]), limit, free)


def _corner_axis(frame: Frame, node: str, leaving: list[Line], cut: Cut) -> tuple[Line, float]:
    """The plate's axis, and the side (1 left, -1 right of it) on which the chords' outside is."""
    spot = frame.nodes[node]
    if len(leaving) == 1:
        line = Line(spot, np.array([1.0, 0.0]))
        webs = _local(line, _web_targets(frame, node, cut))[:, 1]
        return line, 1.0 if webs.mean() < 0 else -1.0
    across = leaving[1].u - leaving[0].u
    line = Line(spot, across / np.hypot(*across) * (1.0 if across[0] >= 0 else -1.0))
    return line, -1.0 if (leaving[0].u + leaving[1].u) @ line.n > 0 else 1.0


def _edge_at(line: Line, axis: Axis, side: float, along: float) -> float:
    """Where an edge of a member crosses the plate's own cross line at `along`, mm across."""
    level = axis.u if axis.u @ line.u > 0 else -axis.u
    edge = Line(axis.point, level).shifted(side * axis.depth / 2)
    spot = edge.crossing(Line(line.point + along * line.u, line.n))
    return 0.0 if spot is None else line.side(spot)


def _web_need(frame: Frame, node: str, cut: Cut) -> Need:
    line = Line(frame.nodes[node], np.array([1.0, 0.0]))
    local = _local(line, _web_targets(frame, node, cut))
    return Need(line, _span(local[:, 0]), _span(local[:, 1]))
