"""Nails, bolts and washers pulled along their axis, and how much the rope effect may use."""

from __future__ import annotations

import math

from girderply.standards import guards
from girderply.standards.tables import load

SHAPES = ("round", "square")


def rope_limit(fastener: str) -> float:
    """Greatest rope effect, as a share of the Johansen part.

    [EN 1995-1-1:2004+A2:2014, 8.2.2(2)]

    Args:
        fastener: one of "round nail", "square nail", "other nail", "screw", "bolt", "dowel".

    Returns:
        Share, no unit.

    Raises:
        RangeError: a fastener that the clause does not name.
    """
    return float(load(__package__, "rope_limits").row(fastener=fastener)["share"])


def f_ax_k_smooth(rho_k: float) -> float:
    """Characteristic withdrawal strength at the point of a smooth nail, at least 12 d deep.

    [EN 1995-1-1:2004+A2:2014, 8.3.2(6), Eq. (8.25)]

    Args:
        rho_k: characteristic density, kg/m3.

    Returns:
        f_ax_k, N/mm2 (of d times depth).

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(rho_k=rho_k)
    return 20e-6 * rho_k**2


def f_head_k_smooth(rho_k: float) -> float:
    """Characteristic strength against a smooth nail's head being pulled through.

    [EN 1995-1-1:2004+A2:2014, 8.3.2(6), Eq. (8.26)]

    Args:
        rho_k: characteristic density, kg/m3.

    Returns:
        f_head_k, N/mm2 (of head diameter squared).

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(rho_k=rho_k)
    return 70e-6 * rho_k**2


def penetration_factor(t_pen: float, d: float, *, threaded: bool) -> float:
    """What a short pointside penetration leaves of the withdrawal strength.

    [EN 1995-1-1:2004+A2:2014, 8.3.2(7)]

    Smooth: nothing below 8 d, all from 12 d. Threaded: nothing below 6 d, all from 8 d.

    Args:
        t_pen: pointside penetration, mm; of the threaded part for a threaded nail.
        d: nail diameter, mm.
        threaded: True for threaded nails, False for smooth ones.

    Returns:
        Factor from 0 to 1, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    guards.not_negative(t_pen=t_pen)
    factor = t_pen / (2 * d) - 3 if threaded else t_pen / (4 * d) - 2
    return min(max(factor, 0.0), 1.0)


def F_ax_Rk_smooth(
    rho_k_1: float, rho_k_2: float, d: float, d_h: float, t: float, t_pen: float
) -> float:
    """Characteristic withdrawal resistance of a smooth nail, reduced for a short point.

    [EN 1995-1-1:2004+A2:2014, 8.3.2(4), Eq. (8.24), 8.3.2(7)]

    Not for permanent or long-term axial load (8.3.2(1)); nothing in end grain (8.3.2(3)).

    Args:
        rho_k_1: characteristic density of the head-side member, kg/m3.
        rho_k_2: characteristic density of the point-side member, kg/m3.
        d: nail diameter, mm.
        d_h: head diameter, mm.
        t: thickness of the head-side member, mm.
        t_pen: pointside penetration, mm.

    Returns:
        F_ax_Rk, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(rho_k_1=rho_k_1, rho_k_2=rho_k_2, d_h=d_h, t=t)
    point = f_ax_k_smooth(rho_k_2) * penetration_factor(t_pen, d, threaded=False) * d * t_pen
    head = f_ax_k_smooth(rho_k_1) * d * t + f_head_k_smooth(rho_k_1) * d_h**2
    return min(point, head)


def F_ax_Rk_other(f_ax_k: float, f_head_k: float, d: float, d_h: float, t_pen: float) -> float:
    """Characteristic withdrawal resistance of a threaded nail, by its declared strengths.

    [EN 1995-1-1:2004+A2:2014, 8.3.2(4), Eq. (8.23), 8.3.2(7)]

    Args:
        f_ax_k: declared withdrawal strength, N/mm2.
        f_head_k: declared pull-through strength, N/mm2.
        d: nail diameter, mm.
        d_h: head diameter, mm.
        t_pen: pointside penetration of the threaded part, mm.

    Returns:
        F_ax_Rk, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(f_ax_k=f_ax_k, f_head_k=f_head_k, d=d, d_h=d_h)
    point = f_ax_k * penetration_factor(t_pen, d, threaded=True) * d * t_pen
    return min(point, f_head_k * d_h**2)


def washer_area(outer: float, hole: float, shape: str) -> float:
    """Contact area between a washer and the timber.

    [EN 1995-1-1:2004+A2:2014, 8.5.2(2)]

    Args:
        outer: diameter, or side of a square washer, mm.
        hole: diameter of the hole under it, mm.
        shape: one of "round", "square".

    Returns:
        Area, mm2.

    Raises:
        RangeError: an argument out of range, or a hole as wide as the washer.
    """
    guards.choice(SHAPES, shape=shape)
    guards.positive(outer=outer)
    guards.within(0.0, 0.999 * outer, hole=hole)
    whole = outer**2 * (math.pi / 4 if shape == "round" else 1.0)
    return whole - math.pi / 4 * hole**2


def F_ax_Rk_washer(area: float, f_c_90_k: float) -> float:
    """Characteristic resistance of the timber under a washer.

    [EN 1995-1-1:2004+A2:2014, 8.5.2(2)]

    Args:
        area: contact area, mm2.
        f_c_90_k: compressive strength across the grain, N/mm2.

    Returns:
        Resistance, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(area=area, f_c_90_k=f_c_90_k)
    return 3.0 * f_c_90_k * area


def F_ax_Rk_bolt(F_t_Rk: float, F_washer_Rk: float) -> float:
    """Characteristic axial resistance of a bolt: its own tension or its washer, the lesser.

    [EN 1995-1-1:2004+A2:2014, 8.5.2(1)]

    Args:
        F_t_Rk: tension resistance of the bolt, N.
        F_washer_Rk: resistance under the weaker washer, N.

    Returns:
        F_ax_Rk, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.not_negative(F_t_Rk=F_t_Rk, F_washer_Rk=F_washer_Rk)
    return min(F_t_Rk, F_washer_Rk)
