"""Lay out a girder: every nail and bolt, stage by stage.

Order of placing, so that nothing is put where something else must be: outlines, plates,
brackets; bracket bolts and joint bolts; nails of each stage.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field

from girderply.bases.answers import Limits
from girderply.catalogue import nail as find_nail
from girderply.catalogue.types import BoltChoice, Nail
from girderply.errors import Finding
from girderply.layout.board import Board, Group
from girderply.layout.bolt_board import Bolting
from girderply.layout.bolt_rows import place_rows
from girderply.layout.bolt_words import bolt_findings
from girderply.layout.bolting import bolt_choices, place_bolts
from girderply.layout.brief import Brief
from girderply.layout.columns import bolt_groups, columns_of
from girderply.layout.frame import Zones, along_tape, from_hook, in_frame, start_from_below
from girderply.layout.limits import nail_limits
from girderply.layout.nail_choice import nail_findings
from girderply.layout.nailing import place_member
from girderply.layout.patterns import (
    Pattern,
    prescribed_for,
    prescribed_pattern,
    rule_pattern,
)
from girderply.layout.records import Fasteners, PatternNote, Stage
from girderply.layout.region import Intervals, KeepOut, touching
from girderply.layout.spread import Density
from girderply.layout.stages import Pass, plan_steps, stages_in_one_ply, with_nail
from girderply.layout.strip import make_strip
from girderply.layout.wording import stage_in_words
from girderply.model.girder import Member

__all__ = ["Layout", "Workshop", "Zones", "keep_outs", "lay_out"]


@dataclass(frozen=True, slots=True)
class Layout:
    """What `lay_out` decides.

    `free` says where along the tape of each member nails may stand on some row, mm.
    """

    fasteners: Fasteners
    stages: tuple[Stage, ...]
    passes: tuple[Pass, ...]
    patterns: tuple[PatternNote, ...]
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]
    findings: tuple[Finding, ...]
    free: Mapping[str, Intervals] = field(default_factory=dict)


def keep_outs(brief: Brief) -> list[KeepOut]:
    """Plates and brackets, with the rule set's clearances."""
    rules, girder = brief.rules, brief.girder
    shank = brief.nail.d / 2 if brief.nail else 0.0  # a nail beside a plate is not on it
    plates = [KeepOut(p.outline, "plate", max(rules.plate_clearance, shank)) for p in girder.plates]
    brackets = [
        KeepOut(x.footprint, "bracket", max(rules.bracket_clearance, shank))
        for x in girder.loads
        if x.footprint is not None
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
    note: PatternNote | None
    free: Intervals | None


class Workshop:
    """Lays one girder out, again and again while its zones change; what did not change is kept."""

    def __init__(self, brief: Brief) -> None:
        """Take a girder and its rules."""
        self.asked = brief
        self.brief = start_from_below(brief)
        self.obstacles = keep_outs(self.brief)
        self._first: Bolting | None = None
        self._bolted: dict[Hashable, Bolting] = {}
        self._nailed: dict[Hashable, _Nailed] = {}

    def lay_out(self, zones: Zones) -> Layout:
        """Place every fastener, closer in these zones."""
        brief = self.brief
        zones = in_frame(brief, zones)
        bolting = self._bolting(zones)
        choices = bolt_choices(brief, bolting.spots)
        steps = plan_steps(brief, bool(bolting.spots))
        passes = tuple(s.passed for s in steps if s.passed)
        nailed = self._nail_members(passes, bolting, zones)
        bolt_stage = next((s.number for s in steps if s.bolts), 0)
        groups = [g for n in nailed.values() for g in n.groups]
        groups += bolt_groups(brief, bolting.spots, choices, bolt_stage)
        specs = Counter(choices[s.choice].spec for s in bolting.spots)
        own = self._prescribed_passes(passes)
        found = [*bolting.findings, *nail_findings(brief, [*passes, *own])]
        found += bolt_findings(brief, bolting.spots, choices)
        found += [f for n in nailed.values() for f in n.findings]
        words = [stage_in_words(brief, steps, i, bolting.spots, specs) for i in range(len(steps))]
        return Layout(
            fasteners=columns_of(self.asked, [from_hook(self.asked, brief, g) for g in groups]),
            stages=tuple(words),
            passes=passes,
            patterns=tuple(n.note for n in nailed.values() if n.note),
            nails={p.nail.key: p.nail for p in [*passes, *own]},
            bolts={c.spec: c for c in choices.values()},
            findings=tuple(found),
            free={m: n.free for m, n in nailed.items() if n.free is not None},
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
        """Nail every member; not again where bolts nearby and zones are as before."""
        if not passes:
            return {}
        groups = range(len(self.brief.ply_rule.stages))
        done: dict[str, _Nailed] = {}
        seats = bolting.seats()
        for member in self.brief.girder.members:
            closer = tuple(tuple(zones.nails.get((member.id, g), ())) for g in groups)
            rows = zones.rows.get(member.id)
            near = touching(member, seats)
            places = tuple(seat.outline.tobytes() for seat in near)
            key = (member.id, places, bool(bolting.spots), rows, closer)
            if key not in self._nailed:
                obstacles = self.obstacles + near
                self._nailed[key] = _nail(self.brief, member, passes, obstacles, closer, rows)
            done[member.id] = self._nailed[key]
        return done


def _nail(
    brief: Brief,
    member: Member,
    passes: Sequence[Pass],
    obstacles: list[KeepOut],
    closer: Sequence[Sequence[Density]],
    rows: int | None,
) -> _Nailed:
    """Nail one member for every stage."""
    board = Board()
    passes = _own_passes(brief, member, passes)
    thickest = max((p.nail for p in passes), key=lambda n: n.d)
    limits = nail_limits(brief, member, thickest)
    pattern = _pattern(brief, board, member, thickest, limits, rows)
    if pattern is None:
        return _Nailed((), tuple(board.findings), None, None)
    strip = make_strip(brief, limits, pattern, obstacles, stages_in_one_ply(passes))
    by_group = [[p for p in passes if p.group == g] for g in range(len(closer))]
    placed = place_member(brief, board, strip, by_group, closer)
    note = _note(brief, pattern, strip.required, placed)
    free = along_tape(brief, member, strip.free)
    return _Nailed(tuple(board.groups), tuple(board.findings), note, free)


def _own_passes(brief: Brief, member: Member, passes: Sequence[Pass]) -> Sequence[Pass]:
    """The stages' nails, or what the truss designer prescribes for this member."""
    given = prescribed_for(member, brief.job.fastening.prescribed)
    if given is None or given.nail is None:
        return passes
    nail = find_nail(given.nail)
    return [with_nail(brief, p, nail) for p in passes]


def _pattern(
    brief: Brief, board: Board, member: Member, nail: Nail, limits: Limits, rows: int | None
) -> Pattern | None:
    given = prescribed_for(member, brief.job.fastening.prescribed)
    pattern: Pattern | None
    if given is not None:
        pattern, found = prescribed_pattern(brief, member, given, limits)
    else:
        pattern, found = rule_pattern(brief, member, nail, limits, rows)
    board.findings += found
    return pattern


def _note(brief: Brief, pattern: Pattern, required: int, placed: int) -> PatternNote:
    flip = pattern.member in brief.flipped
    return PatternNote(
        member=pattern.member,
        rows=pattern.rows,
        pitch=pattern.pitch,
        centres=pattern.centres,
        gauge=pattern.gauge,
        slant=pattern.slant,
        source=pattern.source,
        required=required,
        placed=placed,
        row_offsets=tuple(sorted(-v for v in pattern.lines)) if flip else pattern.lines,
    )
