"""Where on one member a fastener may stand: its outline less edges, ends and keep-outs.

Everything is in the member's own frame: station along, offset across, mm.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from girderply.fasteners.runs import What
from girderply.model.girder import Array, Member

MITRE = 2  # shapely's number for a sharp corner: a plate grown by its clearance stays a plate
TINY = 1e-6  # mm; shorter pieces are left-overs of floating point
SLACK = 1e-3  # mm; a row exactly on a limit stands (a polygon eroded by 50 ends at 49.9999...)


@dataclass(frozen=True, slots=True)
class KeepOut:
    """A place where nothing may go: its polygon in the elevation, what it is, clearance (mm).

    `name` is that of its joint or load.
    """

    outline: Array
    what: What
    clearance: float
    name: str = ""
    box: tuple[float, float, float, float] = field(init=False)

    def __post_init__(self) -> None:
        """Note its left, bottom, right and top: they are asked for by every member."""
        low, high = self.outline.min(axis=0).tolist(), self.outline.max(axis=0).tolist()
        object.__setattr__(self, "box", (*low, *high))


@dataclass(frozen=True, slots=True)
class Intervals:
    """Rising, disjoint pieces of a row line: `start` and `end`, (k,) each, mm."""

    start: Array
    end: Array

    def __len__(self) -> int:
        return len(self.start)

    @property
    def length(self) -> float:
        """Total length, mm."""
        return float(np.sum(self.end - self.start))

    def contain(self, station: Array) -> np.ndarray:
        """(n,) whether each station lies in a piece (ends included)."""
        i = np.searchsorted(self.start, np.asarray(station) + TINY, side="right") - 1
        ok = i >= 0
        inside = np.zeros(np.shape(station), bool)
        inside[ok] = np.asarray(station)[ok] <= self.end[i[ok]] + TINY
        return np.asarray(inside, bool)


def merge(pieces: list[Intervals]) -> Intervals:
    """Union of several sets of intervals."""
    pairs = sorted((a, b) for p in pieces for a, b in zip(p.start, p.end, strict=True))
    merged: list[list[float]] = []
    for a, b in pairs:
        if merged and a <= merged[-1][1] + TINY:
            merged[-1][1] = max(merged[-1][1], b)
        else:
            merged.append([a, b])
    table = np.array(merged, float).reshape(-1, 2)
    return Intervals(table[:, 0], table[:, 1])


def clip(free: Intervals, start: float, end: float) -> Intervals:
    """The pieces inside two stations (mm)."""
    low, high = np.maximum(free.start, start), np.minimum(free.end, end)
    ok = high >= low
    return Intervals(low[ok], high[ok])


def _pieces(geometry: BaseGeometry) -> Intervals:
    """Station intervals of what is left of a horizontal line."""
    parts = [g for g in shapely.get_parts(geometry) if g.geom_type == "LineString"]
    bounds = np.array([g.bounds for g in parts], float).reshape(-1, 4)
    bounds = bounds[bounds[:, 2] - bounds[:, 0] > TINY]
    order = np.argsort(bounds[:, 0])
    return Intervals(bounds[order, 0], bounds[order, 2])


@dataclass(frozen=True, slots=True)
class Region:
    """The allowed region of one member for one kind of fastener.

    Attributes:
        member: the member; polygon: its outline in its own frame.
        inner: outline less the edge distance and the keep-outs grown by their clearances.
        end: end distance along the grain, mm.
    """

    member: Member
    polygon: Polygon
    inner: BaseGeometry
    end: float

    def on_row(self, offset: float) -> Intervals:
        """Stations where a fastener may stand on the row line at `offset` (mm)."""
        low, _, high, _ = self.polygon.bounds
        line = LineString([(low - 1.0, offset), (high + 1.0, offset)])
        wood = _pieces(line.intersection(self.polygon))
        inside = _pieces(line.intersection(self.inner))
        keep = Intervals(wood.start + self.end, wood.end - self.end)
        return _overlap(keep, inside)


def _overlap(one: Intervals, two: Intervals) -> Intervals:
    """Pieces that lie in both."""
    start = np.maximum.outer(one.start, two.start).ravel()
    end = np.minimum.outer(one.end, two.end).ravel()
    ok = end - start >= -TINY
    start, end = start[ok], np.maximum(start[ok], end[ok])
    order = np.argsort(start)
    return Intervals(start[order], end[order])


def local_polygon(member: Member) -> Polygon:
    """The member's outline in its own frame."""
    return Polygon(member.to_local(member.outline))


def keep_out_shapes(
    member: Member, polygon: Polygon, keep_outs: list[KeepOut], extra: float = 0.0
) -> BaseGeometry:
    """Union of the keep-outs that reach this member, grown by clearance plus `extra` mm, own frame.

    `polygon` is the member in its own frame: whatever stays clear of its box is left away.
    """
    if not keep_outs:
        return Polygon()
    sizes = np.array([len(k.outline) for k in keep_outs])
    local = member.to_local(np.concatenate([k.outline for k in keep_outs]))
    grow = np.array([k.clearance + extra for k in keep_outs])
    begin = np.cumsum(sizes) - sizes
    far = MITRE * grow[:, None]  # a sharp corner goes farther than the side beside it
    low = np.minimum.reduceat(local, begin) - far
    high = np.maximum.reduceat(local, begin) + far
    left, bottom, right, top = polygon.bounds
    near = ((low <= (right, top)) & (high >= (left, bottom))).all(axis=1)
    if not near.any():
        return Polygon()
    shapes = shapely.polygons(
        shapely.linearrings(
            local[np.repeat(near, sizes)], indices=np.repeat(np.arange(near.sum()), sizes[near])
        )
    )
    grown = shapely.buffer(
        shapes,
        grow[near],
        join_style="mitre",
        mitre_limit=MITRE,
    )
    return shapely.union_all(grown)


def region_of(
    member: Member, edge: float, end: float, keep_outs: list[KeepOut], grow: float = 0.0
) -> Region:
    """The allowed region of a member.

    Args:
        member: the member.
        edge: least distance from any edge of the outline, mm.
        end: least distance from an end along the grain, mm.
        keep_outs: where nothing may go.
        grow: what the fastener itself needs around it on a keep-out (half a washer), mm.

    Returns:
        Region in the member's own frame; may be empty.
    """
    polygon = local_polygon(member)
    inner: BaseGeometry = polygon.buffer(SLACK - edge, join_style="mitre", mitre_limit=5.0)
    near = touching(member, keep_outs)
    if near and not inner.is_empty:
        inner = inner.difference(keep_out_shapes(member, polygon, near, grow))
    return Region(member, polygon, inner, end)


def touching(member: Member, keep_outs: list[KeepOut], margin: float = 200.0) -> list[KeepOut]:
    """The keep-outs that can touch a member at all, found cheaply."""
    left, bottom = (member.outline.min(axis=0) - margin).tolist()
    right, top = (member.outline.max(axis=0) + margin).tolist()
    return [
        k
        for k in keep_outs
        if left <= k.box[2] and bottom <= k.box[3] and k.box[0] <= right and k.box[1] <= top
    ]
