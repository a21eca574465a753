"""Bolts beside loads told as combs: what stands alike beside loads that hang alike is one run.

Where they stand is decided before; here is only found what a person would say of them: "every
1200 from 615, three". A step is the distance of two loads, or one of the ladder.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from girderply.catalogue.catalogue_types import Washer
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.brief import Brief
from girderply.layout.region import KeepOut
from girderply.layout.shadows import Shadow, over, shadows_on
from girderply.model.girder import Member

LEAST = 3  # marks: two are told as well by their places
_SAME = 1e-3  # mm


@dataclass(frozen=True, slots=True)
class _Comb:
    """Marks of one row: indices of the bolts by mark, rising; a mark without one is left out."""

    first: float
    step: float
    bolts: dict[int, int]

    @property
    def order(self) -> tuple[int, int, float, float]:
        """The longest first, then the one that leaves fewest marks out."""
        marks = max(self.bolts) + 1
        return -len(self.bolts), marks - len(self.bolts), self.step, self.first


def in_combs(brief: Brief, spots: Sequence[BoltSpot], keep_outs: list[KeepOut]) -> list[BoltSpot]:
    """The bolts in their order, those beside loads as marks of combs where they make one.

    Args:
        brief: steps of the ladder, loads.
        spots: all bolts.
        keep_outs: that the hand sees where a mark is left out.
    """
    found = list(spots)
    rows: dict[tuple[str, float], list[int]] = {}
    for i, s in enumerate(spots):
        if s.comb is None and not s.joint and not s.load:
            rows.setdefault((s.member.id, s.offset), []).append(i)
    for (chord, _), mine in rows.items():
        if len(mine) < LEAST:
            continue
        one = spots[mine[0]]
        shadows = washer_shadows(one.member, one.washer, keep_outs)
        steps = _steps(brief, chord)
        left = {i: spots[i].station for i in mine}
        while (comb := _longest(left, steps, shadows)) is not None:
            for mark, i in comb.bolts.items():
                found[i] = replace(spots[i], comb=(comb.first, comb.step, mark))
                del left[i]
    return found


def washer_shadows(member: Member, washer: Washer, keep_outs: list[KeepOut]) -> tuple[Shadow, ...]:
    """What lies on a member, and half a washer about it: a washer there would lie on it."""
    half = washer.outer / 2
    return tuple(replace(s, clearance=s.clearance + half) for s in shadows_on(member, keep_outs))


def _steps(brief: Brief, chord: str) -> list[float]:
    """Distances that a person sees on this chord: of its loads, and those of the ladder, mm."""
    at = sorted({round(x.station, 3) for x in brief.girder.loads if x.chord == chord})
    between = {round(b - a, 3) for a, b in combinations(at, 2)}
    least = min((b - a for a, b in combinations(at, 2)), default=0.0)
    return sorted(between | {s for s in brief.rules.setting_out.ladder if s < least})


def _longest(
    left: dict[int, float], steps: Sequence[float], shadows: tuple[Shadow, ...]
) -> _Comb | None:
    """The comb with the most of the bolts that are left, or None where none has enough."""
    found = [
        comb
        for first in left.values()
        for step in steps
        if len((comb := _comb(left, first, step, shadows)).bolts) >= LEAST
    ]
    return min(found, key=lambda c: c.order, default=None)


def _comb(left: dict[int, float], first: float, step: float, shadows: tuple[Shadow, ...]) -> _Comb:
    """From one bolt on as far as a bolt, or what the hand sees in its place, is at every mark."""
    last = max(left.values())
    bolts: dict[int, int] = {}
    mark = 0
    while first + mark * step <= last + _SAME:
        at = first + mark * step
        here = next((i for i, s in left.items() if abs(s - at) < _SAME), None)
        if here is not None:
            bolts[mark] = here
        elif over(shadows, at) is None:
            break
        mark += 1
    return _Comb(first, step, bolts)
