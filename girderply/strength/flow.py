"""Transfer as a flow: who may serve whom, and where it is tight.

Every fastener that crosses an interface may serve any load whose window it stands in, and serves
once. Windows are intervals in the order of the loads, so loads times x find their fasteners exactly
when, from the start of one window to the end of another, there stands x times what the loads need
whose windows lie wholly between (Hall's condition, for intervals). Where all fasteners cross the
same interfaces they are counted as fasteners, each load by what one is worth in its own pattern of
shear: a fastener serves one load at all its interfaces. Where they do not, each interface is
counted by itself in newtons, by what a fastener is worth whichever of its interfaces are loaded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from girderply.bases.answers import Effective, Plane
from girderply.bases.crossing import Placed
from girderply.strength.demand import Demand
from girderply.strength.groups import Group, nearest
from girderply.strength.in_force import Judge
from girderply.strength.stack_columns import FastenerColumns, crossings
from girderply.strength.zones import Zone

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
NOTHING = 1e-6  # share of the load below which an interface passes nothing
_TINY = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Tight:
    """The window that is used most of all that a load lies in.

    Attributes:
        used: what the loads inside need over what stands there; infinite for none.
        low, high: stations of its ends, mm.
        loads: ids of the places whose windows lie wholly inside.
        needed, there: in fasteners of the main class where `counted`, else N.
        own_needed, own_there: the same in the load's own window alone.
        counted: in fasteners.
        nearest: each fastener was given to the load that it stands nearest to; `there` is what the
            load is credited with, `own_there` what stands there.
    """

    used: float
    low: float
    high: float
    loads: tuple[str, ...]
    needed: float
    there: float
    own_needed: float
    own_there: float
    counted: bool
    nearest: bool = False


def tightest(low: Floats, high: Floats, need: Floats, station: Floats, supply: Floats) -> Ints:
    """For every load the window that it lies in and that is used most.

    Args:
        low: (p,) where each load's window starts, not falling, mm.
        high: (p,) where it ends, not falling, mm.
        need: (p,) of each load.
        station: (m,) of the fasteners, rising, mm.
        supply: (m,) what each is worth, in the unit of `need`.

    Returns:
        (p, 2) first and last load of the window; of equally used ones the shortest.
    """
    return _worst(usage(low, high, need, station, supply))


def _worst(used: Floats) -> Ints:
    """For every load the window that it lies in and that is used most, the shortest of equals."""
    used, each = np.round(used, 12), np.arange(len(used))
    after = np.maximum.accumulate(used[:, ::-1], axis=1)[:, ::-1]  # most over all later ends
    begun = np.where(each[:, None] <= each, after, -np.inf)  # a window of load i begins before it
    first = len(used) - 1 - np.argmax(begun[::-1], axis=0)  # the last of equals
    ended = np.where(each[:, None] <= each, used[first], -np.inf)
    return np.stack([first, np.argmax(ended, axis=1)], axis=1)


def usage(low: Floats, high: Floats, need: Floats, station: Floats, supply: Floats) -> Floats:
    """(p, p) need over supply from the start of window i to the end of window j.

    -inf for j < i, and where the loads between share no fastener: then each part is a window by
    itself, and what stands between the parts serves none of them.
    """
    begin = np.searchsorted(station, low - _TINY, side="left")
    end = np.searchsorted(station, high + _TINY, side="right")
    return _usage(_summed(need), _summed(supply), begin, end, _apart(low, high, need))


def _summed(values: Floats) -> Floats:
    """Nothing, then the sum up to every one of the values."""
    return np.concatenate([[0.0], np.cumsum(values)])


def _usage(
    needs: Floats, total: Floats, begin: Ints, end: Ints, apart: NDArray[np.bool_]
) -> Floats:
    """As `usage`, from the sums of both, with the fasteners' place at the ends of the windows."""
    there = np.maximum(total[end][None, :] - total[begin][:, None], 0.0)
    asked = needs[1:][None, :] - needs[:-1][:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        used = np.where(asked > 0.0, asked / there, 0.0)
    used[apart] = -np.inf
    return used


def _apart(low: Floats, high: Floats, need: Floats) -> NDArray[np.bool_]:
    """(p, p) whether windows i to j are no window: j < i, or a gap between two that need."""
    p = len(need)
    backward = np.tri(p, k=-1, dtype=bool)
    asking = np.flatnonzero(need > 0.0)
    gap = low[asking[1:]] > high[asking[:-1]] + _TINY
    if not gap.any():
        return backward
    gaps = np.zeros(p, np.intp)  # before each of the loads that ask
    gaps[asking[1:]] = gap
    gaps = np.cumsum(gaps)
    first = asking[np.minimum(np.searchsorted(asking, np.arange(p)), len(asking) - 1)]
    return np.asarray(backward | (gaps[None, :] > gaps[first][:, None]))


class ChordFlow:
    """The fasteners of one chord, ready to serve its loads in one scenario after another."""

    def __init__(
        self,
        judge: Judge,
        columns: FastenerColumns,
        index: NDArray[np.intp],
        zones: Sequence[Zone],
        alpha: float,
    ) -> None:
        """Sort the fasteners within reach of the loads.

        Those in the window of one load count together in their rows; where windows overlap a
        fastener counts for the least of them, so that one more load makes none count for more.

        Args:
            judge: the standard.
            columns: of all fasteners.
            index: those that carry.
            zones: of one chord, rising stations.
            alpha: angle of the force to the grain, rad.
        """
        self.judge, self.zones, self.alpha = judge, tuple(zones), alpha
        self.low, self.high = (
            np.array([getattr(z, name) for z in zones]) for name in ("low", "high")
        )
        mine = index[columns.member[index] == zones[0].chord]
        mine = mine[np.argsort(columns.station[mine], kind="stable")]
        near = nearest(self.zones, columns.station[mine])
        # of the whole chord, so that one more load makes none count otherwise
        self.classes, of_class = crossings(columns, mine)
        self.main = int(np.argmax(np.bincount(of_class, minlength=1)))
        self.rows, self.near, self.of_class = (v[near >= 0] for v in (mine, near, of_class))
        self.station, self.offset = columns.station[self.rows], columns.offset[self.rows]
        self.begin = np.searchsorted(self.station, self.low - _TINY, side="left")
        self.end = np.searchsorted(self.station, self.high + _TINY, side="right")
        self.groups: list[list[Group]] = [[] for _ in zones]
        self.weight = np.ones(len(self.rows))
        self.windows: list[tuple[int, Placed, Effective]] = []
        for i in np.unique(self.near).tolist():
            for c in np.unique(self.of_class[self.near == i]).tolist():
                at = (self.near == i) & (self.of_class == c)
                placed = Placed(self.station[at], self.offset[at])
                count = judge.standard.effective(self.classes[c], placed, alpha)
                self.groups[i].append(Group(self.classes[c], placed, count))
        for low, high in zip(self.low, self.high, strict=True):
            inside = (low - _TINY <= self.station) & (self.station <= high + _TINY)
            for c in np.unique(self.of_class[inside]).tolist():
                at = inside & (self.of_class == c)
                placed = Placed(self.station[at], self.offset[at])
                count = judge.standard.effective(self.classes[c], placed, alpha)
                part = count.number / len(placed)
                self.weight[at] = np.minimum(self.weight[at], part)
                self.windows.append((c, placed, count))
        self.boxed = judge.boxed(self.classes)
        self.boxed_near = [judge.boxed([g.crossing for g in own]) for own in self.groups]
        self._values: dict[int, Floats] = {}
        self._near: dict[tuple[int, int], dict[int, float]] = {}
        self._groups_at: dict[tuple[int, float, float], Group | None] = {}
        # where every fastener is worth the same to all loads the flow is the better way
        self.mixed = len(self.classes) > 1 or bool((self.weight < 1.0 - 1e-9).any())

    def scenario(self, asked: Sequence[Demand | None]) -> dict[tuple[int, int], Tight]:
        """What is tight when all loads of the chord act as given.

        Two ways of giving fasteners to loads are tried and the better one counts: the flow, and
        each fastener to the load that it stands nearest to, which is one more distribution and can
        be better where a fastener is worth more in the pattern of one load than of another. Where
        that is the better one, a load that the flow uses more is credited with what the hardest
        load gets by it, no more: so one more load lowers no utilisation, though the ways change.

        Args:
            asked: per zone, None where nothing hangs.

        Returns:
            By zone (0-based) and interface (1-based) that has something to pass.
        """
        flow = self._joint(asked) if self._alike() else self._apart(asked)
        most = max((t.used for t in flow.values()), default=0.0)
        if most > 0.0 and self.mixed:
            own = self._nearest(asked)
            least = max(t.used for t in own.values())
            if least < most * (1.0 - 1e-9):
                return {
                    at: replace(own[at], used=least, there=own[at].needed / least)
                    if t.used > least
                    else t
                    for at, t in flow.items()
                }
        return flow

    def group_at(self, c: int, low: float, high: float) -> Group | None:
        """The fasteners of a class between two stations, with how many count together."""
        key = (c, low, high)
        if key not in self._groups_at:
            self._groups_at[key] = self._group_at(*key)
        return self._groups_at[key]

    def _group_at(self, c: int, low: float, high: float) -> Group | None:
        at = (self.of_class == c) & (low - _TINY <= self.station) & (self.station <= high + _TINY)
        if not at.any():
            return None
        placed = Placed(self.station[at], self.offset[at])
        number = float(self.weight[at].sum())
        mine = [(p, e) for k, p, e in self.windows if k == c]
        step = next((e.step for p, e in mine if len(p) == len(placed) and e.number == number), "")
        return Group(self.classes[c], placed, Effective(number, step, mine[0][1].clause))

    def planes(self, c: int, demand: Demand) -> dict[int, Plane]:
        """What one fastener of a class is worth to a load, by interface."""
        return self.judge.planes(self.classes[c], self.alpha, demand, self.boxed)

    def values(self, demand: Demand) -> Floats:
        """(classes, n - 1) what one fastener is worth to a load at every interface, N."""
        case = self.judge.case(self.alpha, demand)
        if case not in self._values:
            table = np.zeros((len(self.classes), len(demand.shear)))
            for c in range(len(self.classes)):
                for k, plane in self.planes(c, demand).items():
                    table[c, k - 1] = plane.value
            self._values[case] = table
        return self._values[case]

    def _own(self, i: int, demand: Demand) -> dict[int, float]:
        """What the fasteners nearest to a load are worth to it together, by interface, N."""
        key = (i, self.judge.case(self.alpha, demand))
        if key not in self._near:
            boxed = self.boxed_near[i]
            found = dict.fromkeys(range(1, len(demand.shear) + 1), 0.0)
            for g in self.groups[i]:
                for k, p in self.judge.planes(g.crossing, self.alpha, demand, boxed).items():
                    found[k] += p.value * g.count.number
            self._near[key] = found
        return self._near[key]

    def _alike(self) -> bool:
        """True where every fastener crosses the same interfaces, and more than one."""
        return not self.boxed and any(len(self.judge.counted(c)) > 1 for c in self.classes)

    def _joint(self, asked: Sequence[Demand | None]) -> dict[tuple[int, int], Tight]:
        """Counted in fasteners of the main class; the others by their least worth beside it."""
        main = self.main
        worth = np.full(len(self.classes), np.inf)
        each: dict[tuple[int, int], float] = {}
        for i, k, S, demand in _passing(asked):
            own = self.values(demand)[:, k - 1]
            value = float(own[main])
            each[i, k] = S / value if value > 0 else np.inf
            if value > 0:
                worth = np.minimum(worth, own / value)
        worth[np.isinf(worth)] = 1.0
        supply = self.weight * worth[self.of_class]
        need = np.zeros(len(self.zones))
        for (i, _), fasteners in each.items():
            need[i] = max(need[i], fasteners)
        found: dict[tuple[int, int], Tight] = {}
        for k in {k for _, k in each}:
            single = np.array([each.get((i, k), 0.0) for i in range(len(self.zones))])
            found |= {(i, k): t for i, t in self._tight(single, supply, True) if (i, k) in each}
        # a fastener serves one load at all its interfaces, so the load's hardest one asks for it
        for i, t in self._tight(need, supply, True):
            found |= {
                (j, k): t for (j, k), n in each.items() if j == i and n >= need[i] * (1.0 - 1e-9)
            }
        return found

    def _apart(self, asked: Sequence[Demand | None]) -> dict[tuple[int, int], Tight]:
        """Each interface by itself, a fastener by its least worth to any of the loads."""
        found: dict[tuple[int, int], Tight] = {}
        passing = list(_passing(asked))
        for k in sorted({k for _, k, _, _ in passing}):
            mine = [(i, S, demand) for i, at, S, demand in passing if at == k]
            need = np.zeros(len(self.zones))
            for i, S, _ in mine:
                need[i] = S
            worth = np.min([self.values(demand)[:, k - 1] for _, _, demand in mine], axis=0)
            supply = self.weight * worth[self.of_class] if len(worth) else self.weight
            found |= {(i, k): t for i, t in self._tight(need, supply, False)}
        return found

    def _nearest(self, asked: Sequence[Demand | None]) -> dict[tuple[int, int], Tight]:
        """Each fastener to the load that it stands nearest to."""
        found: dict[tuple[int, int], Tight] = {}
        for i, k, S, demand in _passing(asked):
            zone, there = self.zones[i], self._own(i, demand)[k]
            used = S / there if there > 0 else np.inf
            found[i, k] = Tight(
                used, zone.start, zone.end, (zone.id,), S, there, S, there, False, True
            )
        return found

    def _tight(self, need: Floats, supply: Floats, counted: bool) -> list[tuple[int, Tight]]:
        needs, total = _summed(need), _summed(supply)
        apart = _apart(self.low, self.high, need)
        used = _usage(needs, total, self.begin, self.end, apart)
        begin, end = total[self.begin].tolist(), total[self.end].tolist()
        asked = [z.id if n > 0.0 else "" for z, n in zip(self.zones, need.tolist(), strict=True)]
        return [
            (i, Tight(
                float(used[a, b]), float(self.low[a]), float(self.high[b]),
                tuple(filter(None, asked[a : b + 1])),
                float(need[a : b + 1].sum()), end[b] - begin[a],
                float(need[i]), end[i] - begin[i], counted,
            ))
            for i, (a, b) in enumerate(_worst(used).tolist())
            if need[i] > 0.0
        ]  # fmt: skip


def _passing(asked: Sequence[Demand | None]) -> list[tuple[int, int, float, Demand]]:
    """Zone, interface (1-based), what must pass there (N) and the demand that says so."""
    return [
        (i, k, S, demand)
        for i, demand in enumerate(asked)
        if demand is not None
        for k, S in enumerate(demand.S, start=1)
        if NOTHING * abs(demand.P) < S
    ]
