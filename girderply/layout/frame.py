"""The frame the layout works in: every member runs from its lower end, whatever its hook end.

Mirrored members are fastened alike that way, and the hook end changes stations only.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import cast

from girderply.layout.board import Group
from girderply.layout.bolt_rows import BoltGroup
from girderply.layout.brief import Brief
from girderply.layout.region import Intervals
from girderply.layout.spread import Density
from girderply.model.girder import Member

LEVEL = 1e-6  # mm; a member that rises less is level

NailZones = Mapping[tuple[str, int], Sequence[Density]]


@dataclass(frozen=True, slots=True)
class Zones:
    """Where more is needed than the rule set's pattern.

    Attributes:
        nails: (member id, index of the rule's stage) -> closer centres in parts of the member.
        rows: member id -> rows to use instead of the rule set's.
        bolts: groups of through bolts that carry a load.
    """

    nails: NailZones = field(default_factory=dict)
    rows: Mapping[str, int] = field(default_factory=dict)
    bolts: Sequence[BoltGroup] = ()


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


def in_frame(brief: Brief, zones: Zones) -> Zones:
    """Zones given along the tape, in the layout's frame."""

    def turned(member_id: str, zone: Density) -> Density:
        if member_id not in brief.flipped:
            return zone
        length = brief.girder.member(member_id).length
        return Density(length - zone.end, length - zone.start, zone.centres)

    nails = {key: [turned(key[0], d) for d in zones.nails[key]] for key in zones.nails}
    return Zones(nails, zones.rows, [_turned_group(brief, g) for g in zones.bolts])


def _turned_group(brief: Brief, group: BoltGroup) -> BoltGroup:
    if group.member not in brief.flipped:
        return group
    length = brief.girder.member(group.member).length
    start, end, at = length - group.end, length - group.start, length - group.at
    return replace(group, start=start, end=end, at=at)


def from_hook(asked: Brief, brief: Brief, group: Group) -> Group:
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


def along_tape(brief: Brief, member: Member, free: Intervals) -> Intervals:
    """Intervals of the layout's frame as the tape reads them."""
    if member.id not in brief.flipped:
        return free
    return Intervals(member.length - free.end[::-1], member.length - free.start[::-1])
