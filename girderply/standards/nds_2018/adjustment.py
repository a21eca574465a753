"""Adjustment factors of connections, Table 11.3.1, except group action and geometry."""

from __future__ import annotations

from girderply.errors import RangeError
from girderply.standards import guards
from girderply.standards.tables import load

C_D_MOST = 1.6  # of connections, 11.3.2
K_F_CONNECTION = 3.32  # LRFD format conversion, Table 11.3.1
PHI_CONNECTION = 0.65  # LRFD resistance factor, Table 11.3.1
C_EG = 0.67  # lateral load on a nail in end grain, 12.5.2.2
C_DI = 1.1  # diaphragm nailing, 12.5.3
C_TN_LATERAL = 0.83  # toe-nailing, 12.5.4
C_TN_WITHDRAWAL = 0.67


def C_D(duration: str) -> float:
    """Load duration factor; that of the shortest load in the combination.

    [NDS 2018, 2.3.2, Table 2.3.2]

    Args:
        duration: one of "permanent", "ten years", "two months", "seven days", "ten minutes",
            "impact".

    Returns:
        C_D, no unit.

    Raises:
        RangeError: a duration that the table does not have.
    """
    return float(load(__package__, "table_2_3_2").row(duration=duration)["C_D"])


def C_D_connection(duration: str) -> float:
    """Load duration factor of a connection, which impact raises no further than 1.6.

    [NDS 2018, 11.3.2]

    Args:
        duration: one of the durations of `C_D`.

    Returns:
        C_D, no unit, at most 1.6.

    Raises:
        RangeError: a duration that the table does not have.
    """
    return min(C_D(duration), C_D_MOST)


def C_M(*, wet_fabricated: bool, wet_service: bool, D_in: float, lone_row: bool = False) -> float:
    """Wet service factor of dowel-type fasteners under lateral load.

    [NDS 2018, 11.3.3, Table 11.3.3]

    Args:
        wet_fabricated: True where moisture is above 19 % when it is made.
        wet_service: True where it is above 19 % in service.
        D_in: diameter, in.
        lone_row: True for one fastener, one row along the grain, or a separate splice plate per
            row: timber may then shrink without splitting.

    Returns:
        C_M, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    if wet_service:
        return 0.7
    if not wet_fabricated or lone_row:
        return 1.0
    return 0.7 if D_in < 0.25 else 0.4


def C_t(T_F: float, *, wet: bool) -> float:
    """Temperature factor of connections.

    [NDS 2018, 11.3.4, Table 11.3.4]

    Args:
        T_F: sustained temperature, degF; up to 150.
        wet: True in wet service.

    Returns:
        C_t, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.finite(T_F=T_F)
    for row in load(__package__, "table_11_3_4").rows:
        if float(row["T_up_to_F"]) >= T_F:
            return float(row["C_t_wet" if wet else "C_t_dry"])
    raise RangeError(f"T_F must be at most 150 for Table 11.3.4, not {T_F!r}")


def Z_adjusted_lb(Z_lb: float, **factors: float) -> float:
    """Adjusted lateral design value.

    [NDS 2018, 11.3.1, Table 11.3.1]

    Args:
        Z_lb: reference value, lb.
        **factors: every factor that applies, by name, no unit.

    Returns:
        Z', lb.

    Raises:
        RangeError: an argument out of range.
    """
    guards.not_negative(Z_lb=Z_lb, **factors)
    for factor in factors.values():
        Z_lb *= factor
    return Z_lb
