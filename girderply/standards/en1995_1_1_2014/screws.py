"""Screws, by the values of their own declaration of performance (8.7)."""

from __future__ import annotations

import math

from girderply.standards import guards


def d_ef_screw(d: float, d_shank: float, d_root: float, smooth_in_point_member: float) -> float:
    """Effective diameter of a laterally loaded screw.

    [EN 1995-1-1:2004+A2:2014, 8.7.1(2), (3)]

    Args:
        d: outer thread diameter, mm.
        d_shank: diameter of the smooth shank, mm.
        d_root: root diameter of the thread, mm.
        smooth_in_point_member: how far the smooth shank goes into the member with the point, mm.

    Returns:
        d_ef, mm: the shank's where it is as thick as the thread and 4 d deep, else 1.1 times the
        root, and no more than the thread.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, d_shank=d_shank, d_root=d_root)
    guards.not_negative(smooth_in_point_member=smooth_in_point_member)
    if d_shank >= d and smooth_in_point_member >= 4 * d:
        return d
    return min(1.1 * d_root, d)


def screw_counts_as_bolt(d_ef: float) -> bool:
    """Tell whose rules a laterally loaded screw follows.

    [EN 1995-1-1:2004+A2:2014, 8.7.1(4), (5)]

    Args:
        d_ef: effective diameter, mm.

    Returns:
        True above 6 mm (8.5.1, bolts), False up to it (8.3.1, nails); no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d_ef=d_ef)
    return d_ef > 6.0


def F_ax_Rk_screw(
    f_ax_k: float, d: float, l_ef: float, rho_k: float, rho_a: float, alpha: float
) -> float:
    """Characteristic withdrawal resistance of one screw by its declared strength.

    [EN 1995-1-1:2004+A2:2014, 8.7.2(5), Eq. (8.40a)]

    Args:
        f_ax_k: declared withdrawal strength across the grain, N/mm2.
        d: outer thread diameter, mm.
        l_ef: length of thread in the member with the point, mm; at least 6 d.
        rho_k: characteristic density, kg/m3.
        rho_a: density that the declaration belongs to, kg/m3.
        alpha: angle between screw axis and grain, rad; at least 30 degrees.

    Returns:
        F_ax_Rk, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(f_ax_k=f_ax_k, d=d, l_ef=l_ef, rho_k=rho_k, rho_a=rho_a)
    guards.within(6 * d * (1 - 1e-9), math.inf, l_ef=l_ef)
    guards.within(math.radians(30) - 1e-9, math.pi / 2 + 1e-9, alpha=alpha)
    tilt = 1.2 * math.cos(alpha) ** 2 + math.sin(alpha) ** 2
    return float(f_ax_k * d * l_ef / tilt * (rho_k / rho_a) ** 0.8)


def F_head_Rk_screw(f_head_k: float, d_h: float, rho_k: float, rho_a: float) -> float:
    """Characteristic resistance against a screw's head being pulled through.

    [EN 1995-1-1:2004+A2:2014, 8.7.2(6), Eq. (8.40b)]

    Args:
        f_head_k: declared pull-through strength, N/mm2.
        d_h: head diameter, mm.
        rho_k: characteristic density, kg/m3.
        rho_a: density that the declaration belongs to, kg/m3.

    Returns:
        F_ax_Rk, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(f_head_k=f_head_k, d_h=d_h, rho_k=rho_k, rho_a=rho_a)
    return float(f_head_k * d_h**2 * (rho_k / rho_a) ** 0.8)
