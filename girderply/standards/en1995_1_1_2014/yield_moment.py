"""Yield moment of nails and bolts."""

from __future__ import annotations

from girderply.standards import guards

SURFACES = ("smooth", "square", "other")


def M_y_Rk_nail(d: float, f_u: float, surface: str = "smooth") -> float:
    """Characteristic yield moment of a nail.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(4), Eq. (8.14)]

    The equation is for smooth nails of wire of at least 600 N/mm2. For other nails (ring shank,
    helical) the declared yield moment goes first; where none is declared the round value is
    taken, which EN 14592 leaves to a test.

    Args:
        d: diameter, or side of a square or grooved nail, mm; up to 8.
        f_u: tensile strength of the wire, N/mm2; at least 600.
        surface: one of "smooth" (round), "square" (or grooved), "other".

    Returns:
        M_y_Rk, Nmm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, f_u=f_u)
    guards.within(0.0, 8.0, d=d)
    guards.within(600.0, 3000.0, f_u=f_u)
    guards.choice(SURFACES, surface=surface)
    return float((0.45 if surface == "square" else 0.30) * f_u * d**2.6)


def M_y_Rk_bolt(d: float, f_u_k: float) -> float:
    """Characteristic yield moment of a bolt.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(1), Eq. (8.30)]

    Args:
        d: bolt diameter, mm; up to 30.
        f_u_k: characteristic tensile strength, N/mm2.

    Returns:
        M_y_Rk, Nmm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, f_u_k=f_u_k)
    guards.within(0.0, 30.0, d=d)
    return float(0.3 * f_u_k * d**2.6)
