"""Every collapse mechanism of a fastener in a stack, each with the standard's own factor on it.

The standards do not take the bare plastic limit: EN 1995-1-1 multiplies modes with one hinge by
1.05 and with two by 1.15, NDS divides each yield mode by its reduction term, and the least of the
factored modes counts. The same is done here for the stack: a mechanism is a pair of bounds of
`stack` that contradict each other (an upper one at one face of a ply, a lower one at the same or
another), or a ply that is crushed. Each pair has its own limit, where its room, which is concave
in the multiplier, runs out; the least of the limits times their factors is the answer. For two
plies these are the six modes of the tables, so the answer is the table's value exactly.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, combinations

from girderply.bases.dowel.stack import (
    Mechanism,
    Stack,
    StackLimit,
    crushing,
    ends,
    mechanism_of,
    node_bounds,
    ply_terms,
)

_STEPS = 60
_TOLERANCE = 1e-14


@dataclass(frozen=True, slots=True)
class Factors:
    """What a standard puts on a mechanism by its kind, no unit; all positive.

    Attributes:
        crushed: a ply crushed over its whole thickness.
        straight: the fastener turns without a hinge. one, two: with so many hinges.
    """

    crushed: float
    straight: float
    one: float
    two: float

    def of(self, hinges: int) -> float:
        """The factor of a mechanism in which the fastener turns, by its hinges."""
        return (self.straight, self.one, self.two)[hinges]

    def on(self, mechanism: Mechanism) -> float:
        """The factor on a mechanism."""
        return self.crushed if mechanism.crushed else self.of(len(mechanism.hinges))

    def credited(self, most: float) -> Factors:
        """Factors above 1 are a credit over the plastic limit: no more of it than `most`."""
        most = max(most, 1.0)
        each = (self.crushed, self.straight, self.one, self.two)
        return Factors(*(min(f, most) for f in each))


BARE = Factors(1.0, 1.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class _Room:
    """Room between an upper and a lower bound: size and slope at a multiplier."""

    size: float
    slope: float


@lru_cache(maxsize=65536)
def factored_limit(stack: Stack, pattern: tuple[float, ...], factors: Factors) -> StackLimit:
    """Least factored multiplier over all mechanisms of a fastener in a stack.

    Args:
        stack: the fastener in its plies.
        pattern: (n-1,) shears at the interfaces from head to point, any unit, not all zero.
        factors: of the standard; `BARE` gives what `stack.limit` gives.

    Returns:
        The factored multiplier (N per unit of the pattern), shears in N, mechanism.

    Raises:
        RangeError: pattern of the wrong length, not finite, or zero everywhere.
    """
    s = ends(stack, pattern)
    crush, ply = crushing(stack, s)
    best = factors.crushed * crush
    mechanism = mechanism_of(stack, s, crush, ply)
    rooms = _Rooms(stack, s)
    for upper, lower in rooms.pairs():
        factor = factors.of(rooms.hinges(upper, lower))
        start = min(best / factor, crush)
        if rooms.at(upper, lower, start).size < 0:
            bare = rooms.root(upper, lower, start)
            best = factor * bare
            mechanism = mechanism_of(stack, s, bare, (upper, lower))
    return StackLimit(best, tuple(best * v for v in pattern), mechanism)


def factored_box(stack: Stack, pattern: tuple[float, ...], factors: Factors) -> StackLimit:
    """Largest multiplier for which every interface may carry anything up to its share, at will.

    Where fasteners of different lengths share the interfaces, the plies may load one interface of a
    fastener and not the next. The set of shears a fastener can carry is convex, so the whole box
    from zero to the pattern is safe when its corners are: the pattern with any interfaces unloaded.

    Args and Returns as for `factored_limit`; never more than that gives.
    """
    loaded = [k for k, v in enumerate(pattern) if v]
    corners = (
        tuple(v if k in keep else 0.0 for k, v in enumerate(pattern))
        for size in range(1, len(loaded) + 1)
        for keep in combinations(loaded, size)
    )
    limits = (factored_limit(stack, corner, factors) for corner in corners)
    worst = min(limits, key=lambda found: found.multiplier)
    lam = worst.multiplier
    return StackLimit(lam, tuple(lam * v for v in pattern), worst.mechanism)


class _Rooms:
    """Rooms of all pairs of bounds of one stack and pattern; nodes are the faces of its plies."""

    def __init__(self, stack: Stack, s: tuple[float, ...]) -> None:
        self._M_y = stack.M_y
        self._plies = ply_terms(stack, s)
        self._n = stack.plies
        sums = (
            accumulate(term, initial=0.0)
            for term in zip(*(p[:3] for p in self._plies), strict=True)
        )
        self._mid, self._most, self._spread = (list(column) for column in sums)

    def pairs(self) -> Iterator[tuple[int, int]]:
        """(node of the upper bound, node of the lower bound), every pair that can contradict."""
        for upper in range(self._n + 1):
            for lower in range(self._n + 1):
                if upper != lower or 0 < upper < self._n:
                    yield upper, lower

    def hinges(self, upper: int, lower: int) -> int:
        """How many of the two nodes are hinges; the others are free ends."""
        return (0 < upper < self._n) + (0 < lower < self._n)

    def at(self, upper: int, lower: int, lam: float) -> _Room:
        """Room of a pair at a multiplier."""
        up, dup, _, _ = node_bounds(self._plies, self._M_y, lam, upper)
        _, _, down, ddown = node_bounds(self._plies, self._M_y, lam, lower)
        first, last = min(upper, lower), max(upper, lower)
        mid = self._mid[last] - self._mid[first]
        spread = self._spread[last] - self._spread[first]
        sign = 1.0 if upper < lower else -1.0
        size = up - down + sign * lam * mid + self._most[last] - self._most[first]
        return _Room(size - lam * lam * spread, dup - ddown + sign * mid - 2 * lam * spread)

    def root(self, upper: int, lower: int, start: float) -> float:
        """Multiplier at which the room of a pair runs out, from a start beyond it."""
        lam = start
        for _ in range(_STEPS):
            room = self.at(upper, lower, lam)
            step = room.size / room.slope
            if room.size >= 0 or step <= _TOLERANCE * lam:
                break
            lam -= step
        return lam
