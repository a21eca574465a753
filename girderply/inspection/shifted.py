"""Rows that stand off their marks as a whole: what counts there, by the layout's own limits.

A row shifted by 15 mm is as good as one on its marks while it keeps its distances: to ends and
edges, plates, brackets and washers, and to the other nails; up to the tolerance it counts as any
misplaced nail does. What does not keep them stands there and does not count; what passes from ply
to ply is worked out where the nails really are.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from girderply.inspection.as_built import AsBuilt
from girderply.inspection.bench import EPS, Bench
from girderply.inspection.room import Room
from girderply.layout.records import Bools
from girderply.layout.region import region_of


def settled(bench: Bench, built: AsBuilt) -> AsBuilt:
    """The same, with what a shift has brought too near to something no longer counting."""
    if not np.any(built.moved):
        return built
    room, f = Room(bench, built), built.fasteners
    near = np.zeros(len(f), bool)
    for member in dict.fromkeys(f.member[built.moved].tolist()):
        mine = np.flatnonzero((f.member == member) & built.there & f.driven)
        near[mine] |= _off_region(bench, built, room, member, mine)
        near[mine] |= _too_near(bench, built, room, member, mine)
    own = bench.schedule.fasteners
    off = np.hypot(f.station - own.station, f.offset - own.offset)
    near |= ~f.driven  # a bolt's place is its hole's
    near &= built.moved & (off > bench.schedule.rules.tolerance + EPS)
    return replace(built, counts=built.counts & ~near)


def _off_region(bench: Bench, built: AsBuilt, room: Room, member: str, mine: np.ndarray) -> Bools:
    """(m,) too near to an edge, an end, a plate, a bracket or a washer."""
    f, limits = built.fasteners, room.limits(member, None)
    whole = bench.schedule.girder.member(member)
    # A pattern that was prescribed nearer to the edge than the limit stays where it was.
    designed = np.abs(bench.schedule.fasteners.offset[mine]).max(initial=0.0)
    edge = min(limits.a4, max(0.0, whole.depth / 2 - designed - 1e-3))
    # Clearances to plates and washers allow for the tolerance; a nail on one is no nail.
    allowed = bench.schedule.rules.tolerance
    keep = [replace(k, clearance=max(0.0, k.clearance - allowed)) for k in room.keep_outs()]
    region = region_of(whole, edge, limits.a3, keep)
    off = np.ones(len(mine), bool)
    for line in np.unique(f.offset[mine]):
        on = f.offset[mine] == line
        off[on] = ~region.on_row(float(line)).contain(f.station[mine][on])
    return off


def _too_near(bench: Bench, built: AsBuilt, room: Room, member: str, mine: np.ndarray) -> Bools:
    """(m,) too near to another nail in a common ply, where the schedule has them farther apart."""
    f, limits = built.fasteners, room.limits(member, None)
    low, high = np.minimum(f.from_ply, f.to_ply)[mine], np.maximum(f.from_ply, f.to_ply)[mine]
    meet = (low[:, None] <= high[None, :]) & (low[None, :] <= high[:, None])

    def close(columns: tuple[np.ndarray, np.ndarray]) -> Bools:
        along, across = (np.abs(c[mine][:, None] - c[mine][None, :]) for c in columns)
        return np.asarray(meet & (along < limits.a1 - EPS) & (across < limits.a2 - EPS), bool)

    own = bench.schedule.fasteners
    new = close((f.station, f.offset)) & ~close((own.station, own.offset))
    np.fill_diagonal(new, False)
    return np.asarray(new.any(axis=1), bool)
