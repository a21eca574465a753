"""Which fastener of one schedule is which of another: kept, other, moved, added, taken out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from girderply.schedule.compare import SAME_PLACE

Plain = dict[str, Any]
FARTHEST = 300.0  # mm along and across; further away it is another fastener, not a moved one


@dataclass(slots=True)
class Pairs:
    """Fasteners of one member, matched.

    Attributes:
        kept: number that are the same in all ways.
        other_spec: (before, after) at one place. other_way: at one place and of one spec, but in
            another stage, from another face or through other plies.
        moved: (before, after, distance in mm).
        added, removed: without a partner.
    """

    kept: int = 0
    other_spec: list[tuple[Plain, Plain]] = field(default_factory=list)
    other_way: list[tuple[Plain, Plain]] = field(default_factory=list)
    moved: list[tuple[Plain, Plain, float]] = field(default_factory=list)
    added: list[Plain] = field(default_factory=list)
    removed: list[Plain] = field(default_factory=list)


def match(before: list[Plain], after: list[Plain]) -> Pairs:
    """Match the fasteners of one member, the closest likeness first; each is used once.

    Args:
        before: fasteners of the earlier contract.
        after: fasteners of the contract now.
    """
    found = Pairs()
    one, two, same = _take(before, after, _same_in_all, SAME_PLACE)
    found.kept = len(same)
    one, two, pairs = _take(one, two, lambda f: (f["spec"],), SAME_PLACE)
    found.other_way = [(a, b) for a, b, _ in pairs]
    one, two, pairs = _take(one, two, lambda f: (f["kind"], *_way(f)), SAME_PLACE)
    found.other_spec = [(a, b) for a, b, _ in pairs]
    one, two, found.moved = _take(one, two, _same_in_all, FARTHEST)
    found.removed, found.added = one, two
    return found


def _way(f: Plain) -> tuple[Any, ...]:
    return f["stage"], f["face"], f["from_ply"], f["to_ply"], f["clench"]


def _same_in_all(f: Plain) -> tuple[Any, ...]:
    return (f["spec"], *_way(f))


def how(before: Plain, after: Plain) -> tuple[str, str]:
    """How one goes in before and now, told by what differs: stage, face, plies, clench."""
    one, two = _way_words(before), _way_words(after)
    differ = [k for k in range(len(one)) if one[k] != two[k]]
    return ", ".join(one[k] for k in differ), ", ".join(two[k] for k in differ)


def _way_words(f: Plain) -> tuple[str, ...]:
    return (
        f"in stage {f['stage']}",
        f"with the head on the {f['face']}",
        f"through plies {f['from_ply']} to {f['to_ply']}",
        "clenched" if f["clench"] else "not clenched",
    )


def _take(
    before: list[Plain], after: list[Plain], key: Callable[[Plain], object], reach: float
) -> tuple[list[Plain], list[Plain], list[tuple[Plain, Plain, float]]]:
    """Pair those of one key no further apart than `reach`; the first two are what is left."""
    pairs: list[tuple[Plain, Plain, float]] = []
    used: tuple[set[int], set[int]] = (set(), set())
    places: dict[object, tuple[list[int], list[int]]] = {}
    for side, rows in enumerate((before, after)):
        for i, f in enumerate(rows):
            places.setdefault(key(f), ([], []))[side].append(i)
    for ones, twos in places.values():
        for i, j, distance in _nearest([before[i] for i in ones], [after[j] for j in twos], reach):
            pairs.append((before[ones[i]], after[twos[j]], distance))
            used[0].add(ones[i])
            used[1].add(twos[j])
    left = [
        [f for i, f in enumerate(rows) if i not in used[side]]
        for side, rows in enumerate((before, after))
    ]
    return left[0], left[1], pairs


def _nearest(one: list[Plain], two: list[Plain], reach: float) -> list[tuple[int, int, float]]:
    """Pairs of indices, the nearest first, each index once."""
    if not one or not two:
        return []
    a, b = _places(one), _places(two)
    apart = np.abs(a[:, None, :] - b[None, :, :]).max(axis=2)
    rows, columns = np.nonzero(apart <= reach)
    order = np.lexsort((columns, rows, np.round(apart[rows, columns], 3)))
    taken: tuple[set[int], set[int]] = (set(), set())
    pairs = []
    for i, j in zip(rows[order].tolist(), columns[order].tolist(), strict=True):
        if i not in taken[0] and j not in taken[1]:
            taken[0].add(i)
            taken[1].add(j)
            pairs.append((i, j, float(np.hypot(*(a[i] - b[j])))))
    return pairs


def _places(rows: list[Plain]) -> NDArray[np.float64]:
    return np.array([(f["station_mm"], f["offset_mm"]) for f in rows], float)
