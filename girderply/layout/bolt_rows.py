"""Rows of through bolts along members, and groups of bolts that carry a load."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.layout.bolt_board import Bolting
from girderply.layout.bolting import free_stations, line_for_bolts, put
from girderply.model.girder import Array, Member


@dataclass(frozen=True, slots=True)
class BoltGroup:
    """Bolts beside a load, where they carry it from ply to ply.

    Attributes:
        member: chord. start, end: stations between which they may stand, mm. at: of the load, mm.
        count: bolts. rows: they stand in.
    """

    member: str
    start: float
    end: float
    at: float
    count: int
    rows: int


def place_rows(work: Bolting, groups: Sequence[BoltGroup]) -> None:
    """Place the rule set's rows of through bolts, then the groups that carry loads."""
    if work.brief.bolt is None:
        return
    for member in work.brief.girder.members:
        _rule_rows(work, member)
        for group in groups:
            if group.member == member.id:
                _group(work, member, group)


def _rule_rows(work: Bolting, member: Member) -> None:
    """Rows along a whole member, where the rule set has them."""
    rule = work.brief.ply_rule
    held_by_nails = not member.role.is_chord and any(s.fastens for s in rule.stages)
    if not rule.through_bolt_rows or rule.through_bolt_pitch is None or held_by_nails:
        return
    rows, gauge = _bolt_gauge(work, member, rule.through_bolt_rows)
    offsets = [(row - (rows - 1) / 2) * gauge for row in range(rows)]
    first = _first(work, member, offsets, rule.through_bolt_pitch)
    for row, offset in enumerate(offsets):
        for mark, at in _marks(work, member, offset, first, rule.through_bolt_pitch):
            comb = (first, rule.through_bolt_pitch, mark)
            put(work, member, at, offset, row + 1, rows=rows, comb=comb)


def _group(work: Bolting, member: Member, group: BoltGroup) -> None:
    """The free places nearest to the load, row by row."""
    rows, gauge = _bolt_gauge(work, member, group.rows)
    each = math.ceil(group.count / rows)
    for row in range(rows):
        offset = (row - (rows - 1) / 2) * gauge
        pool = free_stations(work, member, offset)
        pool = pool[(pool >= group.start) & (pool <= group.end)]
        _, limits = line_for_bolts(work, member, offset)
        order = np.lexsort((pool, np.round(np.abs(pool - group.at), 3)))
        for at in _apart(pool[order], limits.a1, each):
            put(work, member, at, offset, row + 1, rows=rows)


def _apart(pool: Array, least: float, count: int) -> list[float]:
    """The first `count` of the places that keep `least` mm from each other."""
    chosen: list[float] = []
    for at in pool.tolist():
        if len(chosen) == count:
            break
        if all(abs(at - c) >= least - 1e-6 for c in chosen):
            chosen.append(at)
    return chosen


def _bolt_gauge(work: Bolting, member: Member, rows: int) -> tuple[int, float]:
    """As many of the rows as the depth takes, and their gauge, mm."""
    own, brief = work.brief.rules, work.brief
    two = own.limits.two_rows_above_depth_per_thickness
    if two is not None and member.depth <= two * brief.girder.ply_thickness:
        rows = min(rows, 1)
    _, limits = line_for_bolts(work, member, 0.0)
    for count in range(rows, 1, -1):
        room = (member.depth - 2 * limits.a4) / (count - 1)
        if room >= limits.a2 - 1e-6:
            return count, max(limits.a2, min(room, member.depth / (count + 1)))
    return 1, 0.0


def _marks(
    work: Bolting, member: Member, offset: float, first: float, pitch: float
) -> list[tuple[int, float]]:
    """Marks of a comb from `first` (mm) that a bolt may stand at: number and station (mm)."""
    pool = free_stations(work, member, offset)
    count = int((member.length - first) / pitch) + 1
    station = first + np.arange(count) * pitch
    near = np.abs(pool[:, None] - station[None, :]).min(axis=0, initial=np.inf)
    return [(k, float(station[k])) for k in np.flatnonzero(near < 1e-6).tolist()]


def _first(work: Bolting, member: Member, offsets: Sequence[float], pitch: float) -> float:
    """The first mark that keeps most bolts, mm; a bare end has one within its greatest distance.

    Every bracket that a mark falls on swallows it: no bolt is put beside it in its place.
    """
    rules = work.brief.rules
    most = rules.bolts.end_max_d if rules.bolts is not None else None
    tape, bolt = rules.station_step, work.brief.bolt
    free = [line_for_bolts(work, member, v)[0] for v in offsets]
    low = min((float(f.start[0]) for f in free if len(f)), default=0.0)
    grid = np.arange(0.0, pitch - 1e-6, rules.setting_out.first_step)
    if most is not None and bolt is not None and low <= most * bolt.d:
        grid = np.arange(math.ceil(low / tape - 1e-6), math.floor(most * bolt.d / tape + 1e-6) + 1)
        grid = grid * tape
    firsts = grid if len(grid) else np.array([math.ceil(low / tape) * tape])
    kept = [sum(len(_marks(work, member, v, f, pitch)) for v in offsets) for f in firsts.tolist()]
    return float(firsts[int(np.argmax(kept))])
