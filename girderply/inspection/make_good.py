"""Make-good fasteners: what to add, and where, so that everything that is asked holds again.

A missing nail goes into its own place if it can still be driven there; otherwise the nearest free
place on the tape is taken, on a row of the pattern if there is room. What is asked is asked again
after every round, until it holds or nothing more can be placed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields, replace
from typing import Final

import numpy as np

from girderply.catalogue import choose_bolt
from girderply.catalogue.types import BoltChoice, Nail
from girderply.inspection.as_built import AsBuilt, Short
from girderply.inspection.bench import EPS, Bench, Shortfall, Standing
from girderply.inspection.bolts import Bolts
from girderply.inspection.room import Nailed, Room, Spot
from girderply.inspection.ways import Way, ways
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.holes import hole_for
from girderply.layout.records import Bools, Fasteners, Floats, PatternNote
from girderply.strength.groups import zone_numbers
from girderply.strength.records import Check
from girderply.wording import phrase

ROUNDS: Final = 60  # of one nail per zone; no zone of any size takes more
MOST_ADDED: Final = 1000
Row = dict[str, object]


@dataclass(frozen=True, slots=True)
class MakeGood:
    """What came of mending.

    Attributes:
        fasteners: to be added, purpose "make-good", ids such as BC1-M1.
        instead_of: per fastener, the id of the one that it stands in for, or empty.
        short: what fell short before anything was added. left: what still does.
        checks: with what is added. worst: wherever the unmarked missing ones may be.
        nails, bolts: by spec, what the schedule has and what was taken besides.
    """

    fasteners: Fasteners
    instead_of: tuple[str, ...]
    short: tuple[Shortfall, ...]
    left: tuple[Shortfall, ...]
    checks: tuple[Check, ...]
    nails: dict[str, Nail]
    bolts: dict[str, BoltChoice]


def make_good(bench: Bench, built: AsBuilt) -> MakeGood:
    """Find what to add to a girder that was looked at as a whole."""
    return _Mender(bench, built).run()


@dataclass
class _Mender:
    """The work in progress: rows to be added, and whom each stands in for."""

    bench: Bench
    built: AsBuilt
    rows: list[Row] = field(default_factory=list)
    instead: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        s = self.bench.schedule
        self.nails = dict(s.nails)
        self.bolts = dict(s.bolts)
        self.room = Room(self.bench, self.built)
        self.designed = self.bench.designed
        self.notes = {note.member: note for note in s.patterns}
        self.unknown, self.whole = self._unknown(), self._whole()
        self.unsure = worst_case(self.bench, self.built)

    def run(self) -> MakeGood:
        checks = self._checks()
        short = [*self._lost_bolts(), *self.bench.short_checks(checks), *self._pattern()]
        left = list(self._put_bolts())
        for _ in range(3):  # a nail for the pattern may come so near to others that a check drops
            failing = self._mend_checks()
            failing += self._mend_pattern()
            checks = self._checks()
            if failing or not list(self.bench.short_checks(checks)):
                break
        left += failing
        left += [] if failing else list(self.bench.short_checks(checks))
        added, instead = self._numbered()
        return MakeGood(added, instead, tuple(short), tuple(left), checks, self.nails, self.bolts)

    # what stands there

    def _unknown(self) -> dict[tuple[str, int], int]:
        """(member, interface) -> nails that were counted as missing."""
        found: dict[tuple[str, int], int] = {}
        for short in self.built.short:
            for k in self.bench.interfaces:
                if np.any(self.designed[short.mask, k - 1]):
                    key = (short.count.member, k)
                    found[key] = found.get(key, 0) + short.missing
        return found

    def _whole(self) -> frozenset[tuple[str, int]]:
        """Members and interfaces where the missing ones together could leave too wide a gap."""
        return frozenset(
            (short.count.member, k)
            for short in self.built.short
            if short.count.member in self.notes
            for k in self.bench.interfaces
            if self._may_gap(short, k)
        )

    def _may_gap(self, short: Short, k: int) -> bool:
        """Whether the missing ones of a row may leave too wide a gap in an interface."""
        s, note = self.bench.schedule, self.notes[short.count.member]
        held = self.designed[:, k - 1]
        row, whole = (
            self.bench.stretched(note, k, s.fasteners.station[mask & held])
            for mask in (short.mask, s.fasteners.member == note.member)
        )
        length = self.bench.stretched(note, k, np.array([s.girder.member(note.member).length]))
        ends = float(length[0]), self.bench.widest(note)
        return may_gap(row, whole, short.missing, ends)

    def _columns(self, mask: Bools) -> Fasteners:
        """The schedule's fasteners under a mask, and what was added."""
        f = self.bench.schedule.fasteners.select(mask)
        if not self.rows:
            return f
        return Fasteners(
            **{
                c.name: np.concatenate(
                    [getattr(f, c.name), np.array([row[c.name] for row in self.rows])]
                )
                for c in fields(f)
            }
        )

    def _checks(self) -> tuple[Check, ...]:
        f = self._columns(self.built.counts & ~self.unsure)
        return self.bench.checks(f, self.nails, self.bolts)

    def _pattern(self) -> Iterator[Shortfall]:
        """Counts and gaps that fall short now."""
        f = self._columns(self.built.counts)
        held = self.bench.holds(f, self.nails)
        yield from self.bench.short_counts(Standing(f, self.unknown, self.whole), held)
        yield from self.bench.short_gaps(f, held)

    def _lost_bolts(self) -> Iterator[Shortfall]:
        f = self.bench.schedule.fasteners
        for i in np.flatnonzero(self.built.lost & (f.kind == "bolt")).tolist():
            name, member, at = str(f.id[i]), str(f.member[i]), float(f.station[i])
            station = self.bench.brief.show.span(at)
            state = phrase(f"inspection.state_{self.built.state[i]}")
            text = phrase(
                "inspection.lost_bolt", id=name, member=member, station=station, state=state
            )
            yield Shortfall("bolt", member, 0, at, at, text, i)

    # mending

    def _put_bolts(self) -> Iterator[Shortfall]:
        """A bolt for each that does not count; what found no place is left over."""
        work = Bolts(self.room)
        for lost in self._lost_bolts():
            spot = work.instead(lost.fastener, str(self.built.state[lost.fastener]))
            if spot is None:
                yield lost
            else:
                f = self.bench.schedule.fasteners
                self._add_bolt(spot, lost.fastener, str(f.id[lost.fastener]))

    def _mend_checks(self) -> list[Shortfall]:
        """Add nails until every check holds; what cannot be mended is returned."""
        by_nail = self.bench.schedule.job.fastening.transfer_by == "nail"
        for _ in range(ROUNDS):
            short = list(self.bench.short_checks(self._checks()))
            if not short:
                return []
            before = len(self.rows)
            stuck = [s for s in short if not (by_nail and self._one_per_zone(s, before))]
            if stuck:
                return stuck
        return short

    def _one_per_zone(self, s: Shortfall, before: int) -> bool:
        """One nail for a zone and interface, unless one of this round serves it already."""
        fresh = self._columns(np.zeros(len(self.bench.schedule.fasteners), bool))
        inside = (fresh.member == s.member) & (fresh.station > s.low) & (fresh.station < s.high)
        serves = inside & self.bench.holds(fresh, self.nails)[:, s.interface - 1]
        return bool(np.any(serves[before:])) or self._put_nail(s)

    def _mend_pattern(self) -> list[Shortfall]:
        """Add nails, or bolts where no nail reaches, until counts and gaps are as they should."""
        while len(self.rows) < MOST_ADDED:
            short = list(self._pattern())
            if not short:
                return []
            if not any(self._put_nail(s) or self._put_bolt(s) for s in short):
                return short
        return list(self._pattern())

    def _put_nail(self, s: Shortfall) -> bool:
        """One nail that helps; False where there is no way or no place."""
        note = self.notes.get(s.member)
        if note is None:
            return False
        for i in self._lost_near(s):
            f = self.bench.schedule.fasteners
            near = (float(f.station[i]), float(f.offset[i]))
            if self._drive(s, note, near, i):
                return True
        return self._drive(s, note, (self._between(s), 0.0), -1)

    def _lost_near(self, s: Shortfall) -> list[int]:
        """Lost nails of the stretch that held the interface and nobody stands in for yet.

        Empty places first, then those nearest to the middle.
        """
        f, built = self.bench.schedule.fasteners, self.built
        mask = built.lost & f.driven & (f.member == s.member)
        mask &= self.designed[:, s.interface - 1]
        mask &= (f.station > s.low - EPS) & (f.station < s.high + EPS)
        mask &= ~np.isin(f.id, np.array(self.instead, dtype=np.str_))
        middle = (s.low + s.high) / 2
        return sorted(
            np.flatnonzero(mask).tolist(),
            key=lambda i: (built.state[i] != "missing", abs(f.station[i] - middle), i),
        )[:8]

    def _between(self, s: Shortfall) -> float:
        """Where to look when nobody knows what is missing: one half, the quarters, the eighths."""
        n = 1 + sum(row["member"] == s.member for row in self.rows) if s.what == "count" else 1
        share, step = 0.0, 0.5
        while n:
            share, n, step = share + step * (n % 2), n // 2, step / 2
        return s.low + share * (s.high - s.low)

    def _drive(self, s: Shortfall, note: PatternNote, near: Spot, lost: int) -> bool:
        """The first way that finds a place."""
        f = self.bench.schedule.fasteners
        alike = (str(f.spec[lost]), str(f.face[lost])) if lost >= 0 else ("", "")
        own = lost >= 0 and self.built.state[lost] == "missing"
        known = ways(self.bench, s.interface)
        for way in sorted(known, key=lambda w: (w.nail.key, w.face) != alike):
            spot = self.room.nail_spot(note, way, (s.low, s.high), near, own)
            if spot is not None:
                self._add_nail(note, way, spot, str(f.id[lost]) if lost >= 0 else "")
                return True
        return False

    def _put_bolt(self, s: Shortfall) -> bool:
        """A through bolt where no nail reaches; it holds the plies, it is not counted as a nail."""
        brief = self.bench.brief
        if ways(self.bench, s.interface) or brief.bolt is None or brief.washer is None:
            return False
        lost = next(iter(self._lost_near(s)), -1)
        f = self.bench.schedule.fasteners
        near = float(f.station[lost]) if lost >= 0 else self._between(s)
        spot = Bolts(self.room).between(s.member, s.low, s.high, near)
        if spot is None:
            return False
        self._add_bolt(spot, -1, str(f.id[lost]) if lost >= 0 else "")
        return True

    # rows

    def _add_nail(self, note: PatternNote, way: Way, spot: Spot, instead: str) -> None:
        nearest = int(np.argmin([abs(spot[1] - r) for r in note.row_offsets]))
        girder = self.bench.schedule.girder
        self.nails[way.nail.key] = way.nail
        own = self.room.limits(note.member, way.nail)
        self.room.nailed.append(Nailed(note.member, *spot, way.plies, a1=own.a1, a2=own.a2))
        self._add(
            note.member,
            spot,
            {
                "kind": way.nail.kind,
                "spec": way.nail.key,
                "row": min(nearest + 1, note.rows),
                "face": way.face,
                "from_ply": way.from_ply,
                "to_ply": way.to_ply,
                "protrusion": way.protrusion,
                "point_depth": way.point_depth,
                "clench": way.clench,
                "drilled": hole_for(way.nail, girder.predrilled),
            },
            instead,
        )

    def _add_bolt(self, spot: BoltSpot, like: int, instead: str) -> None:
        """A bolt through the whole stack, like one of the schedule or the rule set's."""
        s = self.bench.schedule
        f, girder = s.fasteners, s.girder
        if like >= 0:
            spec, face = str(f.spec[like]), str(f.face[like])
            serves = str(f.purpose[like]), str(f.load[like])
        else:
            choice = choose_bolt(spot.bolt, spot.washer, girder.stack)
            self.bolts[choice.spec] = choice
            spec, face, serves = choice.spec, "front", ("make-good", "")
        self.room.bolted.append((spot, 0.0))
        ends = (1, girder.plies) if face == "front" else (girder.plies, 1)
        self._add(
            spot.member.id,
            (spot.station, spot.offset),
            {
                "kind": "bolt",
                "spec": spec,
                "joint": spot.joint,
                "row": spot.row,
                "face": face,
                "from_ply": ends[0],
                "to_ply": ends[1],
                "protrusion": 0.0,
                "point_depth": girder.ply_thickness,
                "clench": False,
                "drilled": spot.hole,
                # It serves as the one that it stands in for: a joint bolt is not one more nail,
                # a bracket's own bolt carries nothing from ply to ply.
                "purpose": serves[0],
                "load": serves[1],
            },
            instead,
        )

    def _add(self, member: str, spot: Spot, row: Row, instead: str) -> None:
        xy = self.bench.schedule.girder.member(member).to_elevation(np.array([spot]))[0]
        base: Row = {
            "id": "",
            "joint": "",
            "member": member,
            "station": spot[0],
            "offset": spot[1],
            "x": float(xy[0]),
            "y": float(xy[1]),
            "stage": len(self.bench.schedule.stages) + 1,
            "purpose": "make-good",
            "load": "",
        }
        self.rows.append(base | row)
        self.instead.append(instead)

    def _numbered(self) -> tuple[Fasteners, tuple[str, ...]]:
        """What was added, by member and station, with ids."""
        members = [m.id for m in self.bench.schedule.girder.members]
        order = sorted(
            range(len(self.rows)),
            key=lambda i: (
                members.index(str(self.rows[i]["member"])),
                _number(self.rows[i]["station"]),
                _number(self.rows[i]["offset"]),
            ),
        )
        known = self.bench.schedule.fasteners.id.tolist()
        seen = {m: sum(name.startswith(f"{m}-M") for name in known) for m in members}
        for i in order:
            member = str(self.rows[i]["member"])
            seen[member] += 1
            self.rows[i]["id"] = f"{member}-M{seen[member]}"
        self.rows = [self.rows[i] for i in order]
        nothing = np.zeros(len(self.bench.schedule.fasteners), bool)
        added = self._columns(nothing)
        purpose = np.array(["make-good"] * len(added), dtype=np.str_)
        return replace(added, purpose=purpose), tuple(self.instead[i] for i in order)


