"""Effective number of fasteners in a row along the grain; several shear planes together."""

from __future__ import annotations

import math

import numpy as np

from girderply.errors import RangeError
from girderply.standards import guards
from girderply.standards.tables import load, number

_ALONE = frozenset("abgh")


def k_ef(a_1: float, d: float, *, predrilled: bool) -> float:
    """Exponent of the effective number of nails in a row.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(8), Table 8.1]

    Args:
        a_1: spacing along the grain, mm; at least 7 d, or 4 d predrilled.
        d: nail diameter, mm.
        predrilled: True where holes are drilled for the nails.

    Returns:
        k_ef, no unit; linear between the table's rows.

    Raises:
        RangeError: an argument out of range, or a spacing below the table.
    """
    guards.positive(a_1=a_1, d=d)
    column = "k_ef_predrilled" if predrilled else "k_ef_not_predrilled"
    rows = [r for r in load(__package__, "table_8_1").rows if r[column]]
    spacing = [number(r["a_1_in_d"]) for r in rows]
    if a_1 < spacing[0] * d * (1 - 1e-9):
        raise RangeError(f"a_1 of {a_1!r} mm is below the table, {spacing[0]:g} d")
    return float(np.interp(a_1 / d, spacing, [number(r[column]) for r in rows]))


def n_ef_nails(n: int, k_ef: float, *, stagger: float = 0.0, d: float = 1.0) -> float:
    """Effective number of nails in one row, loaded along the grain.

    [EN 1995-1-1:2004+A2:2014, 8.3.1.1(8), Eq. (8.17)]

    Nails of the row that step aside by at least 1 d, turn about, all count. Across the grain all
    count too: the clause is about the component along the grain.

    Args:
        n: nails in the row, no unit.
        k_ef: exponent of Table 8.1, no unit.
        stagger: how far the row's nails step aside across the grain, mm.
        d: nail diameter, mm; matters only with a stagger.

    Returns:
        n_ef, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.count(n=n)
    guards.within(0.0, 1.0, k_ef=k_ef)
    guards.not_negative(stagger=stagger)
    guards.positive(d=d)
    return float(n) if stagger >= d else float(n**k_ef)


def n_ef_bolts(n: int, a_1: float, d: float, alpha: float = 0.0) -> float:
    """Effective number of bolts in one row along the grain.

    [EN 1995-1-1:2004+A2:2014, 8.5.1.1(4), Eq. (8.34), (8.35)]

    Args:
        n: bolts in the row, no unit.
        a_1: spacing along the grain, mm.
        d: bolt diameter, mm.
        alpha: angle between force and grain, rad; linear from (8.34) at 0 to n at pi/2.

    Returns:
        n_ef, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.count(n=n)
    guards.positive(a_1=a_1, d=d)
    guards.finite(alpha=alpha)
    along = min(float(n), float(n**0.9 * (a_1 / (13 * d)) ** 0.25))
    across = math.asin(min(abs(math.sin(alpha)), 1.0)) / (math.pi / 2)
    return along + (n - along) * across


def shear_planes_may_add(mode_1: str, mode_2: str) -> bool:
    """Tell whether the governing modes of two shear planes of a fastener go together.

    [EN 1995-1-1:2004+A2:2014, 8.1.3(2)]

    Pure embedment, modes (a), (b), (g), (h), is not combined with modes that tilt or bend.

    Args:
        mode_1: governing mode of one plane, one of the letters a to k.
        mode_2: governing mode of the other plane, one of the letters a to k.

    Returns:
        True where the two planes' resistances may be added, no unit.

    Raises:
        RangeError: not a mode of 8.2.2.
    """
    guards.choice(tuple("abcdefghjk"), mode_1=mode_1, mode_2=mode_2)
    return (mode_1 in _ALONE) == (mode_2 in _ALONE)
