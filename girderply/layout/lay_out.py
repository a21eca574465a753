"""Lay out a girder: every nail and bolt, stage by stage.

Order of placing, so that nothing is put where something else must be: outlines, plates,
brackets; bracket bolts and joint bolts; nails of each stage.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import cast

import numpy as np

from girderply.catalogue.types import BoltChoice, Nail
from girderply.errors import Finding
from girderply.layout.board import Board, Group
from girderply.layout.bolting import BoltSpot, bolt_choices, place_bolts
from girderply.layout.brief import Brief
from girderply.layout.limits import nail_limits
from girderply.layout.nail_choice import nail_findings
from girderply.layout.nailing import make_strip, place_member
from girderply.layout.patterns import (
    Pattern,
    prescribed_for,
    prescribed_pattern,
    rule_pattern,
)
from girderply.layout.records import Fasteners, PatternNote, Stage
from girderply.layout.region import Intervals, KeepOut
from girderply.layout.spread import Density
from girderply.layout.stages import Pass, Step, plan_steps
from girderply.layout.wording import stage_in_words
from girderply.model.girder import Member

LEVEL = 1e-6  # mm; a member that rises less is level

NailZones = Mapping[tuple[str, int], Sequence[Density]]


@dataclass(frozen=True, slots=True)
class Zones:
    """Where more is needed than the rule set's pattern.

    Attributes:
        nails: (member id, index of the rule's stage) -> closer centres in parts of the member.
        rows: member id -> rows to use instead of the rule set's.
        bolts: (chord, centres in a part of it, rows) of through bolts that carry a load.
    """

    nails: NailZones = field(default_factory=dict)
    rows: Mapping[str, int] = field(default_factory=dict)
    bolts: Sequence[tuple[str, Density, int]] = ()


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


def start_from_below(brief: Brief) -> Brief:
    """The same girder with every member run from its lower end (a level one from its left).

    The layout works in this frame, so that mirrored members are fastened alike and the hook end
    changes stations only. `Brief.flipped` names the members whose tape starts at the other end.
    """
    members = []
    flipped: set[str] = set()
    for m in brief.girder.members:
        rise, run = m.far[1] - m.hook[1], m.far[0] - m.hook[0]
        from_below = rise > LEVEL or (abs(rise) <= LEVEL and run >= 0)
        flipped |= set() if from_below else {m.id}
        members.append(m if from_below else replace(m, hook=m.far, far=m.hook))
    by_id = {m.id: m for m in members}
    loads = tuple(
        replace(x, station=by_id[x.chord].length - x.station) if x.chord in flipped else x
        for x in brief.girder.loads
    )
    girder = replace(brief.girder, members=tuple(members), loads=loads)
    return replace(brief, girder=girder, flipped=frozenset(flipped))


def _in_frame(brief: Brief, zones: Zones) -> Zones:
    """Zones given along the tape, in the layout's frame."""

    def turned(member_id: str, zone: Density) -> Density:
        if member_id not in brief.flipped:
            return zone
        length = brief.girder.member(member_id).length
        return Density(length - zone.end, length - zone.start, zone.centres)

    nails = {key: [turned(key[0], d) for d in zones.nails[key]] for key in zones.nails}
    bolts = [(m, turned(m, d), rows) for m, d, rows in zones.bolts]
    return Zones(nails, zones.rows, bolts)


def _from_hook(asked: Brief, brief: Brief, group: Group) -> Group:
    """A group in the frame of its member's own hook end."""
    if group.member.id not in brief.flipped:
        return group
    member = asked.girder.member(group.member.id)
    top = int(group.row.max(initial=1))
    most = max(top, int(cast(int, group.common.get("rows", top))))
    return replace(
        group,
        member=member,
        station=member.length - group.station,
        offset=-group.offset,
        row=most + 1 - group.row,
    )


def keep_outs(brief: Brief) -> list[KeepOut]:
    """Plates and brackets, with the rule set's clearances."""
    rules, girder = brief.rules, brief.girder
    plates = [KeepOut(p.outline, "plate", rules.plate_clearance) for p in girder.plates]
    brackets = [
        KeepOut(x.footprint, "bracket", rules.bracket_clearance)
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
    asked, brief = brief, start_from_below(brief)
    zones = _in_frame(brief, zones or Zones())
    obstacles = keep_outs(brief)
    bolting = place_bolts(brief, obstacles, zones.bolts)
    choices = bolt_choices(brief, bolting.spots)
    steps = plan_steps(brief, bool(bolting.spots))
    board = Board(findings=list(bolting.findings))
    board.findings += nail_findings(brief, steps)
    notes, free = _nail_members(brief, board, steps, obstacles + bolting.seats(), zones)
    bolt_stage = next((s.number for s in steps if s.bolts), 0)
    for group in _bolt_groups(brief, bolting.spots, choices, bolt_stage):
        board.put(group)
    specs = Counter(choices[s.choice].spec for s in bolting.spots)
    stages = [stage_in_words(brief, steps, i, bolting.spots, specs) for i in range(len(steps))]
    passes = tuple(s.passed for s in steps if s.passed)
    return Layout(
        fasteners=_columns(asked, [_from_hook(asked, brief, g) for g in board.groups]),
        stages=tuple(stages),
        passes=passes,
        patterns=tuple(notes),
        nails={p.nail.key: p.nail for p in passes},
        bolts={c.spec: c for c in choices.values()},
        findings=tuple(board.findings),
        free=free,
    )


def _nail_members(
    brief: Brief, board: Board, steps: Sequence[Step], obstacles: list[KeepOut], zones: Zones
) -> tuple[list[PatternNote], dict[str, Intervals]]:
    """Nail every member; what its pattern is, for people, and where it is free."""
    passes = [s.passed for s in steps if s.passed]
    by_group = [[p for p in passes if p.group == g] for g in range(len(brief.ply_rule.stages))]
    if not passes:
        return [], {}
    thickest = max((p.nail for p in passes), key=lambda n: n.d)
    notes = []
    free = {}
    for member in brief.girder.members:
        pattern = _pattern(brief, board, member, thickest, zones.rows.get(member.id))
        if pattern is None:
            continue
        strip = make_strip(brief, nail_limits(brief, member, thickest), pattern, obstacles)
        closer = [zones.nails.get((member.id, g), ()) for g in range(len(by_group))]
        placed = place_member(brief, board, strip, by_group, closer)
        free[member.id] = _along_tape(brief, member, strip.free)
        notes.append(_note(brief, pattern, strip.required, placed))
    return notes, free


def _along_tape(brief: Brief, member: Member, free: Intervals) -> Intervals:
    """Intervals of the layout's frame as the tape reads them."""
    if member.id not in brief.flipped:
        return free
    return Intervals(member.length - free.end[::-1], member.length - free.start[::-1])


def _pattern(
    brief: Brief, board: Board, member: Member, nail: Nail, rows: int | None
) -> Pattern | None:
    limits = nail_limits(brief, member, nail)
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


def _bolt_groups(
    brief: Brief,
    spots: Sequence[BoltSpot],
    choices: Mapping[tuple[str, str], BoltChoice],
    stage: int,
) -> list[Group]:
    """Bolts as columns, one group each: they share nothing but their kind."""
    face = _bolt_face(brief, stage)
    n = brief.girder.plies
    from_ply, to_ply = (1, n) if face == "front" else (n, 1)
    return [
        Group(
            s.member,
            np.array([s.station]),
            np.array([s.offset]),
            np.array([s.row]),
            (1, n),
            {
                "kind": "bolt",
                "spec": choices[s.choice].spec,
                "joint": s.joint,
                "stage": stage,
                "face": face,
                "from_ply": from_ply,
                "to_ply": to_ply,
                "protrusion": 0.0,
                "point_depth": brief.girder.ply_thickness,
                "clench": False,
                "drilled": s.hole,
                "purpose": "assembly",
                "load": s.load,
                "rows": s.rows,
            },
        )
        for s in spots
    ]


def _bolt_face(brief: Brief, stage: int) -> str:
    """The face that is up when the bolts go in."""
    steps = plan_steps(brief, True)
    return next((s.face_up for s in steps if s.number == stage and s.bolts), "front")


_WORDS = ("kind", "spec", "joint", "face", "purpose", "load")
_LETTER = {"nail": "N", "bolt": "B", "screw": "S"}


def _columns(brief: Brief, groups: Sequence[Group]) -> Fasteners:
    """All groups as one table, numbered by member, kind and station."""
    rank = {m.id: i for i, m in enumerate(brief.girder.members)}
    order = sorted(range(len(groups)), key=lambda i: rank[groups[i].member.id])
    groups = [groups[i] for i in order]
    counts = [len(g) for g in groups]

    def shared(name: str) -> np.ndarray:
        values = [g.common[name] for g in groups]
        return np.repeat(np.array(values, dtype=np.str_ if name in _WORDS else None), counts)

    empty = np.zeros(0)
    station = np.concatenate([empty, *(g.station for g in groups)])
    offset = np.concatenate([empty, *(g.offset for g in groups)])
    member = np.repeat(np.array([g.member.id for g in groups], dtype=np.str_), counts)
    xy = np.concatenate(
        [np.zeros((0, 2))]
        + [g.member.to_elevation(np.column_stack([g.station, g.offset])) for g in groups]
    )
    columns: dict[str, np.ndarray] = {
        "member": member,
        "x": xy[:, 0],
        "y": xy[:, 1],
        "station": station,
        "offset": offset,
        "row": np.concatenate([empty, *(g.row for g in groups)]).astype(np.int64),
        **{n: shared(n) for n in _WORDS},
        **{n: shared(n).astype(np.int64) for n in ("stage", "from_ply", "to_ply")},
        **{n: shared(n).astype(float) for n in ("protrusion", "point_depth", "drilled")},
        "clench": shared("clench").astype(bool),
    }
    places = np.array([rank[m] for m in member], dtype=np.int64)
    kinds = np.array([("nail", "bolt", "screw").index(k) for k in columns["kind"]], dtype=np.int64)
    index = np.lexsort((columns["stage"], offset, station, kinds, places))
    columns = {name: column[index] for name, column in columns.items()}
    columns["id"] = _numbered(columns["member"], columns["kind"])
    return Fasteners(**columns)


def _numbered(member: np.ndarray, kind: np.ndarray) -> np.ndarray:
    """Ids such as BC1-N12: counted per member and kind, in table order."""
    seen: Counter[tuple[str, str]] = Counter()
    names = []
    for m, k in zip(member.tolist(), kind.tolist(), strict=True):
        seen[m, k] += 1
        names.append(f"{m}-{_LETTER[k]}{seen[m, k]}")
    return np.array(names, dtype=np.str_)
