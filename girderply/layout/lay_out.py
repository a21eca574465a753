"""Lay out a girder: every nail and bolt, stage by stage, as runs.

Order of placing, so that nothing is put where something else must be: outlines, plates,
brackets; bracket bolts and joint bolts; one first mark for each group of members; the combs of
all stages; then the nails beside what the combs leave out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from girderply.bases.answers import Limits
from girderply.catalogue import nail as find_nail
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.errors import Finding
from girderply.fasteners.runs import Run
from girderply.layout.board import Group
from girderply.layout.bolt_board import Bolting
from girderply.layout.bolt_places import bolt_choices, place_bolts
from girderply.layout.bolt_rows import BoltGroup, place_rows
from girderply.layout.bolt_words import bolt_findings
from girderply.layout.brief import Brief
from girderply.layout.columns import bolt_groups, columns_of, nail_group, named_runs
from girderply.layout.combs import Tracks, tracks_key, tracks_of
from girderply.layout.firsts import Ready, first_of
from girderply.layout.limits import nail_limits
from girderply.layout.make_up import make_up
from girderply.layout.nail_choice import nail_findings
from girderply.layout.nail_combs import Work, lay_combs
from girderply.layout.nail_words import member_findings
from girderply.layout.patterns import (
    Pattern,
    prescribed_for,
    prescribed_pattern,
    rule_pattern,
)
from girderply.layout.records import Fasteners, PatternNote, Stage
from girderply.layout.region import Intervals, KeepOut, touching
from girderply.layout.shadows import shadows_on
from girderply.layout.spread import Density
from girderply.layout.stages import Pass, plan_steps, with_nail
from girderply.layout.strip import make_strip
from girderply.layout.wording import stage_in_words
from girderply.model.girder import Member
from girderply.model.hung import kept_clear

__all__ = ["Layout", "Workshop", "Zones", "keep_outs", "lay_out"]

NailZones = Mapping[tuple[str, int], Sequence[Density]]


@dataclass(frozen=True, slots=True)
class Zones:
    """Where more is needed than the rule set's pattern.

    Attributes:
        nails: (member id, index of the rule's stage) -> closer centres in parts of the member; the
            layout takes the next closer density of `Layout.options`.
        rows: member id -> rows to use instead of the rule set's.
        bolts: groups of through bolts that carry a load.
    """

    nails: NailZones = field(default_factory=dict)
    rows: Mapping[str, int] = field(default_factory=dict)
    bolts: Sequence[BoltGroup] = ()


@dataclass(frozen=True, slots=True)
class Layout:
    """What `lay_out` decides.

    `free` says where along the tape of each member nails may stand on some row, mm. `tracks` are
    the passes of a member, with the densities that it bears.
    """

    fasteners: Fasteners
    stages: tuple[Stage, ...]
    passes: tuple[Pass, ...]
    patterns: tuple[PatternNote, ...]
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]
    findings: tuple[Finding, ...]
    runs: tuple[Run, ...] = ()
    free: Mapping[str, Intervals] = field(default_factory=dict)
    tracks: Mapping[str, Tracks] = field(default_factory=dict)


def keep_outs(brief: Brief) -> list[KeepOut]:
    """Plates and brackets, with the rule set's clearances."""
    rules, girder = brief.rules, brief.girder
    shank = brief.nail.d / 2 if brief.nail else 0.0  # a nail beside a plate is not on it
    plates = [
        KeepOut(p.outline, "plate", max(rules.plate_clearance, shank), p.joint)
        for p in girder.plates
    ]
    rooms = [(x.id, kept_clear(x, girder.member(x.chord))) for x in girder.loads]
    brackets = [
        KeepOut(room, "bracket", max(rules.bracket_clearance, shank), load)
        for load, room in rooms
        if room is not None
    ]
    return plates + brackets


def lay_out(brief: Brief, zones: Zones | None = None) -> Layout:
    """Place every fastener of a girder.

    Args:
        brief: girder and rules.
        zones: where more is needed than the pattern; None for the pattern alone.
    """
    return Workshop(brief).lay_out(zones or Zones())


@dataclass(frozen=True, slots=True)
class _Nailed:
    """One member nailed: its groups, what there is to say, its pattern, where it is free."""

    groups: tuple[Group, ...]
    findings: tuple[Finding, ...]
    note: PatternNote | None = None
    free: Intervals | None = None
    tracks: Tracks | None = None


@dataclass(frozen=True, slots=True)
class _Prepared:
    """One member before its first mark is chosen; `ready` is None where no nail may stand."""

    key: Hashable
    ready: Ready | None
    findings: tuple[Finding, ...]


class Workshop:
    """Lays one girder out, again and again while its zones change; what did not change is kept."""

    def __init__(self, brief: Brief) -> None:
        """Take a girder and its rules."""
        self.brief = brief
        self.obstacles = keep_outs(brief)
        self._first: Bolting | None = None
        self._bolted: dict[Hashable, Bolting] = {}
        self._prepared: dict[Hashable, _Prepared] = {}
        self._firsts: dict[Hashable, float] = {}
        self._nailed: dict[Hashable, _Nailed] = {}
        self._tracks: dict[Hashable, Tracks] = {}

    def lay_out(self, zones: Zones) -> Layout:
        """Place every fastener, closer in these zones."""
        brief = self.brief
        bolting = self._bolting(zones)
        choices = bolt_choices(brief, bolting.spots)
        steps = plan_steps(brief, bool(bolting.spots))
        passes = tuple(s.passed for s in steps if s.passed)
        nailed = self._nail_members(passes, bolting, zones)
        bolt_stage = next((s.number for s in steps if s.bolts), 0)
        groups = [g for n in nailed.values() for g in n.groups]
        groups += bolt_groups(brief, bolting.spots, choices, bolt_stage, self.obstacles)
        groups = named_runs(brief, groups)
        specs = Counter(choices[s.choice].spec for s in bolting.spots)
        own = self._prescribed_passes(passes)
        found = [*bolting.findings, *nail_findings(brief, [*passes, *own])]
        found += bolt_findings(brief, bolting.spots, choices)
        found += [f for n in nailed.values() for f in n.findings]
        words = [stage_in_words(brief, steps, i, bolting.spots, specs) for i in range(len(steps))]
        return Layout(
            fasteners=columns_of(brief, groups),
            stages=tuple(words),
            passes=passes,
            patterns=tuple(n.note for n in nailed.values() if n.note),
            nails={p.nail.key: p.nail for p in [*passes, *own]},
            bolts={c.spec: c for c in choices.values()},
            findings=tuple(found),
            runs=tuple(g.run for g in groups),
            free={m: n.free for m, n in nailed.items() if n.free is not None},
            tracks={m: n.tracks for m, n in nailed.items() if n.tracks is not None},
        )

    def _prescribed_passes(self, passes: Sequence[Pass]) -> list[Pass]:
        """The stages' nails of members for which other nails are prescribed, each kind once."""
        own: dict[str, list[Pass]] = {}
        for member in self.brief.girder.members:
            given = prescribed_for(member, self.brief.job.fastening.prescribed)
            if given is not None and given.nail is not None:
                own[given.nail] = list(_own_passes(self.brief, member, passes))
        return [p for mine in own.values() for p in mine]

    def _bolting(self, zones: Zones) -> Bolting:
        key = tuple(zones.bolts)
        if self._first is None:
            self._first = place_bolts(self.brief, self.obstacles)
        if key not in self._bolted:
            work = self._first.again()
            place_rows(work, zones.bolts)
            self._bolted[key] = work
        return self._bolted[key]

    def _nail_members(
        self, passes: Sequence[Pass], bolting: Bolting, zones: Zones
    ) -> dict[str, _Nailed]:
        """Nail every member; not again where bolts nearby, first mark and zones are as before."""
        if not passes:
            return {}
        prepared = self._prepare(passes, bolting, zones)
        firsts = self._choose_firsts(prepared)
        groups = range(len(self.brief.ply_rule.stages))
        done: dict[str, _Nailed] = {}
        for member_id, one in prepared.items():
            if one.ready is None:
                done[member_id] = _Nailed((), one.findings)
                continue
            closer = {g: tuple(zones.nails.get((member_id, g), ())) for g in groups}
            key = (one.key, firsts[member_id], tuple(closer.items()))
            if key not in self._nailed:
                self._nailed[key] = _nail(self.brief, one.ready, firsts[member_id], closer)
            done[member_id] = replace(
                self._nailed[key], findings=(*one.findings, *self._nailed[key].findings)
            )
        return done

    def _prepare(
        self, passes: Sequence[Pass], bolting: Bolting, zones: Zones
    ) -> dict[str, _Prepared]:
        found: dict[str, _Prepared] = {}
        seats = bolting.seats()
        for member in self.brief.girder.members:
            rows = zones.rows.get(member.id)
            near = touching(member, seats)
            key = (member.id, tuple(seat.outline.tobytes() for seat in near), rows)
            if key not in self._prepared:
                made = self._ready(member, passes, self.obstacles + near, rows)
                self._prepared[key] = _Prepared(key, *made)
            found[member.id] = self._prepared[key]
        return found

    def _ready(
        self,
        member: Member,
        passes: Sequence[Pass],
        obstacles: list[KeepOut],
        rows: int | None,
    ) -> tuple[Ready | None, tuple[Finding, ...]]:
        """Rows, free lengths and combs of one member."""
        brief, passes = self.brief, _own_passes(self.brief, member, passes)
        thickest = max((p.nail for p in passes), key=lambda n: n.d)
        limits = nail_limits(brief, member, thickest)
        pattern, found = _pattern(brief, member, thickest, limits, rows)
        if pattern is None:
            return None, tuple(found)
        strip = make_strip(brief, limits, pattern, obstacles)
        key = tracks_key(strip, passes)
        if key not in self._tracks:
            self._tracks[key] = tracks_of(brief, strip, passes)
        ready = Ready(member, strip, self._tracks[key], shadows_on(member, obstacles))
        return ready, tuple(found)

    def _choose_firsts(self, prepared: Mapping[str, _Prepared]) -> dict[str, float]:
        """One first mark for each group of members, by member."""
        groups: dict[Hashable, list[_Prepared]] = {}
        for one in prepared.values():
            if one.ready is not None:
                groups.setdefault(one.ready.kind, []).append(one)
        firsts: dict[str, float] = {}
        for group in groups.values():
            key = tuple(one.key for one in group)
            if key not in self._firsts:
                self._firsts[key] = first_of(self.brief, [one.ready for one in group if one.ready])
            firsts |= {one.ready.member.id: self._firsts[key] for one in group if one.ready}
        return firsts


def _nail(
    brief: Brief, ready: Ready, first: float, closer: Mapping[int, Sequence[Density]]
) -> _Nailed:
    """Nail one member for every stage."""
    work = lay_combs(brief, ready, first, closer)
    make_up(work)
    groups = [
        nail_group(brief, ready.member, track.passed, run, ready.strip.pattern.rows)
        for track, runs in zip(ready.tracks.tracks, work.runs, strict=True)
        for run in runs
    ]
    findings = member_findings(brief, work)
    note = _note(work)
    return _Nailed(tuple(groups), tuple(findings), note, ready.strip.free, ready.tracks)


def _own_passes(brief: Brief, member: Member, passes: Sequence[Pass]) -> Sequence[Pass]:
    """The stages' nails, or what the truss designer prescribes for this member."""
    given = prescribed_for(member, brief.job.fastening.prescribed)
    if given is None or given.nail is None:
        return passes
    nail = find_nail(given.nail)
    return [with_nail(brief, p, nail) for p in passes]


def _pattern(
    brief: Brief, member: Member, nail: Nail, limits: Limits, rows: int | None
) -> tuple[Pattern | None, list[Finding]]:
    given = prescribed_for(member, brief.job.fastening.prescribed)
    if given is not None:
        return prescribed_pattern(brief, member, given, limits)
    return rule_pattern(brief, member, nail, limits, rows)


def _note(work: Work) -> PatternNote:
    """The pattern as it is laid out: its centres are the step of a run."""
    strip = work.ready.strip
    pattern, order = strip.pattern, strip.rank.argsort().tolist()
    groups = {t.passed.group for t in work.ready.tracks.tracks}
    return PatternNote(
        member=pattern.member,
        rows=pattern.rows,
        pitch=pattern.pitch,
        centres=pattern.centres,
        gauge=pattern.gauge,
        slant=pattern.slant,
        source=pattern.source,
        required=work.ready.due,
        placed=min((work.count(g) for g in groups), default=0),
        row_offsets=tuple(pattern.lines[i] for i in order),
        due_over=strip.count_over,
        due_by=work.brief.rules.setting_out.count_over,
        least=(strip.limits.a1, strip.limits.a2, strip.limits.a3, strip.limits.a4),
    )
