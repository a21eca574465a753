"""Fasteners off their marks: which of them still keep every distance.

A row that stands off its marks as a whole is moved as it was measured. One that was measured to be
off by no more than the tolerance stands anywhere within that; the least distances of the standard
are those of fasteners as they stand, not of their marks (EN 1995-1-1, Tables 8.2 and 8.4, say
minimum and no tolerance: from memory, to be checked), so that it counts only where it keeps them
whichever way it is off. What is too near to an edge, an end, a plate or another nail is no nail of
the schedule any more and does not count; what passes from ply to ply is worked out where the nails
really are.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from girderply.inspection.as_built import AsBuilt
from girderply.inspection.bench import EPS, Bench
from girderply.inspection.room import Room
from girderply.layout.records import Bools, Floats, Ints
from girderply.layout.region import region_of

Some = tuple[str, Ints, Floats]  # a member, its fasteners by index, how far each may be off, mm


def settled(bench: Bench, built: AsBuilt) -> AsBuilt:
    """The same, with what stands, or may stand, too near to something no longer counting."""
    off = built.counts & (np.nan_to_num(built.spread) > EPS)
    stirred = built.moved | off
    if not np.any(stirred):
        return built
    room, f = Room(bench, built), built.fasteners
    near = np.zeros(len(f), bool)
    for member in dict.fromkeys(f.member[stirred].tolist()):
        mine = np.flatnonzero((f.member == member) & built.there & f.driven)
        by = np.where(off[mine], built.spread[mine], 0.0)
        near[mine] |= _off_region(bench, built, room, (member, mine, by))
        near[mine] |= _too_near(bench, built, room, (member, mine, by))
    own = bench.schedule.fasteners
    away = np.hypot(f.station - own.station, f.offset - own.offset)
    # A bolt's place is its hole's: one that stands off with its row is no bolt of the schedule.
    near |= ~f.driven & (away > bench.schedule.rules.tolerance + EPS)
    return replace(built, counts=built.counts & ~(near & stirred))


def _off_region(bench: Bench, built: AsBuilt, room: Room, some: Some) -> Bools:
    """(m,) maybe too near to an edge, an end, a plate, a bracket or a washer."""
    member, mine, by = some
    f, limits = built.fasteners, room.limits(member, None)
    whole = bench.schedule.girder.member(member)
    # A pattern that was prescribed nearer to the edge than the limit stays where it was.
    designed = np.abs(bench.schedule.fasteners.offset[mine]).max(initial=0.0)
    edge = min(limits.a4, max(0.0, whole.depth / 2 - designed - 1e-3))
    # Clearances to plates and washers allow for the tolerance; a shank on one is no nail.
    allowed, keep_outs = bench.schedule.rules.tolerance, room.keep_outs()
    shank = bench.thickest.d / 2
    off = np.ones(len(mine), bool)
    for far in np.unique(by).tolist():
        keep = [
            replace(k, clearance=max(0.0, k.clearance - allowed) + far + shank) for k in keep_outs
        ]
        region = region_of(whole, edge + far, limits.a3 + far, keep)
        for line in np.unique(f.offset[mine][by == far]):
            on = (f.offset[mine] == line) & (by == far)
            off[on] = ~region.on_row(float(line)).contain(f.station[mine][on])
    return off


def _too_near(bench: Bench, built: AsBuilt, room: Room, some: Some) -> Bools:
    """(m,) maybe too near to another nail in a common ply, which the schedule has farther away."""
    member, mine, by = some
    f = built.fasteners
    nails = [bench.schedule.nails[spec] for spec in f.spec[mine].tolist()]
    least = np.array([(own.a1, own.a2) for own in (room.limits(member, n) for n in nails)])
    a1, a2 = (np.maximum(column[:, None], column[None, :]) for column in least.T)
    low, high = np.minimum(f.from_ply, f.to_ply)[mine], np.maximum(f.from_ply, f.to_ply)[mine]
    meet = (low[:, None] <= high[None, :]) & (low[None, :] <= high[:, None])

    def close(columns: tuple[Floats, Floats], less: Floats) -> Bools:
        along, across = (np.abs(c[mine][:, None] - c[mine][None, :]) - less for c in columns)
        return np.asarray(meet & (along < a1 - EPS) & (across < a2 - EPS), bool)

    own = bench.schedule.fasteners
    now = close((f.station, f.offset), by[:, None] + by[None, :])
    new = now & ~close((own.station, own.offset), np.zeros((1, 1)))
    np.fill_diagonal(new, False)
    return np.asarray(new.any(axis=1), bool)
