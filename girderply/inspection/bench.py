"""What a girder must have, and where what stands in it falls short of that.

Four things are asked, each of what counts alone:

* every check of the schedule, by the same strength engine;
* per member and interface as many nails as length / pitch asks for (fewer where the schedule
  itself has fewer), a nail counting for the interfaces that its point holds beyond;
* no gap along a member wider than a pitch and half the centres, where the schedule has nails in
  it (half the centres is what the layout itself moves a nail by); what the schedule leaves open
  over a plate or at an end counts as one step of the pattern;
* every bolt.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np

from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.inspection.gap import share_left
from girderply.jobfile.job import Job
from girderply.layout.brief import Brief
from girderply.layout.nail_choice import least_point
from girderply.layout.records import Bools, Fasteners, Floats, PatternNote
from girderply.layout.stages import Pass
from girderply.schedule.look_up import make_brief
from girderply.schedule.types import Schedule
from girderply.strength.check_record import Check
from girderply.strength.checks import Checker
from girderply.strength.zones import Zone, reach_of, zones
from girderply.wording import Words, said

EPS = 1e-6
What = Literal["check", "count", "gap", "bolt"]


@dataclass(frozen=True, slots=True)
class Shortfall:
    """One thing that is missing: what, on which member and interface, and between which stations.

    Attributes:
        interface: 1-based; 0 for a bolt, which goes through all plies.
        low, high: stations between which something new would help, mm.
        text: for people. fastener: index of the bolt in question, else -1.
    """

    what: What
    member: str
    interface: int
    low: float
    high: float
    text: Words
    fastener: int = -1


@dataclass(frozen=True, slots=True)
class Standing:
    """What counts of a girder while it is judged: columns, and what is not known of them.

    Attributes:
        fasteners: those that count, with what has been added.
        unknown: (member, interface) -> nails that are missing at places nobody knows.
    """

    fasteners: Fasteners
    unknown: Mapping[tuple[str, int], int]


@dataclass(frozen=True)
class Bench:
    """One schedule made ready to judge what was built.

    Attributes:
        kept: part of its resistance that a fastener keeps over the gap between the plies.
    """

    schedule: Schedule
    brief: Brief
    zones: tuple[Zone, ...]
    due: Mapping[tuple[str, int], int]
    kept: float = 1.0

    @classmethod
    def of(cls, schedule: Schedule, gap: float | None = None) -> Bench:
        """Make a schedule ready, for plies that stand `gap` mm apart (None: nobody said).

        Raises:
            JobError: the job names something that is not known (the schedule would have too).
        """
        brief = make_brief(schedule.job, schedule.girder)
        found = zones(schedule.girder, reach_of(schedule.job, schedule.rules))
        kept = share_left(schedule.checks, gap) if gap else 1.0
        bench = cls(schedule, brief, found, {}, kept)
        due = {
            (note.member, k): min(note.required, bench.planned(note, k))
            for note in schedule.patterns
            for k in bench.interfaces
        }
        return replace(bench, due=due)

    @cached_property
    def _checker(self) -> Checker:
        """What rests on the girder alone is worked out once."""
        return self._narrow if self.steady else self._checker_of(self.schedule.job)

    @cached_property
    def _narrow(self) -> Checker:
        """With every load's reach shorter by the tolerance.

        A fastener that stands anywhere within the tolerance of its mark serves what it serves
        there, whichever way it is off.
        """
        job, rules = self.schedule.job, self.schedule.rules
        reach = max(0.0, reach_of(job, rules) - rules.tolerance)
        return self._checker_of(replace(job, basis=replace(job.basis, reach=reach)))

    def _checker_of(self, job: Job) -> Checker:
        return Checker(job, self.schedule.girder, self.schedule.rules)

    @cached_property
    def designed(self) -> Bools:
        """(n, interfaces) `holds` of the schedule's own fasteners."""
        return self.holds(self.schedule.fasteners)

    @cached_property
    def steady(self) -> bool:
        """Whether the design holds wherever within the tolerance its fasteners stand.

        One that holds only with each on its mark is no fault of the builder: see `judge`.
        """
        s = self.schedule
        own = s.fasteners.select(~added(s.fasteners))
        found = self._narrow.check(own, s.nails, s.bolts, shares=s.load_shares, worked=False)
        return all(c.ok for c in found)

    def safe(self, zone: Zone) -> tuple[float, float]:
        """Stations of a zone where what is added serves its load, wherever within the tolerance."""
        off = self.schedule.rules.tolerance
        low, high = max(zone.start, zone.low + 2 * off), min(zone.end, zone.high - 2 * off)
        return (low, high) if low < high else (zone.start, zone.end)

    def near_border(self, f: Fasteners, off: Floats) -> Bools:
        """(n,) fasteners on a loaded chord no farther than `off` mm from the end of a reach."""
        near = np.zeros(len(f), bool)
        for zone in self.zones:
            apart = np.minimum(np.abs(f.station - zone.low), np.abs(f.station - zone.high))
            near |= (f.member == zone.chord) & (off > 0) & (apart <= off + EPS)
        return near

    @cached_property
    def thickest(self) -> Nail:
        """Of the schedule's own nails; what was added after a record has its own distances."""
        s, f = self.schedule, self.schedule.fasteners
        own = set(f.spec[f.driven & ~added(f)].tolist()) or set(s.nails)
        return max((s.nails[spec] for spec in sorted(own)), key=lambda n: n.d)

    @property
    def interfaces(self) -> range:
        """Numbers of the interfaces."""
        return range(1, self.schedule.girder.plies)

    def number(self, f: Fasteners, held: Bools, note: PatternNote, k: int) -> int:
        """Fasteners of a member that hold an interface, as `holds` has it."""
        return int(np.sum((f.member == note.member) & held[:, k - 1]))

    def planned(self, note: PatternNote, k: int) -> int:
        """Nails of a member that hold an interface as scheduled, without make-good."""
        f = self.schedule.fasteners
        own = (f.member == note.member) & (f.purpose != "make-good")
        return int(np.sum(own & self.designed[:, k - 1]))

    def least(self, nail: Nail) -> float:
        """How deep a nail's point must be beyond an interface to hold it, mm."""
        alone = Pass(0, 0, "front", nail, 1, 1, 0.0, 0.0, False, None, (), (1, 1))
        return least_point(self.brief, alone)[0]

    def holds(self, f: Fasteners, nails: Mapping[str, Nail] | None = None) -> Bools:
        """(n, interfaces) whether each nail holds each interface; of bolts, make-good ones do."""
        nails = nails or self.schedule.nails
        held = np.zeros((len(f), len(self.interfaces)), bool)
        t = self.schedule.girder.ply_thickness
        deep = np.array([self.least(nails[s]) if s in nails else 0.0 for s in f.spec.tolist()])
        nail = f.driven
        for k in self.interfaces:
            front = f.from_ply < f.to_ply
            whole = np.where(front, f.to_ply - k - 1, k - f.to_ply) * t
            beyond = whole + f.point_depth
            nailed = nail & (beyond >= deep - EPS)
            held[:, k - 1] = f.crosses(k) & (nailed | (~nail & (f.purpose == "make-good")))
        return held

    def checks(
        self,
        f: Fasteners,
        nails: Mapping[str, Nail] | None = None,
        bolts: Mapping[str, BoltChoice] | None = None,
        *,
        worked: bool = True,
    ) -> tuple[Check, ...]:
        """Every check of the schedule for these fasteners; `worked` False leaves out the words.

        Designed by computed shares, the shares are those of the schedule: the plies were made for
        them, and where nails are missing springs would ask for less than the plies rely on.

        Raises:
            RangeError: a fastener outside the standard's validity.
        """
        s = self.schedule
        found = self._checker.check(
            f, nails or s.nails, bolts or s.bolts, shares=s.load_shares, worked=worked
        )
        return tuple(self._as_scheduled(c) for c in found)

    def _as_scheduled(self, c: Check) -> Check:
        """A check over the gap as measured; what the ply's own shear asks is never less.

        The schedule has that shear by computed shares as well, where they are more.
        """
        if c.interface:
            return c if self.kept == 1.0 else replace(c, resistance=c.resistance * self.kept)
        asked = self._asked.get(c.id, c.demand)
        return replace(c, demand=asked) if asked > c.demand else c

    @cached_property
    def _asked(self) -> dict[str, float]:
        return {c.id: c.demand for c in self.schedule.checks if not c.interface}

    def short_checks(self, checks: tuple[Check, ...]) -> Iterator[Shortfall]:
        """Checks that fail, each with the zone that it is about."""
        show = self.brief.show
        for zone in self.zones:
            for k in self.interfaces:
                mine = [c for c in checks if c.about == zone.id and c.interface == k and not c.ok]
                if mine:
                    worst = max(mine, key=lambda c: c.demand - c.resistance)
                    text = said(
                        "inspection.short_check",
                        load=zone.id,
                        chord=zone.chord,
                        interface=k,
                        low=show.span(zone.start),
                        high=show.span(zone.end),
                        demand=show.force(worst.demand),
                        resistance=show.force(worst.resistance),
                    )
                    yield Shortfall("check", zone.chord, k, *self.safe(zone), text)

    def short_counts(self, standing: Standing, held: Bools) -> Iterator[Shortfall]:
        """Members with fewer nails than the rule asks for."""
        f = standing.fasteners
        for note in self.schedule.patterns:
            length = self.schedule.girder.member(note.member).length
            for k in self.interfaces:
                here = self.number(f, held, note, k) - standing.unknown.get((note.member, k), 0)
                due = self.due[note.member, k]
                if here < due:
                    text = said(
                        "inspection.short_count",
                        member=note.member,
                        interface=k,
                        here=here,
                        due=due,
                        source=note.source,
                    )
                    yield Shortfall("count", note.member, k, 0.0, length, text)

    def short_gaps(self, f: Fasteners, held: Bools) -> Iterator[Shortfall]:
        """Gaps wider than the pattern's, where the schedule has nails."""
        for note in self.schedule.patterns:
            for k in self.interfaces:
                yield from self._gaps(note, k, f, held)

    def widest(self, note: PatternNote) -> float:
        """The widest gap that a member may have where the schedule has nails, mm."""
        return note.pitch + note.centres / 2

    def stretched(self, note: PatternNote, k: int, station: Floats) -> Floats:
        """Stations as the pattern sees them, mm: no step of the schedule longer than its centres.

        What the schedule itself leaves open over a plate, or at an end, is no gap of the builder's.
        """
        own = self.schedule.fasteners
        planned = (own.member == note.member) & (own.purpose != "make-good")
        asked = np.sort(own.station[planned & self.designed[:, k - 1]])
        marks = np.concatenate([[0.0], asked, [self.schedule.girder.member(note.member).length]])
        steps = np.minimum(np.diff(marks), note.centres)
        seen = np.concatenate([[0.0], np.cumsum(steps)])
        return np.asarray(np.interp(station, marks, seen), float)

    def _gaps(self, note: PatternNote, k: int, f: Fasteners, held: Bools) -> Iterator[Shortfall]:
        show, own = self.brief.show, self.schedule.fasteners
        length = self.schedule.girder.member(note.member).length
        asked = _stations(own, self.designed, note.member, k)
        there = np.concatenate([[0.0], _stations(f, held, note.member, k), [length]])
        wide = np.diff(self.stretched(note, k, there)) > self.widest(note) + EPS
        for low, high in zip(there[:-1][wide].tolist(), there[1:][wide].tolist(), strict=True):
            if np.any((asked > low + EPS) & (asked < high - EPS)):
                text = said(
                    "inspection.short_gap",
                    member=note.member,
                    interface=k,
                    low=show.span(low),
                    high=show.span(high),
                    widest=show.span(self.widest(note)),
                )
                yield Shortfall("gap", note.member, k, low, high, text)


def added(f: Fasteners) -> Bools:
    """(n,) what was added after a record, by its name: a bolt of it serves as the one before."""
    pairs = zip(f.id.tolist(), f.member.tolist(), strict=True)
    return np.array([name.startswith(f"{member}-M") for name, member in pairs], bool)


def _stations(f: Fasteners, held: Bools, member: str, k: int) -> Floats:
    return np.sort(f.station[(f.member == member) & held[:, k - 1]])
