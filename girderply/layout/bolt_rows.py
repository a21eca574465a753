"""Rows of through bolts along members, and groups of bolts that carry a load."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from girderply.errors import Finding, Severity
from girderply.layout.bolt_board import Bolting
from girderply.layout.bolt_places import free_stations, line_for_bolts, put
from girderply.layout.strip import counts_up
from girderply.model.girder import Array, Member
from girderply.wording import said

CLOSEST = 2 / 3  # of the rule's pitch: closer bolts cost more than a gap beside a plate


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
    offsets = _offsets(work, member, rule.through_bolt_rows)
    rows = len(offsets)
    first, step = _comb(work, member, offsets, rule.through_bolt_pitch)
    for row, offset in enumerate(offsets):
        for mark, at in _marks(work, member, offset, first, step):
            put(work, member, at, offset, row + 1, rows=rows, comb=(first, step, mark))
    work.findings += bolt_gaps(work, member)


def _group(work: Bolting, member: Member, group: BoltGroup) -> None:
    """The free places nearest to the load, row by row."""
    offsets = _offsets(work, member, group.rows)
    rows = len(offsets)
    each = math.ceil(group.count / rows)
    for row, offset in enumerate(offsets):
        pool = free_stations(work, member, offset)
        pool = pool[(pool >= group.start - 1e-6) & (pool <= group.end + 1e-6)]
        _, limits = line_for_bolts(work, member, offset)
        order = np.lexsort((pool, np.round(np.abs(pool - group.at), 3)))
        for at in _apart(pool[order], limits.a1, each):
            put(work, member, at, offset, row + 1, rows=rows)


def _offsets(work: Bolting, member: Member, rows: int) -> list[float]:
    """Of the rows that the depth takes, mm, in the order in which people count them."""
    rows, gauge = _bolt_gauge(work, member, rows)
    rising = [(row - (rows - 1) / 2) * gauge for row in range(rows)]
    return rising if counts_up(work.brief, member) else rising[::-1]


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


def _comb(
    work: Bolting, member: Member, offsets: Sequence[float], pitch: float
) -> tuple[float, float]:
    """First mark and step of the rows, mm: the rule's pitch, or a closer step of the ladder.

    A closer one where brackets and plates swallow marks of the pitch and leave more bolts of a row
    too far apart, as a step that divides the spacing of the brackets does not.
    """
    most = most_apart(work)
    if most is None:
        return _first(work, member, offsets, pitch), pitch
    _, limits = line_for_bolts(work, member, offsets[0])
    least = max(limits.a1, CLOSEST * pitch) - 1e-6
    ladder = [s for s in work.brief.rules.setting_out.ladder if least <= s < pitch - 1e-6]
    found: list[tuple[int, int, float, float]] = []
    for step in (pitch, *ladder):
        first = _first(work, member, offsets, step)
        rows = [[at for _, at in _marks(work, member, v, first, step)] for v in offsets]
        wide = sum(b - a > most + 1e-6 for row in rows for a, b in pairwise(row))
        found.append((wide, sum(map(len, rows)), first, step))
        if not wide:
            break
    return min(found)[2:]


def most_apart(work: Bolting) -> float | None:
    """The most that two bolts of a row may be apart by the rule, mm; None: it has no such limit."""
    own = work.brief.rules.bolts
    most = own.spacing_max_thickness if own is not None else None
    return None if most is None else most * work.brief.girder.ply_thickness


def bolt_gaps(work: Bolting, member: Member) -> list[Finding]:
    """A warning for a member whose rows have bolts farther apart than the rule allows."""
    most, show = most_apart(work), work.brief.show
    if most is None:
        return []
    rows: dict[float, list[float]] = {}
    mine = [s for s in work.spots if s.member.id == member.id]
    for s in mine:
        if any(c.comb and abs(c.offset - s.offset) < 1e-3 for c in mine):
            rows.setdefault(round(s.offset, 3), []).append(s.station)
    wide = sorted(
        (a, b - a) for row in rows.values() for a, b in pairwise(sorted(row)) if b - a > most + 1e-6
    )
    if not wide:
        return []
    values = {
        "member": member.id,
        "most": show.span(most),
        "widest": show.span(max(gap for _, gap in wide)),
        "first": show.span(wide[0][0]),
        "count": len(wide),
    }
    text = said("finding.bolt_gaps" if len(wide) > 1 else "finding.bolt_gap", **values)
    return [Finding("bolt-gap", Severity.WARNING, member.id, text, work.brief.rules.source)]


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
