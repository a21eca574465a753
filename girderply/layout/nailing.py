"""Nails of one member: the pattern laid along it for every stage, mended where it cannot stand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.errors import Finding, Severity
from girderply.layout.board import Board, Group, clashes
from girderply.layout.brief import Brief
from girderply.layout.limits import Limits
from girderply.layout.patterns import Pattern
from girderply.layout.region import Intervals, KeepOut, Region, merge, region_of
from girderply.layout.spread import Density, Phase, Tape, sequence
from girderply.layout.stages import Pass
from girderply.model.girder import Array

DRILL_SHARE = 0.8  # of the shank: predrilled nails, EN 1995-1-1:2004+A2:2014, 10.4.2


@dataclass(frozen=True, slots=True)
class Strip:
    """One member made ready for nailing.

    Attributes:
        intervals: allowed stations on each line of the pattern.
        free: their union.
        sharing: the most stages whose nails stand in one ply.
    """

    pattern: Pattern
    limits: Limits
    region: Region
    intervals: tuple[Intervals, ...]
    free: Intervals
    sharing: int = 1

    @property
    def rank(self) -> np.ndarray:
        """(lines,) order of the lines from below, so that mirrored members are nailed alike."""
        up = math.cos(self.region.member.angle) > -1e-9
        index = np.arange(len(self.pattern.lines))
        return index if up else index[::-1]

    @property
    def required(self) -> int:
        """Nails that length / pitch asks for in every interface."""
        length = self.region.member.length
        return math.ceil(self.pattern.rows * length / self.pattern.pitch - 1e-9)


@dataclass(frozen=True, slots=True)
class Spots:
    """Places of nails: station and offset (n,), mm; line: (n,) index; turn: (n,) 0 or 1."""

    station: Array
    line: np.ndarray
    offset: Array
    turn: np.ndarray

    def take(self, index: np.ndarray) -> Spots:
        """The chosen ones."""
        return Spots(self.station[index], self.line[index], self.offset[index], self.turn[index])


def make_strip(
    brief: Brief, region_limits: Limits, pattern: Pattern, keep_outs: list[KeepOut], sharing: int
) -> Strip:
    """Find where the pattern's lines may hold nails.

    A prescribed pattern nearer to the edge than allowed is laid out all the same; that it breaks
    the limit has been reported when it was read.
    """
    member = brief.girder.member(pattern.member)
    outermost = member.depth / 2 - max(abs(v) for v in pattern.lines)
    edge = min(region_limits.a4, outermost - 1e-3) if pattern.prescribed else region_limits.a4
    region = region_of(member, edge, region_limits.a3, keep_outs)
    rows = tuple(region.on_row(v) for v in pattern.lines)
    return Strip(pattern, region_limits, region, rows, merge(list(rows)), sharing)


def place_member(
    brief: Brief,
    board: Board,
    strip: Strip,
    passes: Sequence[Sequence[Pass]],
    densities: Sequence[Sequence[Density]],
) -> int:
    """Put the nails of every stage of one member on the board.

    Args:
        brief: girder and rules.
        board: takes the nails and the findings.
        strip: the member made ready.
        passes: per rule stage, its passes (two where the faces share the pattern).
        densities: per rule stage, closer centres in parts of the member.

    Returns:
        Least number of nails placed for one rule stage.
    """
    counts: list[int] = []
    first: Spots | None = None
    for group, shared in enumerate(passes):
        spots = _pattern_spots(brief, board, strip, group, shared, densities[group])
        spots = _fill_up(brief, board, strip, spots, shared)
        first = spots if first is None else first
        counts.append(len(spots.station))
        for p in shared:
            mine = spots if p.share is None else spots.take(np.flatnonzero(spots.turn == p.share))
            board.put(_group(brief, strip, mine, p))
    if first is not None:
        board.findings += _gap_findings(brief, strip, first)
    least = min(counts, default=0)
    board.findings += _too_few(brief, strip, least)
    return least


def _pattern_spots(
    brief: Brief,
    board: Board,
    strip: Strip,
    group: int,
    shared: Sequence[Pass],
    densities: Sequence[Density],
) -> Spots:
    """The pattern's own places in one stage, less what cannot stand."""
    pattern = strip.pattern
    zigzag = pattern.stagger and len(pattern.lines) > 1
    phase, swap = phase_of(group, strip.sharing, zigzag)
    tape = brief.tape(strip.region.member)
    stations = sequence(strip.free, pattern.centres, phase, tape, densities)
    spots = _on_lines(strip, stations, swap) if zigzag else _all_lines(strip, stations)
    return _mend(brief, board, strip, spots, _reach(shared))


