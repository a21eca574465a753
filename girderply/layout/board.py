"""The board that fasteners are put on while a girder is laid out.

It keeps one `Group` (columns) per call and knows, per member, what stands where and in which
plies, so that nothing is driven onto something else.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from girderply.errors import Finding
from girderply.model.girder import Array, Member


@dataclass(frozen=True, slots=True)
class Group:
    """Fasteners of one member, one kind and one stage: columns and what they share.

    Attributes:
        station, offset: (n,) mm. row: (n,) 1-based.
        plies: (lowest, highest) ply they are in.
        common: values shared by all: kind, spec, stage, face, from_ply, to_ply, ...
    """

    member: Member
    station: Array
    offset: Array
    row: np.ndarray
    plies: tuple[int, int]
    common: dict[str, object]

    def __len__(self) -> int:
        return len(self.station)


@dataclass(slots=True)
class Board:
    """All groups placed so far, and what there is to say about them."""

    groups: list[Group] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def put(self, group: Group) -> None:
        """Add a group; empty ones are ignored."""
        if len(group):
            self.groups.append(group)

    def near(self, member_id: str, plies: tuple[int, int]) -> tuple[Array, Array]:
        """Stations and offsets of what is driven into any of these plies of a member, mm."""
        here = [
            g
            for g in self.groups
            if g.member.id == member_id
            and g.common["kind"] != "bolt"
            and g.plies[0] <= plies[1]
            and plies[0] <= g.plies[1]
        ]
        if not here:
            return np.zeros(0), np.zeros(0)
        return np.concatenate([g.station for g in here]), np.concatenate([g.offset for g in here])


def clashes(
    station: Array, offset: Array, others: tuple[Array, Array], a1: float, a2: float
) -> np.ndarray:
    """(n,) whether each place is nearer to another fastener than both a1 and a2 allow, mm.

    Only the others within a1 along the member are looked at, so the cost grows with their number
    and not with its square.
    """
    bad = np.zeros(len(station), bool)
    if not len(others[0]) or not len(station):
        return bad
    order = np.argsort(others[0], kind="stable")
    theirs = others[0][order]
    first = np.searchsorted(theirs, station - a1)
    count = np.searchsorted(theirs, station + a1) - first
    place = np.repeat(np.arange(len(station)), count)
    # the k-th of a place's neighbours is the k-th from its first
    turn = np.arange(len(place)) - np.repeat(np.cumsum(count) - count, count)
    other = order[first[place] + turn]
    near = np.abs(station[place] - others[0][other]) < a1 - 1e-6
    near &= np.abs(offset[place] - others[1][other]) < a2 - 1e-6
    bad[place[near]] = True
    return bad
