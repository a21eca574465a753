"""Nails that cannot stand where the pattern has them: moved, or put elsewhere on the member."""

from __future__ import annotations

import bisect
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.bases.answers import Limits
from girderply.layout.board import Board, clashes
from girderply.layout.brief import Brief
from girderply.layout.region import Intervals
from girderply.layout.spread import Tape
from girderply.layout.stages import Pass, reach_of
from girderply.layout.strip import Spots, Strip, join
from girderply.model.girder import Array


def mend(brief: Brief, board: Board, strip: Strip, spots: Spots, reach: tuple[int, int]) -> Spots:
    """Move places that clash with what stands already; drop those that find no room."""
    others = board.near(strip.region.member.id, reach)
    a1, a2 = strip.limits.a1, strip.limits.a2
    bad = clashes(spots.station, spots.offset, others, a1, a2)
    bad |= _crowded(spots, a1, a2)
    if not bad.any():
        return spots
    kept = spots.take(np.flatnonzero(~bad))
    astray = spots.take(np.flatnonzero(bad))
    around = astray.station[:, None] + _shifts(brief, strip)
    inside = np.array([free.contain(around) for free in strip.intervals])
    standing = _Standing(strip, others, kept)
    moved = [
        new
        for i, line in enumerate(astray.line.tolist())
        if (new := _nudge(strip, around[i], inside[:, i], line, standing)) is not None
    ]
    return join([kept, *moved]) if moved else kept


def _shifts(brief: Brief, strip: Strip) -> Array:
    """Steps of the tape within half the centres, the shortest first, mm."""
    step = brief.rules.station_step
    reach = int(strip.pattern.centres / 2 / step)
    return np.array([0.0, *(s * sign for s in range(1, reach + 1) for sign in (1, -1))]) * step


class _Standing:
    """Nails that stand, told to every line that they are too near to across the member."""

    def __init__(self, strip: Strip, others: tuple[Array, Array], kept: Spots) -> None:
        self.strip = strip
        station = np.concatenate([others[0], kept.station])
        offset = np.concatenate([others[1], kept.offset])
        self.lines = [
            np.sort(station[self._beside(offset, line)]).tolist() for line in strip.pattern.lines
        ]

    def _beside(self, offset: Array, line: float) -> np.ndarray:
        return np.asarray(np.abs(offset - line) < self.strip.limits.a2 - 1e-6)

    def add(self, station: float, offset: float) -> None:
        """One more."""
        for stations, line in zip(self.lines, self.strip.pattern.lines, strict=True):
            if self._beside(np.array(offset), line):
                bisect.insort(stations, station)

    def clash(self, station: Array, line: int) -> np.ndarray:
        """(n,) whether places of a line are too near along it to what stands, mm."""
        a1, stations = self.strip.limits.a1, self.lines[line]
        low = bisect.bisect_left(stations, float(station.min()) - a1)
        high = bisect.bisect_left(stations, float(station.max()) + a1)
        if low == high:
            return np.zeros(len(station), bool)
        near = np.array(stations[low:high])
        found = (np.abs(station[:, None] - near) < a1 - 1e-6).any(axis=1)
        return np.asarray(found, bool)


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
    strip: Strip, around: Array, inside: np.ndarray, first: int, standing: _Standing
) -> Spots | None:
    """The nearest free place, same line first; None where there is none.

    Args:
        strip: the member made ready.
        around: (r,) stations to try, the best first, mm.
        inside: (lines, r) whether a nail may stand there at all.
        first: line to try first.
        standing: what stands; takes the place that is found.
    """
    for line in sorted(range(len(strip.pattern.lines)), key=lambda k: k != first):
        places = around[inside[line]]
        if not len(places):
            continue
        free = ~standing.clash(places, line)
        if free.any():
            at, offset = float(places[np.argmax(free)]), strip.pattern.lines[line]
            standing.add(at, offset)
            return Spots(np.array([at]), np.array([line]), np.array([offset]))
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


def fill_up(
    brief: Brief, board: Board, strip: Strip, spots: Spots, shared: Sequence[Pass]
) -> Spots:
    """Put what the keep-outs swallowed on both sides of them, until the count is due."""
    missing = strip.required - len(spots.station)
    if missing <= 0 or not len(strip.free):
        return spots
    others = board.near(strip.region.member.id, reach_of(shared))
    edges = _gap_edges(strip, spots)
    tape = brief.tape(strip.region.member)
    rooms = [_room(strip, _pool(tape, f), k, spots, others) for k, f in enumerate(strip.intervals)]
    added: list[Spots] = []
    for k in range(missing):
        best = _best(strip, rooms, edges[k % len(edges)])
        if best is None:
            break
        added.append(best)
        for room in rooms:
            room.take(best, strip.limits)
    return join([spots, *added]) if added else spots


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


@dataclass(slots=True)
class _Room:
    """Places of one line that a nail may still stand at; they only become fewer.

    Attributes:
        station: (n,) rising, mm. offset: of the line, mm.
        lone: (n,) whether no nail of the stage stands within a1 along, on any line.
    """

    station: Array
    offset: float
    lone: np.ndarray

    def take(self, spot: Spots, limits: Limits) -> None:
        """A nail now stands there: drop what is too near to it."""
        low, high = np.searchsorted(
            self.station, (spot.station[0] - limits.a1, spot.station[0] + limits.a1)
        )
        near = np.abs(self.station[low:high] - spot.station[0]) < limits.a1 - 1e-6
        self.lone[low:high] &= ~near
        if abs(self.offset - spot.offset[0]) < limits.a2 - 1e-6:
            keep = np.ones(len(self.station), bool)
            keep[low:high] = ~near
            self.station, self.lone = self.station[keep], self.lone[keep]


def _room(strip: Strip, pool: Array, line: int, spots: Spots, others: tuple[Array, Array]) -> _Room:
    """Where a line has room beside the nails that stand already."""
    station = np.sort(pool[_free(strip, pool, line, spots, others)])
    offset = strip.pattern.lines[line]
    across = np.full(len(station), offset)
    beside = clashes(station, across, (spots.station, spots.offset), strip.limits.a1, np.inf)
    return _Room(station, offset, ~beside)


def _best(strip: Strip, rooms: list[_Room], target: float) -> Spots | None:
    """The free place nearest to a station, over all lines.

    Places beside no other nail of the stage go first: two nails at one station would sit in one
    line across the grain.
    """
    for apart in (True, False):
        found: list[tuple[float, int, float, int]] = []
        for line, room in enumerate(rooms):
            free = room.station[room.lone] if apart else room.station
            if len(free):
                at = float(free[np.argmin(np.abs(free - target))])
                found.append((round(abs(at - target), 3), int(strip.rank[line]), at, line))
        if found:
            _, _, at, line = min(found)
            offset = np.array([strip.pattern.lines[line]])
            return Spots(np.array([at]), np.array([line]), offset)
    return None
