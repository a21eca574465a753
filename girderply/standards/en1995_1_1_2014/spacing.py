"""Minimum spacings, end and edge distances: Table 8.2 (nails), Table 8.4 (bolts).

The angle `alpha` is between force and grain. Loaded distances (a_3_t, a_4_t) hold where the force
points to that end or edge, unloaded ones (a_3_c, a_4_c) where it points away: the caller knows
which, so any angle is taken by |cos| and |sin|, which is what the printed ranges come to.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from girderply.errors import RangeError
from girderply.standards import guards
from girderply.standards.tables import load, number


@dataclass(frozen=True, slots=True)
class Distances:
    """Least distances, mm.

    Attributes:
        a_1: between fasteners of one row, along the grain.
        a_2: between rows, across the grain.
        a_3_t, a_3_c: to a loaded and an unloaded end.
        a_4_t, a_4_c: to a loaded and an unloaded edge.
    """

    a_1: float
    a_2: float
    a_3_t: float
    a_3_c: float
    a_4_t: float
    a_4_c: float


@dataclass(frozen=True, slots=True)
class _Multiple:
    """One cell of a spacing table, as multiples of d."""

    c: float
    c_cos: float
    c_sin: float
    least_d: float = 0.0
    least: float = 0.0

    def distance(self, d: float, alpha: float) -> float:
        angle = self.c_cos * abs(math.cos(alpha)) + self.c_sin * abs(math.sin(alpha))
        return max((self.c + angle) * d, self.least_d * d, self.least)


@cache
def _nail_cells() -> dict[tuple[str, bool], tuple[tuple[float, float, _Multiple], ...]]:
    cells: dict[tuple[str, bool], tuple[tuple[float, float, _Multiple], ...]] = {}
    for row in load(__package__, "table_8_2").rows:
        key = (row["symbol"], row["predrilled"] == "yes")
        cell = _Multiple(float(row["c_d"]), float(row["c_cos_d"]), float(row["c_sin_d"]))
        limits = (number(row["rho_k_up_to_kg_m3"]), number(row["d_below_mm"]), cell)
        cells[key] = (*cells.get(key, ()), limits)
    return cells


@cache
def _bolt_cells() -> dict[str, _Multiple]:
    names = ("c_d", "c_cos_d", "c_sin_d", "least_d", "least_mm")
    rows = load(__package__, "table_8_4").rows
    return {row["symbol"]: _Multiple(*(float(row[n]) for n in names)) for row in rows}


def _nail(symbol: str, d: float, alpha: float, rho_k: float, predrilled: bool) -> float:
    guards.positive(d=d, rho_k=rho_k)
    guards.finite(alpha=alpha)
    for rho_up_to, d_below, cell in _nail_cells()[symbol, predrilled]:
        if rho_k <= rho_up_to and d < d_below:
            return cell.distance(d, alpha)
    raise RangeError(f"rho_k above 500 kg/m3 needs predrilling, not {rho_k!r} undrilled")


def _bolt(symbol: str, d: float, alpha: float) -> float:
    guards.positive(d=d)
    guards.finite(alpha=alpha)
    return _bolt_cells()[symbol].distance(d, alpha)


def a_1_nail(d: float, alpha: float, rho_k: float, *, predrilled: bool) -> float:
    """Least spacing of nails in a row, along the grain.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(5), Table 8.2]

    Args:
        d: nail diameter, mm.
        alpha: angle between force and grain, rad; the table's range is any.
        rho_k: characteristic density, kg/m3; up to 500 where not predrilled.
        predrilled: True where holes are drilled for the nails.

    Returns:
        a_1, mm.

    Raises:
        RangeError: an argument out of range, or dense timber not predrilled.
    """
    return _nail("a_1", d, alpha, rho_k, predrilled)


def a_2_nail(d: float, alpha: float, rho_k: float, *, predrilled: bool) -> float:
    """Least spacing of rows of nails, across the grain.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(5), Table 8.2]

    Args:
        d: nail diameter, mm.
        alpha: angle between force and grain, rad; the table's range is any.
        rho_k: characteristic density, kg/m3; up to 500 where not predrilled.
        predrilled: True where holes are drilled for the nails.

    Returns:
        a_2, mm.

    Raises:
        RangeError: an argument out of range, or dense timber not predrilled.
    """
    return _nail("a_2", d, alpha, rho_k, predrilled)


def a_3_t_nail(d: float, alpha: float, rho_k: float, *, predrilled: bool) -> float:
    """Least distance of nails to a loaded end.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(5), Table 8.2]

    Args:
        d: nail diameter, mm.
        alpha: angle between force and grain, rad; the table's range is -pi/2 to pi/2.
        rho_k: characteristic density, kg/m3; up to 500 where not predrilled.
        predrilled: True where holes are drilled for the nails.

    Returns:
        a_3_t, mm.

    Raises:
        RangeError: an argument out of range, or dense timber not predrilled.
    """
    return _nail("a_3_t", d, alpha, rho_k, predrilled)


def a_3_c_nail(d: float, alpha: float, rho_k: float, *, predrilled: bool) -> float:
    """Least distance of nails to an unloaded end.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(5), Table 8.2]

    Args:
        d: nail diameter, mm.
        alpha: angle between force and grain, rad; the table's range is pi/2 to 3 pi/2.
        rho_k: characteristic density, kg/m3; up to 500 where not predrilled.
        predrilled: True where holes are drilled for the nails.

    Returns:
        a_3_c, mm.

    Raises:
        RangeError: an argument out of range, or dense timber not predrilled.
    """
    return _nail("a_3_c", d, alpha, rho_k, predrilled)


def a_4_t_nail(d: float, alpha: float, rho_k: float, *, predrilled: bool) -> float:
    """Least distance of nails to a loaded edge.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(5), Table 8.2]

    Args:
        d: nail diameter, mm.
        alpha: angle between force and grain, rad; the table's range is 0 to pi.
        rho_k: characteristic density, kg/m3; up to 500 where not predrilled.
        predrilled: True where holes are drilled for the nails.

    Returns:
        a_4_t, mm.

    Raises:
        RangeError: an argument out of range, or dense timber not predrilled.
    """
    return _nail("a_4_t", d, alpha, rho_k, predrilled)


def a_4_c_nail(d: float, alpha: float, rho_k: float, *, predrilled: bool) -> float:
    """Least distance of nails to an unloaded edge.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(5), Table 8.2]

    Args:
        d: nail diameter, mm.
        alpha: angle between force and grain, rad; the table's range is pi to 2 pi.
        rho_k: characteristic density, kg/m3; up to 500 where not predrilled.
        predrilled: True where holes are drilled for the nails.

    Returns:
        a_4_c, mm.

    Raises:
        RangeError: an argument out of range, or dense timber not predrilled.
    """
    return _nail("a_4_c", d, alpha, rho_k, predrilled)


def a_1_bolt(d: float, alpha: float) -> float:
    """Least spacing of bolts in a row, along the grain.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(3), Table 8.4]

    Args:
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad; the table's range is any.

    Returns:
        a_1, mm.

    Raises:
        RangeError: an argument out of range.
    """
    return _bolt("a_1", d, alpha)


def a_2_bolt(d: float, alpha: float) -> float:
    """Least spacing of rows of bolts, across the grain.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(3), Table 8.4]

    Args:
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad; the table's range is any.

    Returns:
        a_2, mm.

    Raises:
        RangeError: an argument out of range.
    """
    return _bolt("a_2", d, alpha)


def a_3_t_bolt(d: float, alpha: float) -> float:
    """Least distance of bolts to a loaded end.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(3), Table 8.4]

    Args:
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad; the table's range is -pi/2 to pi/2.

    Returns:
        a_3_t, mm.

    Raises:
        RangeError: an argument out of range.
    """
    return _bolt("a_3_t", d, alpha)


def a_3_c_bolt(d: float, alpha: float) -> float:
    """Least distance of bolts to an unloaded end.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(3), Table 8.4]

    Args:
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad; the table's range is pi/2 to 3 pi/2.

    Returns:
        a_3_c, mm.

    Raises:
        RangeError: an argument out of range.
    """
    return _bolt("a_3_c", d, alpha)


def a_4_t_bolt(d: float, alpha: float) -> float:
    """Least distance of bolts to a loaded edge.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(3), Table 8.4]

    Args:
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad; the table's range is 0 to pi.

    Returns:
        a_4_t, mm.

    Raises:
        RangeError: an argument out of range.
    """
    return _bolt("a_4_t", d, alpha)


def a_4_c_bolt(d: float, alpha: float) -> float:
    """Least distance of bolts to an unloaded edge.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(3), Table 8.4]

    Args:
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad; the table's range is pi to 2 pi.

    Returns:
        a_4_c, mm.

    Raises:
        RangeError: an argument out of range.
    """
    return _bolt("a_4_c", d, alpha)


def nail_distances(d: float, alpha: float, rho_k: float, *, predrilled: bool) -> Distances:
    """All six least distances of nails.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(5), Table 8.2]

    Args:
        d: nail diameter, mm.
        alpha: angle between force and grain, rad.
        rho_k: characteristic density, kg/m3; up to 500 where not predrilled.
        predrilled: True where holes are drilled for the nails.

    Returns:
        The six distances, mm.

    Raises:
        RangeError: an argument out of range, or dense timber not predrilled.
    """
    return Distances(*(f(d, alpha, rho_k, predrilled=predrilled) for f in _NAIL))


def bolt_distances(d: float, alpha: float) -> Distances:
    """All six least distances of bolts.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(3), Table 8.4]

    Args:
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad.

    Returns:
        The six distances, mm.

    Raises:
        RangeError: an argument out of range.
    """
    return Distances(*(f(d, alpha) for f in _BOLT))


_NAIL: tuple[Callable[..., float], ...] = (
    a_1_nail,
    a_2_nail,
    a_3_t_nail,
    a_3_c_nail,
    a_4_t_nail,
    a_4_c_nail,
)
_BOLT = (a_1_bolt, a_2_bolt, a_3_t_bolt, a_3_c_bolt, a_4_t_bolt, a_4_c_bolt)