def phase_of(group: int, sharing: int, zigzag: bool) -> tuple[Phase, int]:
    """Where along the pattern a stage starts, so that no nail meets a nail of another stage.

    Stages that stand in one ply are spread evenly between two nails of one row.

    Args:
        group: index of the rule's stage.
        sharing: the most stages whose nails stand in one ply.
        zigzag: rows take turns; two nails of one row are two centres apart.

    Returns:
        The phase, and 1 where the rows change places.
    """
    starts = [k / sharing * (2 if zigzag else 1) for k in range(sharing)]
    start = starts[group % sharing]
    return Phase(start % 1.0, max(x % 1.0 for x in starts)), int(start)


def _reach(shared: Sequence[Pass]) -> tuple[int, int]:
    """Lowest and highest ply that the nails of a rule stage are in."""
    return min(p.reach[0] for p in shared), max(p.reach[1] for p in shared)


def _all_lines(strip: Strip, stations: Array) -> Spots:
    """Every line has a nail at every station, where it may stand."""
    parts = []
    for line, (offset, free) in enumerate(zip(strip.pattern.lines, strip.intervals, strict=True)):
        index = np.flatnonzero(free.contain(stations))
        n = len(index)
        parts.append(
            Spots(stations[index], np.full(n, line), np.full(n, offset), (index + line) % 2)
        )
    return _join(parts)


