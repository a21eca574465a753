"""Which fasteners count for which zone, sorted into classes that are alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from girderply.bases.answers import Effective
from girderply.bases.crossing import Crossing, Placed
from girderply.strength.columns import FastenerColumns, crossings
from girderply.strength.judge import Judge
from girderply.strength.zones import Zone

_TINY = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Group:
    """Fasteners of one class in one zone: where they stand, how many count together."""

    crossing: Crossing
    placed: Placed
    count: Effective


def zone_of(
    columns: FastenerColumns, index: NDArray[np.intp], zones: Iterable[Zone]
) -> NDArray[np.str_]:
    """The zone that each fastener counts for.

    On a border the fastener goes to the zone nearer the hook end, so that none counts twice.

    Args:
        columns: of all fasteners.
        index: (m,) which of them.
        zones: none of them overlap.

    Returns:
        (m,) zone ids, empty for none.
    """
    known = list({z.id: z for z in zones}.values())
    names = np.array([*(z.id for z in known), ""], dtype=np.str_)
    return np.asarray(names[zone_numbers(columns, index, known)], np.str_)


def zone_numbers(
    columns: FastenerColumns, index: NDArray[np.intp], zones: Sequence[Zone]
) -> NDArray[np.intp]:
    """As `zone_of`, by position in `zones`: (m,), -1 for none."""
    owner = np.full(len(index), -1, dtype=np.intp)
    members, stations = columns.member[index], columns.station[index]
    for chord in dict.fromkeys(z.chord for z in zones):
        own = sorted((z.start, z.end, i) for i, z in enumerate(zones) if z.chord == chord)
        start, end, number = (np.array(column) for column in zip(*own, strict=True))
        mine = np.flatnonzero(members == chord)
        s = stations[mine]
        at = np.searchsorted(start, s + _TINY, side="right") - 1
        before = np.maximum(at - 1, 0)
        at = np.where((at > 0) & (s <= end[before] + _TINY), before, at)
        inside = (at >= 0) & (s <= end[at] + _TINY)
        owner[mine[inside]] = number[at[inside]]
    return owner


def groups_of(
    judge: Judge,
    columns: FastenerColumns,
    index: NDArray[np.intp],
    zones: Sequence[Zone],
    alphas: Sequence[float],
) -> list[list[Group]]:
    """The fasteners of every zone by class.

    Args:
        judge: counts how many of a class act together.
        columns: of all fasteners.
        index: (m,) the ones that carry.
        zones: without doubles.
        alphas: angle of the force to the grain in each zone, rad.

    Returns:
        One list per zone, classes in their order.
    """
    classes, of_class = crossings(columns, index)
    owner = zone_numbers(columns, index, zones)
    found: list[list[Group]] = [[] for _ in zones]
    order = np.lexsort((of_class, owner))
    order = order[owner[order] >= 0]
    key = owner[order] * max(len(classes), 1) + of_class[order]
    cuts = np.flatnonzero(np.diff(key)) + 1
    for part in np.split(order, cuts) if len(order) else []:
        rows, zone = index[part], int(owner[part[0]])
        crossing = classes[of_class[part[0]]]
        placed = Placed(columns.station[rows], columns.offset[rows])
        count = judge.standard.effective(crossing, placed, alphas[zone])
        found[zone].append(Group(crossing, placed, count))
    return found
