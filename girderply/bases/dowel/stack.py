"""Plastic limit analysis of one dowel-type fastener through a stack of plies.

The dowel is a rigid-plastic beam with plastic moment `M_y`; ply i (thickness t_i) bears on it with
any p(x), |p| <= q_i = f_h,i d. Equilibrium: V' = p, M' = V, with V = M = 0 at both free ends and,
at interface k, V = lambda s_k, where s is the given pattern of interface shears. By the static
theorem the limit is the largest lambda for which some p keeps |M| <= M_y everywhere.

**Exact solution.** Let a ply run from shear V0 to V1 over t, S = V0 + V1, D = V1 - V0, and let
M0, M1 be the moments at its two faces.

1. |D| <= q t, or no p exists. All V(x) then lie between the least and the greatest q-Lipschitz
   curves through both ends, so M1 - M0 lies in [S t/2 - w, S t/2 + w], w = (q^2 t^2 - D^2)/(4 q).
2. If V0 > 0 then V(x) >= V0 - q x, so M rises by at least H(V0) before it can turn, with
   H(V) = V^2/(2q) for V <= q t and V t - q t^2/2 beyond: M0 + H(V0) <= M_y. Likewise, with
   V0 < 0, M0 - H(-V0) >= -M_y; read from the far end, M1 - H(V1) >= -M_y for V1 > 0 and
   M1 + H(-V1) <= M_y for V1 < 0.
3. These are sufficient too. Clip the greatest and least curves of 1. at a level c; the area under
   the clipped curve grows steadily with c from one bound of 1. to the other, so some c gives the
   wanted M1 - M0. That curve runs from V0 to c at slope +-q, stays, and runs to V1 at slope +-q:
   M has an extreme inside the ply only where it crosses zero, which is one of the values
   bounded in 2., or where it stays at zero, which is the same value.

So lambda is possible exactly when moments M_1 .. M_(n-1) at the interfaces exist with bounds on
each and on each difference of neighbours. Carrying the interval of reachable moments from the head
to the point decides that. Every upper bound is concave in lambda and every lower one convex, and
all hold with room at lambda = 0; so Newton's step on a violated pair "upper bound < lower bound",
taken from the crushing limit of 1. downwards, never passes the answer and ends on it. The pair
that is violated last is the collapse mechanism: hinges or free ends at its two ends, and between
them a straight piece of dowel that turns. For two plies the pairs are the six Johansen modes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import isfinite

from girderply.errors import RangeError
from girderply.units.exact import MM_PER_IN
from girderply.wording import Said, Words, numeral, said
from girderply.wording.words import all_of

_TOLERANCE = 1e-14  # relative; Newton's last step is far below its square root
_STEPS = 100


@dataclass(frozen=True, slots=True)
class Stack:
    """One fastener in its plies, from head to point.

    Attributes:
        t: length of fastener bearing in each ply, mm; the last may be only the point's depth.
        q: plastic bearing per length of fastener in each ply, f_h d, N/mm.
        M_y: plastic moment of the fastener, N mm.

    Raises:
        RangeError: fewer than two plies, or a value that is not finite and positive.
    """

    t: tuple[float, ...]
    q: tuple[float, ...]
    M_y: float

    def __post_init__(self) -> None:
        if len(self.t) < 2 or len(self.t) != len(self.q):
            raise RangeError(f"a stack needs two plies or more, got t={self.t}, q={self.q}")
        for value in (*self.t, *self.q, self.M_y):
            if not (isfinite(value) and value > 0):
                raise RangeError(f"t, q and M_y must be finite and positive, got {value}")

    @property
    def plies(self) -> int:
        """Number of plies the fastener bears in."""
        return len(self.t)

    def pair(self, interface: int) -> Stack:
        """The two plies at one interface (1-based) alone, as the standards' tables see them."""
        k = interface - 1
        return Stack(self.t[k : k + 2], self.q[k : k + 2], self.M_y)


@dataclass(frozen=True, slots=True)
class Hinge:
    """A plastic hinge: ply (1-based) and distance from that ply's head-side face, mm."""

    ply: int
    depth: float


