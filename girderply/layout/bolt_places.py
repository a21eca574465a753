"""Bolts: beside the joints, at mid-length of members in compression, of brackets, in rows."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

import numpy as np

from girderply.bases.answers import Limits
from girderply.catalogue import choose_bolt
from girderply.catalogue.catalogue_types import BoltChoice
from girderply.errors import CatalogueError, Finding, Severity
from girderply.layout.bolt_board import Bolting, BoltSpot
from girderply.layout.bracket_bolts import place_bracket_bolts
from girderply.layout.brief import Brief
from girderply.layout.limits import bolt_limits
from girderply.layout.region import Intervals, KeepOut, region_of
from girderply.layout.tape_side import tape_side
from girderply.model.girder import Array, Joint, Member
from girderply.wording import said


def place_bolts(brief: Brief, keep_outs: list[KeepOut]) -> Bolting:
    """Place the bolts of joints and of members in compression around those of brackets.

    Args:
        brief: girder and rules.
        keep_outs: plates and brackets.

    Returns:
        The bolts, with a finding for each that found no room.
    """
    work = Bolting(brief, keep_outs)
    place_bracket_bolts(work)
    if brief.bolt is not None and brief.ply_rule.joint_bolts:
        for joint in brief.girder.joints:
            _joint_bolts(work, joint)
        if brief.rules.bolts is not None and brief.rules.bolts.mid_compression:
            for member in brief.girder.members:
                _mid_bolts(work, member)
    return work


def line_for_bolts(work: Bolting, member: Member, offset: float) -> tuple[Intervals, Limits]:
    """Where a bolt may stand on a line of a member, plates and brackets kept off its washer."""
    key = member.id, offset
    if key not in work.lines:
        brief = work.brief
        if brief.bolt is None or brief.washer is None:
            raise CatalogueError("this rule set has no bolts")
        limits = bolt_limits(brief, member, brief.bolt.d)
        half = brief.washer.outer / 2
        region = region_of(member, max(limits.a4, half), max(limits.a3, half), work.keep_outs, half)
        work.lines[key] = region.on_row(offset), limits
    return work.lines[key]


def free_stations(work: Bolting, member: Member, offset: float = 0.0) -> Array:
    """Stations of a line that a tape can show and that no other bolt is too near to, mm.

    Places only become fewer, so each line remembers what was left of it.
    """
    free, limits = line_for_bolts(work, member, offset)
    key = member.id, offset
    if key not in work.places:
        tape = work.brief.tape()
        parts = [tape.marks(a, b) for a, b in zip(free.start, free.end, strict=True)]
        work.places[key] = 0, np.concatenate(parts) if parts else np.zeros(0)
    known, pool = work.places[key]
    new = [s for s in work.spots[known:] if s.member.id == member.id]
    if new and len(pool):
        least = work.least_apart(new, limits)
        at, across = (np.array(c) for c in zip(*((s.station, s.offset) for s in new), strict=True))
        near = np.abs(pool[:, None] - at[None, :]) < least[None, :] - 1e-6
        near &= np.abs(offset - across[None, :]) < np.maximum(limits.a2, least)[None, :] - 1e-6
        pool = pool[~near.any(axis=1)]
    work.places[key] = len(work.spots), pool
    return pool


def _plate_reach(work: Bolting, member: Member, joint: Joint) -> tuple[float, float]:
    """Station of the joint on the member and half the plate's extent along it, mm."""
    station = float(member.to_local(np.array([[joint.x, joint.y]]))[0, 0])
    plates = [p for p in work.brief.girder.plates if p.joint == joint.id]
    local = [member.to_local(p.outline)[:, 0] for p in plates]
    reach = max((float(np.max(np.abs(s - station))) for s in local), default=0.0)
    return station, reach


