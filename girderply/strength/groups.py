"""Which load a fastener stands nearest to, and groups of fasteners that are alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from girderply.bases.answers import Effective
from girderply.bases.crossing import Crossing, Placed
from girderply.strength.stack_columns import FastenerColumns
from girderply.strength.zones import Zone

Floats = NDArray[np.float64]
_TINY = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Group:
    """Fasteners of one class: where they stand, how many count together."""

    crossing: Crossing
    placed: Placed
    count: Effective


def zone_of(
    columns: FastenerColumns, index: NDArray[np.intp], zones: Iterable[Zone]
) -> NDArray[np.str_]:
    """The id of the zone whose load each fastener stands nearest to, as `nearest`.

    Args:
        columns: of all fasteners.
        index: (m,) which of them.
        zones: of any chords.

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
        mine = np.flatnonzero(members == chord)
        number = [i for i, z in enumerate(zones) if z.chord == chord]
        number.sort(key=lambda i: (zones[i].station, zones[i].id))
        near = nearest([zones[i] for i in number], stations[mine])
        owner[mine] = np.where(near >= 0, np.array(number)[near], -1)
    return owner


def nearest(zones: Sequence[Zone], station: Floats) -> NDArray[np.intp]:
    """The zone that each fastener of a chord stands nearest to, of those whose window it is in.

    Args:
        zones: of one chord.
        station: (m,) mm.

    Returns:
        (m,) position in `zones`, -1 for none; half-way the one nearer the hook end.
    """
    low, high, at = (np.array([getattr(z, n) for z in zones]) for n in ("low", "high", "station"))
    s = station[:, None]
    inside = (low - _TINY <= s) & (s <= high + _TINY)
    away = np.where(inside, np.round(np.abs(s - at), 6), np.inf)
    best = np.argmin(away, axis=1)
    return np.where(inside.any(axis=1), best, -1)
