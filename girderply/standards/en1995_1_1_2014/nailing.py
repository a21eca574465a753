"""What nailing must keep to: depth of the point, overlap, predrilling, thin timber."""

from __future__ import annotations

from girderply.errors import RangeError
from girderply.standards import guards


def t_pen_min(d: float, *, smooth: bool) -> float:
    """Least pointside penetration of a nail that counts in shear.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(1), (2)]

    Args:
        d: nail diameter, mm.
        smooth: True for smooth nails (8 d), False for all others (6 d).

    Returns:
        Depth, mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    return (8.0 if smooth else 6.0) * d


def points_may_overlap(t: float, t_2: float, d: float) -> bool:
    """Tell whether nails driven from both sides may overlap in the member between.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(7)]

    Args:
        t: thickness of the middle member, mm.
        t_2: depth of the point in it, mm.
        d: nail diameter, mm.

    Returns:
        True where (t - t_2) is greater than 4 d; no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(t=t, d=d)
    guards.not_negative(t_2=t_2)
    return t - t_2 > 4 * d


def must_predrill(d: float, rho_k: float) -> bool:
    """Tell whether nails need drilled holes for their size or the timber's density.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(2)]

    Args:
        d: nail diameter, mm.
        rho_k: characteristic density, kg/m3.

    Returns:
        True above 6 mm or above 500 kg/m3; no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, rho_k=rho_k)
    return d > 6.0 or rho_k > 500.0


def t_min_undrilled(d: float, rho_k: float) -> float:
    """Thickness below which timber must be predrilled for nails.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(6), Eq. (8.18)]

    Args:
        d: nail diameter, mm.
        rho_k: characteristic density, kg/m3.

    Returns:
        Thickness, mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, rho_k=rho_k)
    return max(7 * d, (13 * d - 30) * rho_k / 400)


def t_min_undrilled_split_prone(d: float, rho_k: float) -> float:
    """Thickness below which timber especially prone to splitting must be predrilled.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(7), Eq. (8.19)]

    Whether the clause is in force, and for which species, is for the national annex: a choice of
    the basis. Eq. (8.18) may be used instead where the edge distance is `a_4_min_split_prone`.

    Args:
        d: nail diameter, mm.
        rho_k: characteristic density, kg/m3.

    Returns:
        Thickness, mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, rho_k=rho_k)
    return max(14 * d, (13 * d - 30) * rho_k / 200)


def a_4_min_split_prone(d: float, rho_k: float) -> float:
    """Edge distance from which Eq. (8.18) may stand for Eq. (8.19).

    [EN 1995-1-1:2004+A2:2014, 8.3.1.2(7)]

    Args:
        d: nail diameter, mm.
        rho_k: characteristic density, kg/m3; up to 500.

    Returns:
        a_4, mm.

    Raises:
        RangeError: an argument out of range, or timber too dense to go undrilled.
    """
    guards.positive(d=d, rho_k=rho_k)
    if rho_k > 500:
        raise RangeError(f"rho_k above 500 kg/m3 needs predrilling, not {rho_k!r} undrilled")
    return (10.0 if rho_k <= 420 else 14.0) * d


def hole_max_nail(d: float) -> float:
    """Greatest hole predrilled for a nail.

    [EN 1995-1-1:2004+A2:2014, 10.4.2(3)]

    Args:
        d: nail diameter, mm.

    Returns:
        Diameter of the hole, mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    return 0.8 * d