@dataclass(frozen=True, slots=True)
class Mechanism:
    """How the fastener gives way.

    Attributes:
        crushed: ply that bears over its whole thickness without turning the dowel, or 0.
        first, last: plies in which the moving piece of dowel turns.
        hinges: none, one or two.
        letter: Johansen mode (a) to (f) of EN 1995-1-1, Figure 8.2, for two plies, else empty.
    """

    crushed: int
    first: int
    last: int
    hinges: tuple[Hinge, ...]
    letter: str = ""

    @property
    def text(self) -> Said:
        """The mechanism in words, mm."""
        return self.words(False)

    def words(self, inches: bool) -> Said:
        """The mechanism in words, lengths in mm or in inches."""
        unit, size, decimals = ("in", MM_PER_IN, 2) if inches else ("mm", 1.0, 1)
        spots = all_of(
            [
                said(
                    "check.hinge", depth=numeral(h.depth / size, f".{decimals}f"), unit=unit,
                    ply=h.ply,
                )
                for h in self.hinges
            ]
        )  # fmt: skip
        what = self._words(spots)
        return said("check.in_mode", mode=self.letter, what=what) if self.letter else what

    def _words(self, spots: Words) -> Said:
        if self.crushed:
            return said("check.crushed", ply=self.crushed)
        if len(self.hinges) == 2:
            return said("check.two_hinges", spots=spots)
        turning = {"n": self.last - self.first + 1, "first": self.first, "last": self.last}
        if self.hinges:
            return said("check.one_hinge", spots=spots, **turning)
        return said("check.no_hinge", **turning)


@dataclass(frozen=True, slots=True)
class StackLimit:
    """Largest multiplier of a pattern, the interface shears it gives (N) and the mechanism."""

    multiplier: float
    shears: tuple[float, ...]
    mechanism: Mechanism


@lru_cache(maxsize=65536)
def limit(stack: Stack, pattern: tuple[float, ...]) -> StackLimit:
    """Largest multiplier of a pattern of interface shears that the fastener can carry.

    [Static theorem of plastic limit analysis; see the module's text for the proof.] No rope effect
    and none of the factors that a standard puts on single modes.

    Args:
        stack: the fastener in its plies.
        pattern: (n-1,) shears at the interfaces from head to point, any unit, not all zero.

    Returns:
        The multiplier (N per unit of the pattern), shears in N, mechanism.

    Raises:
        RangeError: pattern of the wrong length, not finite, or zero everywhere.
    """
    s = ends(stack, pattern)
    lam, crushed = crushing(stack, s)
    plies = ply_terms(stack, s)
    pair: _Pair | None = None
    for _ in range(_STEPS):
        found = _violated(plies, stack.M_y, lam)
        if found is None:
            break
        pair = found
        lam -= pair.step
        if pair.step <= _TOLERANCE * lam:
            break
    mechanism = mechanism_of(stack, s, lam, (pair.upper, pair.lower) if pair else crushed)
    return StackLimit(lam, tuple(lam * v for v in pattern), mechanism)


@dataclass(frozen=True, slots=True)
class _Pair:
    """An upper and a lower bound that contradict each other: which nodes, and Newton's step.

    Nodes are the faces of the plies, 0 at the head to n at the point. `upper` is the node whose
    upper bound is carried, `lower` the one whose lower bound it undercuts.
    """

    step: float
    upper: int
    lower: int


def crushing(stack: Stack, s: tuple[float, ...]) -> tuple[float, int]:
    """Multiplier at which a ply is crushed over its whole thickness, and which ply (1-based).

    Args:
        stack: the fastener in its plies.
        s: shears at all faces, as `ends` gives them.
    """
    crush = [
        q * t / abs(b - a) if a != b else float("inf")
        for q, t, a, b in zip(stack.q, stack.t, s[:-1], s[1:], strict=True)
    ]
    least = min(crush)
    return least, crush.index(least) + 1


def ends(stack: Stack, pattern: tuple[float, ...]) -> tuple[float, ...]:
    """The pattern with the free ends added, checked."""
    if len(pattern) != stack.plies - 1:
        raise RangeError(f"{stack.plies} plies have {stack.plies - 1} interfaces, got {pattern}")
    if not all(isfinite(v) for v in pattern) or not any(pattern):
        raise RangeError(f"a pattern must be finite and not zero everywhere, got {pattern}")
    return (0.0, *pattern, 0.0)


