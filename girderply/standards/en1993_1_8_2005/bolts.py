"""Strength and tension resistance of bolts."""

from __future__ import annotations

import math

from girderply.standards import guards
from girderply.standards.tables import load


def f_ub(grade: str) -> float:
    """Nominal ultimate tensile strength of a bolt grade.

    [EN 1993-1-8:2005, 3.1.1(3), Table 3.1]

    Args:
        grade: one of "4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "10.9".

    Returns:
        f_ub, N/mm2.

    Raises:
        RangeError: a grade that the table does not have.
    """
    return float(load(__package__, "table_3_1").row(grade=grade)["f_ub_N_per_mm2"])


def A_s(d: float, pitch: float) -> float:
    """Tensile stress area of an ISO metric thread.

    [EN 1993-1-8:2005, 3.6.1, by ISO 898-1, 9.1.6]

    Args:
        d: nominal diameter, mm.
        pitch: thread pitch, mm; less than d.

    Returns:
        A_s, mm2.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, pitch=pitch)
    guards.within(0.0, 0.5 * d, pitch=pitch)
    return math.pi / 4 * (d - 0.9382 * pitch) ** 2


def F_t_Rk(f_ub: float, A_s: float) -> float:
    """Tension resistance of a bolt before its partial factor (gamma_M2 is usually 1.25).

    [EN 1993-1-8:2005, 3.6.1, Table 3.4]

    Args:
        f_ub: ultimate tensile strength, N/mm2.
        A_s: tensile stress area, mm2.

    Returns:
        F_t_Rk, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(f_ub=f_ub, A_s=A_s)
    return 0.9 * f_ub * A_s
