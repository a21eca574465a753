"""Dowel bearing strength, bending yield strength, specific gravity."""

from __future__ import annotations

import math

from girderply.errors import RangeError
from girderply.standards import guards
from girderply.standards.tables import load

F_YB_BOLT_PSI = 45000.0  # Table I1: bolts of SAE J429 grade 1 and the like
SMALL_IN = 0.25  # below it, direction to the grain does not matter


def _to_50(psi: float) -> float:
    return math.floor(psi / 50 + 0.5) * 50.0


def G_of(species: str) -> float:
    """Specific gravity of a species combination.

    [NDS 2018, 12.3.3, Table 12.3.3A]

    Args:
        species: one of the table's words, such as "Southern Pine".

    Returns:
        G, oven-dry, no unit.

    Raises:
        RangeError: a species that the table does not have.
    """
    return float(load(__package__, "table_12_3_3a").row(species=species)["G"])


def F_e_small_psi(G: float) -> float:
    """Dowel bearing strength under fasteners thinner than 1/4 in.

    [NDS 2018, 12.3.3.1, Table 12.3.3, footnote 2]

    Args:
        G: specific gravity, no unit; 0.3 to 0.75.

    Returns:
        F_e, psi, rounded to 50.

    Raises:
        RangeError: an argument out of range.
    """
    guards.within(0.3, 0.75, G=G)
    return _to_50(16600 * G**1.84)


def F_e_parallel_psi(G: float) -> float:
    """Dowel bearing strength along the grain under fasteners of 1/4 in to 1 in.

    [NDS 2018, 12.3.3.1, Table 12.3.3, footnote 2]

    Args:
        G: specific gravity, no unit; 0.3 to 0.75.

    Returns:
        F_e_par, psi, rounded to 50.

    Raises:
        RangeError: an argument out of range.
    """
    guards.within(0.3, 0.75, G=G)
    return _to_50(11200 * G)


def F_e_perpendicular_psi(G: float, D_in: float) -> float:
    """Dowel bearing strength across the grain under fasteners of 1/4 in to 1 in.

    [NDS 2018, 12.3.3.1, Table 12.3.3, footnote 2]

    Args:
        G: specific gravity, no unit; 0.3 to 0.75.
        D_in: diameter, in; 0.25 to 1.

    Returns:
        F_e_perp, psi, rounded to 50.

    Raises:
        RangeError: an argument out of range.
    """
    guards.within(0.3, 0.75, G=G)
    guards.within(SMALL_IN, 1.0, D_in=D_in)
    return _to_50(6100 * G**1.45 / math.sqrt(D_in))


def F_e_theta_psi(F_e_par_psi: float, F_e_perp_psi: float, theta: float) -> float:
    """Dowel bearing strength at an angle to the grain (Hankinson).

    [NDS 2018, 12.3.4, Eq. (12.3-11)]

    Args:
        F_e_par_psi: along the grain, psi.
        F_e_perp_psi: across the grain, psi.
        theta: angle between load and grain, rad.

    Returns:
        F_e_theta, psi.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(F_e_par_psi=F_e_par_psi, F_e_perp_psi=F_e_perp_psi)
    guards.finite(theta=theta)
    sin, cos = math.sin(theta), math.cos(theta)
    return F_e_par_psi * F_e_perp_psi / (F_e_par_psi * sin**2 + F_e_perp_psi * cos**2)


def F_e_psi(G: float, D_in: float, theta: float) -> float:
    """Dowel bearing strength by the rule that the diameter asks for.

    [NDS 2018, 12.3.3.1, 12.3.4, Table 12.3.3]

    Args:
        G: specific gravity, no unit; 0.3 to 0.75.
        D_in: diameter, in; up to 1.
        theta: angle between load and grain, rad; matters from 1/4 in up.

    Returns:
        F_e, psi.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    guards.finite(theta=theta)
    if D_in < SMALL_IN:
        return F_e_small_psi(G)
    return F_e_theta_psi(F_e_parallel_psi(G), F_e_perpendicular_psi(G, D_in), theta)


def F_yb_nail_psi(D_in: float) -> float:
    """Bending yield strength of common, box and sinker nails.

    [NDS 2018, Appendix I, Table I1]

    Args:
        D_in: nail diameter, in; 0.099 to 0.375.

    Returns:
        F_yb, psi.

    Raises:
        RangeError: a diameter outside the table.
    """
    guards.positive(D_in=D_in)
    for row in load(__package__, "table_i1").rows:
        if float(row["D_above_in"]) < D_in <= float(row["D_up_to_in"]) + 1e-9:
            return float(row["F_yb_psi"])
    raise RangeError(f"D_in must be between 0.099 and 0.375 for Table I1, not {D_in!r}")