def _turn(v: float, q: float, t: float) -> tuple[float, float]:
    """H(v) of the module's text and its derivative: moment gained before the shear can turn."""
    if v <= q * t:
        return v * v / (2 * q), v / q
    return v * t - q * t * t / 2, t


# Per ply: S t/2, q t^2/4 and D^2/(4 q) for a multiplier of 1; size of the shear at its far face
# (0 at the point), and (q, t) of the plies whose H bounds the moment there from above and below.
_Ply = tuple[float, float, float, float, tuple[float, float], tuple[float, float]]


def ply_terms(stack: Stack, s: tuple[float, ...]) -> list[_Ply]:
    """What the carrying of the moments needs of every ply."""
    made: list[_Ply] = []
    here = list(zip(stack.q, stack.t, strict=True))
    for i, (q, t) in enumerate(here):
        ahead = here[i + 1] if i + 1 < len(here) else here[i]
        above, below = (ahead, (q, t)) if s[i + 1] > 0 else ((q, t), ahead)
        spread = (s[i + 1] - s[i]) ** 2 / (4 * q)
        made.append(((s[i] + s[i + 1]) * t / 2, q * t * t / 4, spread, abs(s[i + 1]), above, below))
    return made


_FREE = (0.0, 0.0, 0.0, 0.0)


def _bounds(
    size: float,
    above: tuple[float, float],
    below: tuple[float, float],
    M_y: float,
    lam: float,
) -> tuple[float, float, float, float]:
    """Upper bound of the moment at an interface, its slope, lower bound, its slope."""
    up, dup = _turn(lam * size, *above)
    down, ddown = _turn(lam * size, *below)
    return M_y - up, -dup * size, down - M_y, ddown * size


def node_bounds(
    plies: list[_Ply], M_y: float, lam: float, node: int
) -> tuple[float, float, float, float]:
    """Bounds of the moment at any face of the plies; zero at the free ends."""
    if node in (0, len(plies)):
        return _FREE
    return _bounds(*plies[node - 1][3:], M_y, lam)


def _violated(plies: list[_Ply], M_y: float, lam: float) -> _Pair | None:
    """Carry the moments' bounds from head to point; the worst contradiction, or None."""
    found, largest = None, 0.0
    high = low = dhigh = dlow = 0.0
    from_high = from_low = 0
    end = len(plies)
    for node, (mid, most, spread, size, above, below) in enumerate(plies, start=1):
        w = max(most - lam * lam * spread, 0.0)  # round-off at the crushing limit
        dw = 2 * lam * spread
        high += lam * mid + w
        low += lam * mid - w
        dhigh += mid - dw
        dlow += mid + dw
        up, dup, down, ddown = _bounds(size, above, below, M_y, lam) if node < end else _FREE
        if up < high:
            high, dhigh, from_high = up, dup, node
        if down > low:
            low, dlow, from_low = down, ddown, node
        if high < low:
            step = (high - low) / (dhigh - dlow)
            if step > largest:
                found, largest = (from_high, from_low), step
    return _Pair(largest, *found) if found else None


def mechanism_of(
    stack: Stack, s: tuple[float, ...], lam: float, cause: tuple[int, int] | int
) -> Mechanism:
    """Read hinges and turning plies off what gives way.

    Args:
        stack: the fastener in its plies.
        s: shears at all faces, as `ends` gives them.
        lam: bare multiplier at which it gives way.
        cause: (node of the upper bound, node of the lower bound), or the ply that is crushed.
    """
    n = stack.plies
    if isinstance(cause, int):
        return Mechanism(cause, cause, cause, (), "ab"[cause - 1] if n == 2 else "")
    hinges = []
    for node, is_upper in zip(cause, (True, False), strict=True):
        if 0 < node < n:
            ahead = (s[node] > 0) == is_upper
            ply = node if ahead else node - 1
            reach = min(lam * abs(s[node]) / stack.q[ply], stack.t[ply])
            hinges.append(Hinge(ply + 1, reach if ahead else stack.t[ply] - reach))
    hinges.sort(key=lambda h: (h.ply, h.depth))
    start, end = sorted(cause)
    letter = {(0, 2): "c", (0, 1): "d", (1, 2): "e", (1, 1): "f"}[start, end] if n == 2 else ""
    return Mechanism(0, start + 1, max(end, start + 1), tuple(hinges), letter)
