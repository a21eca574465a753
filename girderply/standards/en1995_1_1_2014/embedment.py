"""Embedment strength of timber under nails and bolts."""

from __future__ import annotations

import math

from girderply.standards import guards

WOODS = ("softwood", "hardwood", "LVL")
_K_90 = {"softwood": 1.35, "LVL": 1.30, "hardwood": 0.90}


def f_h_k_nail(d: float, rho_k: float, *, predrilled: bool) -> float:
    """Characteristic embedment strength under a nail, in any direction to the grain.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(5), Eq. (8.15), (8.16)]

    Args:
        d: nail diameter, mm; up to 8 (a thicker nail is a bolt: `f_h_alpha_k`).
        rho_k: characteristic density, kg/m3.
        predrilled: True where a hole is drilled for the nail.

    Returns:
        f_h_k, N/mm2.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, rho_k=rho_k)
    guards.within(0.0, 8.0, d=d)
    if predrilled:
        return 0.082 * (1 - 0.01 * d) * rho_k
    return float(0.082 * rho_k * d**-0.3)


def f_h_0_k(d: float, rho_k: float) -> float:
    """Characteristic embedment strength along the grain under a bolt or a nail over 8 mm.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(2), Eq. (8.32)]

    Args:
        d: bolt diameter, mm; up to 30.
        rho_k: characteristic density, kg/m3.

    Returns:
        f_h_0_k, N/mm2.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, rho_k=rho_k)
    guards.within(0.0, 30.0, d=d)
    return 0.082 * (1 - 0.01 * d) * rho_k


def k_90(d: float, wood: str = "softwood") -> float:
    """How much weaker embedment is across the grain than along it.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(2), Eq. (8.33)]

    Args:
        d: bolt diameter, mm; up to 30.
        wood: one of "softwood", "hardwood", "LVL".

    Returns:
        k_90, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    guards.within(0.0, 30.0, d=d)
    guards.choice(WOODS, wood=wood)
    return _K_90[wood] + 0.015 * d


def f_h_alpha_k(d: float, rho_k: float, alpha: float, wood: str = "softwood") -> float:
    """Characteristic embedment strength under a bolt at an angle to the grain.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(2), Eq. (8.31)]

    Args:
        d: bolt diameter, mm; up to 30.
        rho_k: characteristic density, kg/m3.
        alpha: angle between force and grain, rad.
        wood: one of "softwood", "hardwood", "LVL".

    Returns:
        f_h_alpha_k, N/mm2.

    Raises:
        RangeError: an argument out of range.
    """
    guards.finite(alpha=alpha)
    sin, cos = math.sin(alpha), math.cos(alpha)
    return f_h_0_k(d, rho_k) / (k_90(d, wood) * sin**2 + cos**2)


def f_h_k(d: float, rho_k: float, alpha: float, *, bolt: bool, predrilled: bool) -> float:
    """Characteristic embedment strength by the rule that the fastener's kind and size ask for.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(5), (6), 8.5.1.1(2)]

    Args:
        d: diameter, mm; up to 30.
        rho_k: characteristic density, kg/m3.
        alpha: angle between force and grain, rad; matters to bolts and nails over 8 mm.
        bolt: True for a bolt, False for a nail.
        predrilled: True where a hole is drilled; a bolt always is.

    Returns:
        f_h_k, N/mm2.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    if bolt or d > 8.0:
        return f_h_alpha_k(d, rho_k, alpha)
    guards.finite(alpha=alpha)
    return f_h_k_nail(d, rho_k, predrilled=predrilled)
