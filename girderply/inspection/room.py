"""Where something new may stand among all that stands there already, by the layout's own limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from girderply.bases.answers import Limits
from girderply.catalogue.catalogue_types import Nail
from girderply.inspection.as_built import AsBuilt
from girderply.inspection.bench import EPS, Bench, added
from girderply.inspection.ways import Way
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.lay_out import keep_outs
from girderply.layout.limits import nail_limits
from girderply.layout.patterns import Pattern
from girderply.layout.records import Bools, Floats, PatternNote
from girderply.layout.region import Intervals, KeepOut
from girderply.layout.spread import Tape
from girderply.layout.strip import Strip, make_strip
from girderply.model.girder import Array

Spot = tuple[float, float]
NARROW: Final = 1.0  # mm from the edge of the allowed depth that spare rows keep


@dataclass(frozen=True, slots=True)
class Nailed:
    """One nail that stands, or may stand: where, in which plies, and how far it may be off (mm).

    Attributes:
        along, across: kept free of it beyond a1 and a2, mm.
        a1, a2: its own least distances, mm, where it is thicker than the schedule's; else 0.
    """

    member: str
    station: float
    offset: float
    plies: tuple[int, int]
    along: float = 0.0
    across: float = 0.0
    a1: float = 0.0
    a2: float = 0.0


@dataclass
class Room:
    """A girder's free places; what is added is kept clear of as well.

    Works in the members' own frames, stations from the hook end.
    """

    bench: Bench
    built: AsBuilt
    nailed: list[Nailed] = field(default_factory=list)
    bolted: list[tuple[BoltSpot, float]] = field(default_factory=list)
    _limits: dict[tuple[str, str], Limits] = field(default_factory=dict)
    _strips: dict[tuple[str, str, int], Strip] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Take in what stands there."""
        f, built = self.built.fasteners, self.built
        low, high = np.minimum(f.from_ply, f.to_ply), np.maximum(f.from_ply, f.to_ply)
        limits = {n.member: self.limits(n.member, None) for n in self.bench.schedule.patterns}
        new = added(f)
        for i in np.flatnonzero(f.driven & built.there).tolist():
            member, state, off = str(f.member[i]), str(built.state[i]), float(built.spread[i])
            along, across = _further(state, limits[member])
            place = (member, float(f.station[i]), float(f.offset[i]))
            plies = (int(low[i]), int(high[i]))
            own = self.limits(member, self.bench.schedule.nails[str(f.spec[i])])
            a1, a2 = (own.a1, own.a2) if new[i] else (0.0, 0.0)
            self.nailed.append(Nailed(*place, plies, off + along, off + across, a1, a2))
        for i in np.flatnonzero(f.bolted).tolist():
            self.bolted.append((self.bolt_spot(i), float(built.spread[i])))

    def bolt_spot(self, i: int) -> BoltSpot:
        """A bolt of the schedule, by its index."""
        s, f = self.bench.schedule, self.built.fasteners
        choice = s.bolts[str(f.spec[i])]
        member = s.girder.member(str(f.member[i]))
        place = (float(f.station[i]), float(f.offset[i]), int(f.row[i]))
        return BoltSpot(
            member, *place, choice.bolt, choice.washer, float(f.drilled[i]), joint=str(f.joint[i])
        )

    def limits(self, member: str, nail: Nail | None) -> Limits:
        """Least distances of a nail in a member beside the schedule's own nails, mm."""
        thickest = self.bench.thickest
        nail = thickest if nail is None or nail.d < thickest.d else nail
        key = member, nail.key
        if key not in self._limits:
            whole = self.bench.schedule.girder.member(member)
            self._limits[key] = nail_limits(self.bench.brief, whole, nail)
        return self._limits[key]

    def keep_outs(self) -> list[KeepOut]:
        """Plates, brackets and washers (also of bolts that are still missing)."""
        clear = self.bench.schedule.rules.washer_clearance
        seats = [KeepOut(spot.seat(), "washer", clear + off) for spot, off in self.bolted]
        return [*keep_outs(self.bench.brief), *seats]

    def strip(self, note: PatternNote, nail: Nail) -> Strip:
        """A member made ready for one nail: its rows first, then lines between and beside them."""
        key = (note.member, nail.key, len(self.bolted))
        if key not in self._strips:
            limits = self.limits(note.member, nail)
            prescribed = note.source != self.bench.schedule.rules.name
            lines = self._lines(note, limits)
            pattern = Pattern(
                note.member,
                tuple(lines),
                note.rows,
                note.centres,
                note.pitch,
                note.rows > 1,
                note.source,
                prescribed and note.row_offsets == tuple(lines),
            )
            self._strips[key] = make_strip(self.bench.brief, limits, pattern, self.keep_outs())
        return self._strips[key]

    def _lines(self, note: PatternNote, limits: Limits) -> list[float]:
        """Offsets, the pattern's rows first, mm; a prescribed pattern gets no others."""
        rows = list(note.row_offsets)
        if note.source != self.bench.schedule.rules.name:
            return rows
        depth = self.bench.schedule.girder.member(note.member).depth
        step = self.bench.schedule.rules.station_step
        count = int((depth / 2 - limits.a4) / step + EPS)
        spare = [i * step for i in range(-count, count + 1)]
        return rows + [x for x in spare if all(abs(x - r) > NARROW for r in rows)]

    def free(self, way: Way, member: str, station: Floats, offset: float) -> Bools:
        """(n,) whether stations of a line are clear of every nail in a common ply."""
        limits = self.limits(member, way.nail)
        low, high = way.plies
        near = [
            x
            for x in self.nailed
            if x.member == member and x.plies[0] <= high and low <= x.plies[1]
        ]
        if not near or not len(station):
            return np.ones(len(station), bool)
        table = np.array([(x.station, x.offset, x.along, x.across, x.a1, x.a2) for x in near])
        least = np.maximum(table[:, 4:], (limits.a1, limits.a2)) + table[:, 2:4]
        along = np.abs(station[:, None] - table[:, 0]) < least[:, 0] - EPS
        across = np.abs(offset - table[:, 1]) < least[:, 1] - EPS
        return np.asarray(~np.any(along & across, axis=1), bool)

    def _beside(self, way: Way, member: str, station: Floats) -> Bools:
        """(n,) whether a nail in a common ply is within a1 along the grain, in whatever row."""
        near = [
            x.station
            for x in self.nailed
            if x.member == member and x.plies[0] <= way.plies[1] and way.plies[0] <= x.plies[1]
        ]
        a1 = self.limits(member, way.nail).a1
        apart = np.abs(station[:, None] - np.array([near]))
        return np.asarray(np.any(apart < a1 - EPS, axis=1), bool)

    def nail_spot(
        self, note: PatternNote, way: Way, between: tuple[float, float], near: Spot, own: bool
    ) -> Spot | None:
        """The best place for a nail, or None.

        Args:
            note: the member's pattern.
            way: the nail.
            between: stations that it must stand between, mm.
            near: place that it should be near to, mm.
            own: the place itself is empty and may be taken as it is.

        Returns:
            Station and offset, mm.
        """
        strip = self.strip(note, way.nail)
        if own and self._own_is_free(strip, way, near):
            return near
        tape = self.bench.brief.tape()
        found: list[tuple[float, float, float]] = []
        for line, (offset, allowed) in enumerate(
            zip(strip.pattern.lines, strip.intervals, strict=True)
        ):
            pool = _marks(tape, allowed, between)
            pool = pool[self.free(way, note.member, pool, offset)] if len(pool) else pool
            if len(pool):
                detour = 0.0 if line < len(note.row_offsets) else note.centres
                away = np.abs(pool - near[0]) + detour + abs(offset - near[1]) / 1000.0
                # Two nails at one station sit in one line across the grain: rather elsewhere.
                away += strip.limits.a1 * self._beside(way, note.member, pool)
                best = int(np.argmin(away))
                found.append((round(float(away[best]), 6), float(pool[best]), offset))
        return min(found)[1:] if found else None

    def _own_is_free(self, strip: Strip, way: Way, near: Spot) -> bool:
        at = np.array([near[0]])
        inside = strip.region.on_row(near[1]).contain(at)
        return bool(inside[0]) and bool(self.free(way, strip.pattern.member, at, near[1])[0])

    def clear_of_nails(self, member: str, station: Array, offset: float, half: float) -> Bools:
        """(n,) whether a washer of this half width is clear of every nail of a member."""
        keep = half + self.bench.schedule.rules.washer_clearance
        here = [x for x in self.nailed if x.member == member]
        if not here or not len(station):
            return np.ones(len(station), bool)
        table = np.array([(x.station, x.offset, x.across) for x in here])
        off = np.maximum(np.abs(station[:, None] - table[:, 0]), np.abs(offset - table[:, 1]))
        return np.asarray(np.all(off >= keep + table[:, 2] - EPS, axis=1), bool)


def _marks(tape: Tape, allowed: Intervals, between: tuple[float, float]) -> Floats:
    """Stations that a tape can show, allowed and strictly between two stations, mm."""
    parts = [tape.marks(a, b) for a, b in zip(allowed.start, allowed.end, strict=True)]
    pool = np.concatenate([np.zeros(0), *parts])
    return np.asarray(pool[(pool > between[0] + EPS) & (pool < between[1] - EPS)], float)


def _further(state: str, limits: Limits) -> tuple[float, float]:
    """What is kept free beyond a1 and a2, mm: of a split along the grain, of a nail too thick.

    Common practice, no source: a split as long again as a1, a wrong nail half as thick again.
    """
    if state == "split":
        return limits.a1, 0.0
    return (limits.a1 / 2, limits.a2 / 2) if state == "wrong-size" else (0.0, 0.0)


def spots_of(bolted: Sequence[tuple[BoltSpot, float]]) -> list[BoltSpot]:
    """The bolts alone."""
    return [spot for spot, _ in bolted]