def _on_lines(strip: Strip, stations: Array, swap: int) -> Spots:
    """Lines take turns: even lines at even stations, odd ones between.

    Where none of the lines whose turn it is may hold a nail, another line takes it.
    """
    offsets = np.array(strip.pattern.lines)
    allowed = np.array([free.contain(stations) for free in strip.intervals])
    index = np.arange(len(stations))
    due = (strip.rank[:, None] + index[None, :] + swap) % 2 == 0
    chosen = due & allowed
    orphan = ~chosen.any(axis=0) & allowed.any(axis=0)
    stand_in = np.argmax(allowed, axis=0)
    chosen[stand_in[orphan], index[orphan]] = True
    line, at = np.nonzero(chosen)
    order = np.lexsort((line, at))
    line, at = line[order], at[order]
    # Along one row faces alternate from nail to nail; a row that steps aside is one row.
    turn = at % 2 if strip.pattern.rows == 1 else (at // 2) % 2
    return Spots(stations[at], line, offsets[line], turn)


def _join(parts: list[Spots]) -> Spots:
    """Several sets of places as one, by station."""
    station = np.concatenate([p.station for p in parts])
    line = np.concatenate([p.line for p in parts])
    offset = np.concatenate([p.offset for p in parts])
    turn = np.concatenate([p.turn for p in parts])
    order = np.lexsort((line, station))
    return Spots(station[order], line[order], offset[order], turn[order])


def _mend(brief: Brief, board: Board, strip: Strip, spots: Spots, reach: tuple[int, int]) -> Spots:
    """Move places that clash with what stands already; drop those that find no room."""
    others = board.near(strip.region.member.id, reach, "nail")
    a1, a2 = strip.limits.a1, strip.limits.a2
    bad = clashes(spots.station, spots.offset, others, a1, a2)
    bad |= _crowded(spots, a1, a2)
    if not bad.any():
        return spots
    kept = spots.take(np.flatnonzero(~bad))
    for i in np.flatnonzero(bad):
        moved = _nudge(brief, strip, spots.take(np.array([i])), kept, others)
        if moved is not None:
            kept = _join([kept, moved])
    return kept


def _crowded(spots: Spots, a1: float, a2: float) -> np.ndarray:
    """(n,) whether a place is too near to an earlier one of the same stage.

    Places are sorted by station, so only neighbours within a1 need a look.
    """
    n = len(spots.station)
    bad = np.zeros(n, bool)
    for shift in range(1, min(n, 2 * (int(spots.line.max(initial=0)) + 1) + 1)):
        near = spots.station[shift:] - spots.station[:-shift] < a1 - 1e-6
        near &= np.abs(spots.offset[shift:] - spots.offset[:-shift]) < a2 - 1e-6
        bad[shift:] |= near & ~bad[:-shift]
    return bad


def _nudge(
    brief: Brief, strip: Strip, spot: Spots, kept: Spots, others: tuple[Array, Array]
) -> Spots | None:
    """The nearest free place within half the centres, same line first; None where there is none."""
    step = brief.rules.station_step
    reach = int(strip.pattern.centres / 2 / step)
    shift = np.array([s * sign for s in range(1, reach + 1) for sign in (1, -1)]) * step
    lines = sorted(range(len(strip.pattern.lines)), key=lambda k: k != spot.line[0])
    for line in lines:
        station = spot.station[0] + (np.concatenate([[0.0], shift]) if len(shift) else [0.0])
        free = _free(strip, station, line, kept, others)
        if free.any():
            at = np.array([station[np.argmax(free)]])
            offset = np.array([strip.pattern.lines[line]])
            return Spots(at, np.array([line]), offset, spot.turn)
    return None


def _free(
    strip: Strip, station: Array, line: int, kept: Spots, others: tuple[Array, Array]
) -> np.ndarray:
    """(n,) whether a nail may stand at these stations of a line, mm."""
    offset = np.full(len(station), strip.pattern.lines[line])
    a1, a2 = strip.limits.a1, strip.limits.a2
    ok = strip.intervals[line].contain(station)
    ok &= ~clashes(station, offset, others, a1, a2)
    ok &= ~clashes(station, offset, (kept.station, kept.offset), a1, a2)
    return np.asarray(ok, bool)


def _fill_up(
    brief: Brief, board: Board, strip: Strip, spots: Spots, shared: Sequence[Pass]
) -> Spots:
    """Put what the keep-outs swallowed on both sides of them, until the count is due."""
    missing = strip.required - len(spots.station)
    if missing <= 0 or not len(strip.free):
        return spots
    others = board.near(strip.region.member.id, _reach(shared), "nail")
    edges = _gap_edges(strip, spots)
    tape = brief.tape(strip.region.member)
    pools = [_pool(tape, free) for free in strip.intervals]
    for k in range(missing):
        best = _best(strip, spots, others, pools, edges[k % len(edges)])
        if best is None:
            break
        spots = _join([spots, best])
    return spots


def _gap_edges(strip: Strip, spots: Spots) -> Array:
    """Where free pieces end, the widest gap first; both sides of each, mm."""
    free = strip.free
    ends = (
        np.concatenate([[0.0], free.end]),
        np.concatenate([free.start, [strip.region.member.length]]),
    )
    order = np.argsort(-(ends[1] - ends[0]), kind="stable")
    edges = [x for i in order for x in (ends[0][i], ends[1][i])]
    inside = [x for x in edges if len(spots.station) == 0 or free.start[0] <= x <= free.end[-1]]
    return np.array(inside or edges)


def _pool(tape: Tape, free: Intervals) -> Array:
    """Stations of a line that a tape can show, mm."""
    parts = [tape.marks(a, b) for a, b in zip(free.start, free.end, strict=True)]
    return np.concatenate(parts) if parts else np.zeros(0)


def _best(
    strip: Strip,
    spots: Spots,
    others: tuple[Array, Array],
    pools: list[Array],
    target: float,
) -> Spots | None:
    """The free place nearest to a station, over all lines.

    Places beside no other nail of the stage go first: two nails at one station would sit in one
    line across the grain.
    """
    for apart in (np.inf, strip.limits.a2):
        found: list[tuple[float, int, float, int]] = []
        for line, pool in enumerate(pools):
            free = pool[_free(strip, pool, line, spots, others)] if len(pool) else pool
            beside = clashes(
                free,
                np.full(len(free), strip.pattern.lines[line]),
                (spots.station, spots.offset),
                strip.limits.a1,
                apart,
            )
            free = free[~beside]
            if len(free):
                at = float(free[np.argmin(np.abs(free - target))])
                found.append((round(abs(at - target), 3), int(strip.rank[line]), at, line))
        if found:
            _, _, at, line = min(found)
            side = int(np.sum(spots.turn) * 2 < len(spots.turn))
            offset = np.array([strip.pattern.lines[line]])
            return Spots(np.array([at]), np.array([line]), offset, np.array([side]))
    return None


def _group(brief: Brief, strip: Strip, spots: Spots, p: Pass) -> Group:
    """Columns of the nails of one pass."""
    rows = np.minimum(spots.line + 1, strip.pattern.rows)
    common: dict[str, object] = {
        "kind": "nail",
        "spec": p.nail.key,
        "joint": "",
        "stage": p.stage,
        "face": p.face,
        "from_ply": p.from_ply,
        "to_ply": p.to_ply,
        "protrusion": p.protrusion,
        "point_depth": p.point_depth,
        "clench": p.clench,
        "drilled": DRILL_SHARE * p.nail.d if brief.girder.predrilled else 0.0,
        "purpose": "assembly",
        "load": "",
        "rows": strip.pattern.rows,
    }
    return Group(strip.region.member, spots.station, spots.offset, rows, p.reach, common)


def _gap_findings(brief: Brief, strip: Strip, spots: Spots) -> list[Finding]:
    """Stretches wider than the centres without a nail, one finding per member."""
    member, show = strip.region.member, brief.show
    if not len(spots.station):
        return []
    at = np.concatenate([[0.0], np.unique(spots.station), [member.length]])
    gaps = np.diff(at)
    most = np.full(len(gaps), strip.pattern.centres)
    ends = brief.rules.limits.end_max_d
    if ends is not None:
        nail = brief.nail
        most[[0, -1]] = np.minimum(most[[0, -1]], ends * (nail.d if nail else 0.0))
    wide = np.flatnonzero(gaps > most + 1e-6)
    if not len(wide):
        return []
    starts = sorted(
        (min(brief.tape_station(member, at[k]) for k in (i, i + 1)), gaps[i]) for i in wide
    )
    pieces = [f"{show.span(gap)} from {show.span(start)}" for start, gap in starts]
    return [
        Finding(
            "gap-over-keep-out",
            Severity.NOTE,
            member.id,
            f"{member.id}: more than the centres of {show.span(strip.pattern.centres)} without a "
            f"nail over plates, washers, brackets or at an end: {', '.join(pieces)}; "
            f"{len(spots.station)} nails stand where {strip.required} are due",
        )
    ]


def _too_few(brief: Brief, strip: Strip, least: int) -> list[Finding]:
    """A member that has no room for the nails due."""
    if least >= strip.required:
        return []
    member, show = strip.region.member, brief.show
    return [
        Finding(
            "too-few-nails",
            Severity.WARNING,
            member.id,
            f"{member.id}: {least} of {strip.required} nails per interface found room; "
            f"{show.span(strip.free.length)} of {show.span(member.length)} is free of plates, "
            "washers, brackets, edges and ends",
            strip.limits.clause,
            "ask the truss designer whether the joints' fasteners are enough for this member",
        )
    ]
