"""Rows of through bolts along members, and groups of bolts that carry a load."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.layout.bolt_board import Bolting
from girderply.layout.bolting import free_stations, line_for_bolts, put
from girderply.layout.spread import Phase, sequence
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
    for row in range(rows):
        offset = (row - (rows - 1) / 2) * gauge
        for at in _row_stations(work, member, offset, rule.through_bolt_pitch):
            put(work, member, at, offset, row + 1, rows=rows)


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


def _row_stations(work: Bolting, member: Member, offset: float, pitch: float) -> list[float]:
    """Stations of one row over a whole member, the free places nearest to an even pitch, mm."""
    free, limits = line_for_bolts(work, member, offset)
    pool = free_stations(work, member, offset)
    chosen: list[float] = []
    for wish in sequence(free, pitch, Phase(), work.brief.tape()):
        near = pool[np.argsort(np.abs(pool - wish), kind="stable")][:200]
        room = [s for s in near if all(abs(s - c) >= limits.a1 - 1e-6 for c in chosen)]
        if room and abs(room[0] - wish) <= limits.a1:
            chosen.append(float(room[0]))
    return sorted(chosen)
