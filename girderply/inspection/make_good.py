"""Make-good fasteners: what to add, and where, so that everything that is asked holds again.

A missing nail goes into its own place if it can still be driven there; otherwise the nearest free
place on the tape is taken, on a row of the pattern if there is room. What is asked is asked again
after every round, until it holds or nothing more can be placed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.inspection.added import Added
from girderply.inspection.added_bolts import Bolts
from girderply.inspection.as_built import AsBuilt
from girderply.inspection.bench import EPS, Bench, Shortfall, Standing
from girderply.inspection.doubt import counted_missing, near_a_border, worst_cases, worst_of
from girderply.inspection.room import Room, Spot
from girderply.inspection.ways import Way, ways
from girderply.layout.records import Bools, Fasteners, PatternNote
from girderply.strength.check_record import Check
from girderply.wording import said

MOST_PUT_BACK: Final = 12  # lost nails, for plies that may split
MOST_TRIED: Final = 100  # to be left out again: each costs every check
ROUNDS: Final = 60  # of one nail per zone; no zone of any size takes more
MOST_ADDED: Final = 1000


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


class _Mender:
    """The work in progress."""

    def __init__(self, bench: Bench, built: AsBuilt) -> None:
        self.bench, self.built = bench, built
        self.room = Room(bench, built)
        self.added = Added(bench, self.room)
        self.notes = {note.member: note for note in bench.schedule.patterns}
        self.unknown = counted_missing(bench, built)
        border = near_a_border(bench, built)
        cases = tuple(mask | border for mask in worst_cases(bench, built))
        together = np.any(np.array(cases), axis=0)
        # Most girders bear all cases at once, which is one look instead of many.
        self.unsure: tuple[Bools, ...] = (together,)
        if len(cases) > 1 and not all(c.ok for c in self._bare(together)):
            self.unsure = cases
        self.known: dict[int, tuple[Way, ...]] = {}

    def run(self) -> MakeGood:
        checks = self._checks()
        short = [*self._lost_bolts(), *self.bench.short_checks(checks), *self._pattern()]
        short += self._short_splits(checks)
        left = list(self._put_bolts())
        for _ in range(3):  # a nail for the pattern may come so near to others that a check drops
            failing = self._mend_checks()
            failing += self._mend_pattern()
            checks = self._checks()
            if failing or not list(self.bench.short_checks(checks)):
                break
        if not failing:
            self._mend_splits()
        left += failing
        left += [] if failing else list(self.bench.short_checks(checks))
        if not left:
            self._spare()
        checks = self._checks(worked=True)
        fasteners, instead = self.added.numbered()
        nails, bolts = self.added.nails, self.added.bolts
        return MakeGood(fasteners, instead, tuple(short), tuple(left), checks, nails, bolts)

    def _checks(self, *, worked: bool = False) -> tuple[Check, ...]:
        bare = [self._bare(unsure) for unsure in self.unsure]
        if not worked:
            return worst_of(bare)
        worst = {c.id: c for c in worst_of(bare)}
        told = self._bare(self.unsure[0], worked=True)
        return tuple(
            replace(c, demand=worst[c.id].demand, resistance=worst[c.id].resistance)
            if c.id in worst
            else c
            for c in told
        )

    def _bare(self, unsure: Bools, *, worked: bool = False) -> tuple[Check, ...]:
        f = self.added.columns(self.built.counts & ~unsure)
        return self.bench.checks(f, self.added.nails, self.added.bolts, worked=worked)

    def _spare(self) -> None:
        """Backwards: what can be left out again, is; bolts for bolts stay."""
        own = set(self.bench.schedule.fasteners.id[~self.bench.schedule.fasteners.driven].tolist())
        tried = [i for i, old in enumerate(self.added.instead) if old not in own]
        for i in reversed(tried[-MOST_TRIED:]):
            self.added.spared.add(i)
            holds = all(c.ok for c in self._checks())
            if not holds or next(self._pattern(), None) is not None:
                self.added.spared.discard(i)

    def _pattern(self) -> Iterator[Shortfall]:
        """Counts and gaps that fall short now."""
        f = self.added.columns(self.built.counts)
        held = self.bench.holds(f, self.added.nails)
        yield from self.bench.short_counts(Standing(f, self.unknown), held)
        yield from self.bench.short_gaps(f, held)

    def _short_splits(self, checks: tuple[Check, ...]) -> list[Shortfall]:
        """Plies that may split because a nail that held them high up is lost: it is put back."""
        held = {c.id for c in self.bench.schedule.checks if c.ok}
        show, most = self.bench.brief.show, self.bench.schedule.girder.plies - 1
        found = []
        for zone in self.bench.zones:
            for c in checks:
                if c.about == zone.id and c.ply and not c.ok and c.id in held:
                    text = said(
                        "inspection.against",
                        subject=c.subject or c.id,
                        demand=show.force(c.demand),
                        resistance=show.force(c.resistance),
                    )
                    k = min(max(c.ply - 1, 1), most)
                    found.append(Shortfall("check", zone.chord, k, *self.bench.safe(zone), text))
        return found

    def _mend_splits(self) -> None:
        """Put lost nails back near what may split, as long as that helps."""
        for _ in range(MOST_PUT_BACK):
            short = self._short_splits(self._checks())
            if not any(self._put_back(s) for s in short):
                return

    def _put_back(self, s: Shortfall) -> bool:
        note, known = self.notes.get(s.member), self._ways(s.interface)
        own = tuple(w for w in known if w.nail.key in self.bench.schedule.nails)
        if note is None or not own:
            return False
        f = self.built.fasteners
        wide = replace(s, low=s.low - note.pitch, high=s.high + note.pitch)
        return any(
            self._drive(s, note, (float(f.station[i]), float(f.offset[i])), i, own)
            for i in self._lost_near(wide)
        )

    def _lost_bolts(self) -> Iterator[Shortfall]:
        f = self.bench.schedule.fasteners
        for i in np.flatnonzero(self.built.lost & f.bolted).tolist():
            name, member, at = str(f.id[i]), str(f.member[i]), float(f.station[i])
            station = self.bench.brief.show.span(at)
            off = bool(self.built.moved[i]) and self.built.state[i] in ("", "good")
            state = said(f"inspection.state_{'misplaced' if off else self.built.state[i]}")
            text = said(
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
                self.added.bolt(spot, lost.fastener, str(f.id[lost.fastener]))

    def _mend_checks(self) -> list[Shortfall]:
        """Add nails until every check holds; what cannot be mended is returned."""
        by_nail = self.bench.schedule.job.fastening.transfer_by == FastenerKind.NAIL
        for _ in range(ROUNDS):
            short = list(self.bench.short_checks(self._checks()))
            if not short:
                return []
            before = len(self.added)
            stuck = [s for s in short if not (by_nail and self._one_per_zone(s, before))]
            if stuck:
                return stuck
        return short

    def _one_per_zone(self, s: Shortfall, before: int) -> bool:
        """One nail for a zone and interface, unless one of this round serves it already."""
        fresh = self.added.columns(np.zeros(len(self.bench.schedule.fasteners), bool))
        inside = (fresh.member == s.member) & (fresh.station > s.low) & (fresh.station < s.high)
        serves = inside & self.bench.holds(fresh, self.added.nails)[:, s.interface - 1]
        return bool(np.any(serves[before:])) or self._put_nail(s)

    def _mend_pattern(self) -> list[Shortfall]:
        """Add nails, or bolts where no nail reaches, until counts and gaps are as they should."""
        while len(self.added) < MOST_ADDED:
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
        known = self._ways(s.interface)
        own = tuple(w for w in known if w.nail.key in self.bench.schedule.nails)
        # another nail than the schedule's only where its own finds no place at all
        return any(self._put_one_of(s, note, some) for some in (own, known[len(own) :]))

    def _ways(self, interface: int) -> tuple[Way, ...]:
        if interface not in self.known:
            self.known[interface] = ways(self.bench, interface)
        return self.known[interface]

    def _put_one_of(self, s: Shortfall, note: PatternNote, known: tuple[Way, ...]) -> bool:
        for i in self._lost_near(s) if known else ():
            f = self.bench.schedule.fasteners
            near = (float(f.station[i]), float(f.offset[i]))
            if self._drive(s, note, near, i, known):
                return True
        return bool(known) and self._drive(s, note, (self._between(s), 0.0), -1, known)

    def _lost_near(self, s: Shortfall) -> list[int]:
        """Lost nails of the stretch that held the interface and nobody stands in for yet.

        Empty places first, then those nearest to the middle.
        """
        f, built = self.bench.schedule.fasteners, self.built
        mask = built.lost & f.driven & (f.member == s.member)
        mask &= self.bench.designed[:, s.interface - 1]
        mask &= (f.station > s.low - EPS) & (f.station < s.high + EPS)
        mask &= ~np.isin(f.id, np.array(self.added.instead, dtype=np.str_))
        middle = (s.low + s.high) / 2
        return sorted(
            np.flatnonzero(mask).tolist(),
            key=lambda i: (built.state[i] != "missing", abs(f.station[i] - middle), i),
        )[:8]

    def _between(self, s: Shortfall) -> float:
        """Where to look when nobody knows what is missing: one half, the quarters, the eighths."""
        n = (
            1 + sum(row["member"] == s.member for row in self.added.rows)
            if s.what == "count"
            else 1
        )
        share, step = 0.0, 0.5
        while n:
            share, n, step = share + step * (n % 2), n // 2, step / 2
        return s.low + share * (s.high - s.low)

    def _drive(
        self, s: Shortfall, note: PatternNote, near: Spot, lost: int, known: tuple[Way, ...]
    ) -> bool:
        """The first way that finds a place."""
        f = self.bench.schedule.fasteners
        alike = (str(f.spec[lost]), str(f.face[lost])) if lost >= 0 else ("", "")
        own = lost >= 0 and self.built.state[lost] == "missing"
        for way in sorted(known, key=lambda w: (w.nail.key, w.face) != alike):
            spot = self.room.nail_spot(note, way, (s.low, s.high), near, own)
            if spot is not None:
                self.added.nail(note, way, spot, str(f.id[lost]) if lost >= 0 else "")
                return True
        return False

    def _put_bolt(self, s: Shortfall) -> bool:
        """A through bolt where no nail reaches; it holds the plies, it is not counted as a nail."""
        brief = self.bench.brief
        if self._ways(s.interface) or brief.bolt is None or brief.washer is None:
            return False
        if brief.job.assembly.faces != "both":
            return False  # nobody can hold its nut
        lost = next(iter(self._lost_near(s)), -1)
        f = self.bench.schedule.fasteners
        near = float(f.station[lost]) if lost >= 0 else self._between(s)
        spot = Bolts(self.room).between(s.member, s.low, s.high, near)
        if spot is None:
            return False
        self.added.bolt(spot, -1, str(f.id[lost]) if lost >= 0 else "")
        return True