def _number(value: object) -> float:
    return float(value) if isinstance(value, (int, float)) else float("nan")


def may_gap(row: Floats, member: Floats, missing: int, ends: tuple[float, float]) -> bool:
    """Whether some `missing` neighbours of a row leave a gap wider than allowed between the rest.

    Args:
        row: (m,) stations of those among which they are missing, mm.
        member: (n,) stations of all that hold the interface, those of the row included, mm.
        missing: how many.
        ends: length of the member, and the gap that may stay open, mm.
    """
    length, widest = ends
    row = np.sort(row)
    for first in range(max(0, len(row) - missing + 1)):
        gone = row[first : first + missing]
        left = np.sort(member).tolist()
        for x in gone.tolist():
            left.remove(x)
        kept = np.array([0.0, *left, length])
        after = np.clip(np.searchsorted(kept, gone), 1, len(kept) - 1)
        if np.any(kept[after] - kept[after - 1] > widest + EPS):
            return True
    return False


def worst_case(bench: Bench, built: AsBuilt) -> Bools:
    """(n,) fasteners to leave out of every zone, because those that are missing may be there.

    Of n missing ones in a row or a member, n are left out of each zone at once: a check looks at
    its own zone alone. Within a zone the smallest rows go first: the effective number of a row is
    n^k_ef with k_ef <= 1, so that the sum over rows is least when whole rows are gone
    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(8)].
    """
    f = bench.schedule.fasteners
    out = np.zeros(len(f), bool)
    for short in built.short:
        index = np.flatnonzero(short.mask & ~out)
        owner = zone_numbers(f, index, list(bench.zones))
        for zone in np.unique(owner[owner >= 0]).tolist():
            here = index[owner == zone]
            size = {r: int(np.sum(f.offset[here] == r)) for r in np.unique(f.offset[here])}
            order = sorted(
                here.tolist(), key=lambda i: (size[f.offset[i]], f.offset[i], f.station[i])
            )
            out[order[: short.missing]] = True
    return out
