"""Design values: modification factor, partial factor, Eq. (2.6), (2.14), (2.17)."""

from __future__ import annotations

from girderply.standards import guards
from girderply.standards.tables import load

DURATIONS = ("permanent", "long", "medium", "short", "instantaneous")


def k_mod(service_class: int, duration: str) -> float:
    """Modification factor for load duration and moisture of solid timber, glulam and LVL.

    [EN 1995-1-1:2004+A2:2014, 3.1.3, Table 3.1]

    In a combination the shortest action's class counts, 3.1.3(2).

    Args:
        service_class: one of 1, 2, 3.
        duration: one of "permanent", "long", "medium", "short", "instantaneous".

    Returns:
        k_mod, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.choice((1, 2, 3), service_class=service_class)
    guards.choice(DURATIONS, duration=duration)
    table = load(__package__, "table_3_1")
    return float(table.row(service_class=str(service_class))[duration])


def gamma_M(item: str = "connections") -> float:
    """Recommended partial factor; a national annex may say otherwise.

    [EN 1995-1-1:2004+A2:2014, 2.4.1(1), Table 2.3]

    Args:
        item: one of the table's words, such as "connections" or "solid timber".

    Returns:
        gamma_M, no unit.

    Raises:
        RangeError: an item that the table does not have.
    """
    return float(load(__package__, "table_2_3").row(item=item)["gamma_M"])


def X_d(X_k: float, k_mod: float, gamma_M: float) -> float:
    """Design value of a strength property.

    [EN 1995-1-1:2004+A2:2014, 2.4.1(1), Eq. (2.14)]

    Args:
        X_k: characteristic value, N/mm2.
        k_mod: modification factor, no unit.
        gamma_M: partial factor, no unit.

    Returns:
        X_d, N/mm2.

    Raises:
        RangeError: an argument out of range.
    """
    guards.not_negative(X_k=X_k)
    guards.positive(k_mod=k_mod, gamma_M=gamma_M)
    return k_mod * X_k / gamma_M


def R_d(R_k: float, k_mod: float, gamma_M: float) -> float:
    """Design value of a resistance.

    [EN 1995-1-1:2004+A2:2014, 2.4.3(1), Eq. (2.17)]

    Args:
        R_k: characteristic resistance, N.
        k_mod: modification factor, no unit.
        gamma_M: partial factor, no unit.

    Returns:
        R_d, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.not_negative(R_k=R_k)
    guards.positive(k_mod=k_mod, gamma_M=gamma_M)
    return k_mod * R_k / gamma_M
