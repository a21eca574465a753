"""One fastener at one interface by plain formulas: Johansen, rope, stack. N, mm, rad; plies alike.

EN 1995-1-1:2004+A2:2014, 8.2.2, 8.3, 8.5, 8.7; NDS 2018, chapter 12.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, pairwise
from math import cos, pi, sin, sqrt
from typing import Any

Plain = dict[str, Any]
Floats = tuple[float, ...]
INCH, PSI, POUND = 25.4, 0.00689475729317, 4.4482216152605


@dataclass(frozen=True, slots=True)
class Dowel:
    """Bearing per length `p` (N/mm), plastic moment `M_y` (Nmm), what may be added for the rope.

    `factors` stand on crushing, on turning, on one hinge and on two; `rope` is the most, N, and
    the share of the Johansen part that it may reach.
    """

    p: float
    M_y: float
    factors: tuple[float, float, float, float]
    rope: tuple[float, float] = (0.0, 0.0)

    def single(self, a: float, b: float, *, rope: bool = True) -> float:
        """Two plies, N: EN 1995-1-1, Eq. (8.6) with beta = 1; NDS, Table 12.3.1A."""
        most, share = self.rope if rope else (0.0, 0.0)
        crushed, *bent = (value for value, _ in self.modes(a, b))
        return min(crushed, *(v + min(most, share * v) for v in bent))

    def credited(self, a: float, b: float) -> Dowel:
        """The same with no factor above 1 that is larger than that of the mode of two plies."""
        most = max(1.0, min(self.modes(a, b))[1])
        crush, turn, one, two = (min(f, most) for f in self.factors)
        return replace(self, factors=(crush, turn, one, two))

    def modes(self, a: float, b: float) -> tuple[tuple[float, float], ...]:
        """Crushing, then every mode in which it bends or turns: N, and the factor on it."""
        p, M, r = self.p, self.M_y, b / a
        crush, turn, one, two = self.factors
        return (
            (crush * p * min(a, b), crush),
            (turn * p * a / 2 * (sqrt(1 + 2 * (1 + r + r * r) + r * r) - 1 - r), turn),
            (one * p * a / 3 * (sqrt(4 + 12 * M / (p * a * a)) - 1), one),
            (one * p * b / 3 * (sqrt(4 + 12 * M / (p * b * b)) - 1), one),
            (two * sqrt(2 * M * p), two))  # fmt: skip


@lru_cache(maxsize=4096)
def stack_limit(dowel: Dowel, plies: Floats, shears: Floats, boxed: bool) -> float:
    """How often these shears, one per interface, fit into a dowel through these plies.

    `boxed`: also with any of the interfaces left unloaded.
    """
    loaded = [k for k, s in enumerate(shears) if s]
    sizes = range(1, len(loaded) + 1) if boxed else [len(loaded)]
    return min(
        _limit(dowel, plies, tuple(s if k in keep else 0.0 for k, s in enumerate(shears)))
        for size in sizes for keep in combinations(loaded, size))  # fmt: skip


def _limit(dowel: Dowel, plies: Floats, shears: Floats) -> float:
    """Least of the mechanisms, each with its factor.

    The moment of a rigid-plastic dowel lies between bounds that grow from its free ends and that a
    hinge cuts off; it holds while they do not cross. Cutting none, one or both of them gives the
    mechanisms with none, one and two hinges.
    """
    crush, turn, one, two = dowel.factors
    at = (0.0, *shears, 0.0)
    steps = [abs(b - a) for a, b in pairwise(at)]
    most = min(dowel.p * t / step for t, step in zip(plies, steps, strict=True) if step)
    found = [crush * most]
    for factor, cut in ((turn, (False, False)), (one, (True, False)), (one, (False, True)),
                        (two, (True, True))):  # fmt: skip
        low, high = 0.0, most
        for _ in range(48):
            middle = (low + high) / 2
            holds = _holds(dowel, plies, tuple(middle * v for v in at), cut)
            low, high = (middle, high) if holds else (low, middle)
        found.append(factor * high)
    return min(found)


def _holds(dowel: Dowel, plies: Floats, at: Floats, cut: tuple[bool, bool]) -> bool:
    p, low, high = dowel.p, 0.0, 0.0
    for i, t in enumerate(plies):
        V, W = at[i], at[i + 1]
        up = (t + (W - V) / p) / 2  # the length over which the timber pushes one way
        down = t - up
        high += (V + p * up / 2) * up + (V + p * up + W) / 2 * down
        low += (V - p * down / 2) * down + (V - p * down + W) / 2 * up
        if i + 1 < len(plies):
            cap = dowel.M_y - W * W / (2 * p)  # it bends on by so much before the shear turns
            high, low = min(high, cap) if cut[0] else high, max(low, -cap) if cut[1] else low
            if low > high:
                return False
    return low <= 0.0 <= high


def ec5(kind: Plain, timber: Plain, place: tuple[float, bool, float], lasting: bool) -> Dowel:
    """A fastener by EN 1995-1-1; `place`: angle to the grain, drilled, depth of the point (mm)."""
    alpha, drilled, point = place
    d, rho = kind["d"], timber["rho_k"]
    first = 0.45 if kind.get("surface") == "square" else 0.3
    M_y = kind.get("M_y") or first * kind["fu"] * d**2.6
    if kind["kind"] == "screw":
        thick = kind["d_shank"] >= d and point - kind["thread"] >= 4 * d
        d = d if thick else min(1.1 * kind["d_root"], d)
    thick = kind["kind"] == "bolt" or (kind["kind"] == "screw" and d > 6.0)
    f_h = 0.082 * (1 - 0.01 * d) * rho if drilled or thick else 0.082 * rho * d**-0.3
    if thick:
        f_h /= (1.35 + 0.015 * d) * sin(alpha) ** 2 + cos(alpha) ** 2
    return Dowel(f_h * d, M_y, (1.0, 1.0, 1.05, 1.15), _rope(kind, timber, point, lasting))


def _rope(kind: Plain, timber: Plain, point: float, lasting: bool) -> tuple[float, float]:
    """A quarter of the pull-out resistance, N, and the share that it may reach (8.2.2(2))."""
    d, rho = kind["d"], timber["rho_k"]
    if kind["kind"] == "bolt":
        washer, f_c_90 = kind["washer"], timber["f_c_90_k"] or 0.0
        side, hole = washer["outer"], max(washer["hole"], kind["hole"])
        area = side**2 * (1.0 if washer["shape"] == "square" else pi / 4) - pi / 4 * hole**2
        steel = 0.9 * kind["fu"] * pi / 4 * (d - 0.9382 * kind["pitch"]) ** 2
        return min(steel, 3 * f_c_90 * area) / 4, 0.25
    if kind["kind"] == "screw":
        thread, dense = min(kind["thread"], point), (rho / kind["rho_a"]) ** 0.8
        out, head = kind["f_ax"] * d * thread * dense, kind["f_head"] * kind["head"] ** 2 * dense
        return (min(out, head, kind["tension"]) / 4 if thread >= 6 * d - 1e-6 else 0.0), 1.0
    if kind["surface"] == "other" or lasting:
        return 0.0, 0.5
    out = min(max(point / (4 * d) - 2, 0.0), 1.0) * d * point
    head = d * kind["ply"] + 3.5 * kind["head"] ** 2
    return 20e-6 * rho**2 * min(out, head) / 4, 0.25 if kind["surface"] == "square" else 0.15


def nds(kind: Plain, timber: Plain, theta: float) -> Dowel:
    """A fastener by NDS 2018, 12.3: bearing to 50 psi, M = F_yb D^3 / 6, divided by R_d."""
    D, G = kind["d"] / INCH, timber["G"]
    small = D < 0.25
    base = (16600 * G**1.84,) if small else (11200 * G, 6100 * G**1.45 / sqrt(D))
    along, across = (int(v / 50 + 0.5) * 50.0 for v in (base[0], base[-1]))
    F_e = along * across / (along * sin(theta) ** 2 + across * cos(theta) ** 2)
    bolt = kind["kind"] == "bolt"
    F_yb = min(45000.0, (kind["fy"] + kind["fu"]) / 2 / PSI) if bolt else kind["f_yb"] / PSI
    thin, angle = 2.2 if D <= 0.17 else 10 * D + 0.5, 1 + 0.25 * theta / (pi / 2)
    crush, turn, one, two = (1 / (thin if small else r * angle) for r in (4.0, 3.6, 3.2, 3.2))
    return Dowel(F_e * D * POUND / INCH, F_yb * D**3 / 6 * POUND * INCH, (crush, turn, one, two))
