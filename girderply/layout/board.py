"""Fasteners of one run as columns, and whether places are too near to what stands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.fasteners.runs import Run
from girderply.model.girder import Array, Member


@dataclass(frozen=True, slots=True)
class Group:
    """Fasteners of one run: columns and what they share.

    Attributes:
        run: that they are produced from.
        station, offset: (n,) mm. row: (n,) 1-based.
        plies: (lowest, highest) ply they are in.
        common: values shared by all: kind, spec, stage, face, from_ply, to_ply, ...
    """

    member: Member
    run: Run
    station: Array
    offset: Array
    row: np.ndarray
    plies: tuple[int, int]
    common: dict[str, object]

    def __len__(self) -> int:
        return len(self.station)


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