def _joint_bolts(work: Bolting, joint: Joint) -> None:
    """The bolts beside one joint, each on the nearest free place of the members that meet."""
    rule = work.brief.rules.bolts
    if rule is None:
        return
    members = [work.brief.girder.member(m) for m in joint.members]
    groups = [members]
    if rule.members == "chord":  # webs are asked only where no chord has room
        groups = [[m for m in members if m.role.is_chord is chord] for chord in (True, False)]
    for _ in range(rule.per_joint):
        nearest = (min(_joint_places(work, joint, group), default=None) for group in groups)
        best = next((place for place in nearest if place is not None), None)
        if best is None:
            work.findings.append(_no_room(work, joint, rule.reach))
            return
        *_, member_id, station = best
        put(work, work.brief.girder.member(member_id), station, 0.0, 1, joint=joint.id)


def _joint_places(
    work: Bolting, joint: Joint, members: Sequence[Member]
) -> Iterable[tuple[float, float, float, float, str, float]]:
    """The nearest free places of these members, which meet there.

    As (distance, distance from mid-span, distance to the side where the tape of the bottom chord
    hooks, height, member, station), mm: a mirror turns them all.
    """
    rule, girder = work.brief.rules.bolts, work.brief.girder
    middle, side = float(np.mean([j.x for j in girder.joints])), tape_side(girder)
    for member in members:
        station, plate = _plate_reach(work, member, joint)
        pool = free_stations(work, member)
        away = np.abs(pool - station)
        limit = min(away.min(initial=np.inf) + 0.01, plate + (rule.reach if rule else 0.0))
        pool = pool[away <= limit]
        places = member.to_elevation(np.column_stack([pool, np.zeros(len(pool))])).tolist()
        for at, (x, y) in zip(pool.tolist(), places, strict=True):
            near = (abs(at - station), abs(x - middle), -side * (x - middle), y)
            first, *rest = (round(v, 3) + 0.0 for v in near)
            yield first, *rest, member.id, at


def _no_room(work: Bolting, joint: Joint, reach: float) -> Finding:
    return Finding(
        "no-room-for-joint-bolt",
        Severity.ERROR,
        joint.id,
        said(
            "finding.no_joint_bolt",
            joint=joint.id,
            members=", ".join(joint.members),
            reach=work.brief.show.small(reach),
        ),
        work.brief.rules.source,
        said("finding.plate_real"),
    )


def _mid_bolts(work: Bolting, member: Member) -> None:
    """A bolt at mid-length between joints of a member in compression.

    Where nobody has said so, top chords and webs are taken to be in compression.
    """
    pressed = member.compression
    if pressed is None:
        pressed = member.role.value != "bottom chord"
    if not pressed:
        return
    joints = {j.id: j for j in work.brief.girder.joints}
    at = np.array([[joints[j].x, joints[j].y] for j in member.joints])
    stations = member.to_local(at)[:, 0]
    for a, b in itertools.pairwise(stations):
        pool = free_stations(work, member)
        pool = pool[np.abs(pool - (a + b) / 2) <= abs(b - a) / 4]
        if len(pool):
            best = float(pool[np.argmin(np.abs(pool - (a + b) / 2))])
            put(work, member, best, 0.0, 1)
        else:
            work.findings.append(
                Finding(
                    "no-room-for-mid-bolt",
                    Severity.WARNING,
                    member.id,
                    said(
                        "finding.no_mid_bolt",
                        member=member.id,
                        first=work.brief.show.span(a),
                        second=work.brief.show.span(b),
                    ),
                    work.brief.rules.source,
                )
            )


def put(
    work: Bolting,
    member: Member,
    station: float,
    offset: float,
    row: int,
    joint: str = "",
    rows: int = 1,
    comb: tuple[float, float, int] | None = None,
) -> None:
    """Put one of the girder's own bolts on a member, at a place (mm) that has been found free."""
    brief = work.brief
    if brief.bolt is None or brief.washer is None:
        raise CatalogueError("this rule set has no bolts")
    kind = (brief.bolt, brief.washer, brief.hole)
    work.spots.append(
        BoltSpot(member, station, offset, row, *kind, joint, "", rows, comb),
    )


def bolt_choices(brief: Brief, spots: Sequence[BoltSpot]) -> dict[tuple[str, str], BoltChoice]:
    """Length of every bolt through the whole stack, by bolt and washer keys."""
    return {
        s.choice: choose_bolt(s.bolt, s.washer, brief.girder.stack)
        for s in sorted(spots, key=lambda s: s.choice)
    }
