"""Slip moduli per shear plane and fastener, and their creep: Tables 3.2 and 7.1, 2.3.2.2."""

from __future__ import annotations

import math

from girderply.standards import guards
from girderply.standards.tables import load


def rho_m_two_members(rho_m_1: float, rho_m_2: float) -> float:
    """Mean density that stands for two members of different timber.

    [EN 1995-1-1:2004+A2:2014, 7.1(2), Eq. (7.1)]

    Args:
        rho_m_1: mean density of one member, kg/m3.
        rho_m_2: mean density of the other member, kg/m3.

    Returns:
        rho_m, kg/m3.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(rho_m_1=rho_m_1, rho_m_2=rho_m_2)
    return math.sqrt(rho_m_1 * rho_m_2)


def K_ser_drilled(d: float, rho_m: float) -> float:
    """Slip modulus of bolts, screws, dowels and predrilled nails.

    [EN 1995-1-1:2004+A2:2014, 7.1(1), Table 7.1]

    The clearance of a bolt's hole is slip of its own, added to this.

    Args:
        d: diameter, mm.
        rho_m: mean density, kg/m3.

    Returns:
        K_ser, N/mm per shear plane and fastener.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, rho_m=rho_m)
    return float(rho_m**1.5 * d / 23)


def K_ser_nail(d: float, rho_m: float) -> float:
    """Slip modulus of nails that are not predrilled.

    [EN 1995-1-1:2004+A2:2014, 7.1(1), Table 7.1]

    Args:
        d: nail diameter, mm.
        rho_m: mean density, kg/m3.

    Returns:
        K_ser, N/mm per shear plane and fastener.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d, rho_m=rho_m)
    return float(rho_m**1.5 * d**0.8 / 30)


def K_u(K_ser: float) -> float:
    """Slip modulus at the ultimate limit state.

    [EN 1995-1-1:2004+A2:2014, 2.2.2(2), Eq. (2.1)]

    Args:
        K_ser: slip modulus at serviceability, N/mm.

    Returns:
        K_u, N/mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.not_negative(K_ser=K_ser)
    return 2 / 3 * K_ser


def k_def(service_class: int) -> float:
    """Creep of solid timber, glulam and laminated veneer lumber.

    [EN 1995-1-1:2004+A2:2014, 3.1.4, Table 3.2]

    Final stiffnesses of members are divided by 1 + psi_2 k_def, those of connections between
    members of one timber by 1 + 2 psi_2 k_def [2.3.2.2(2) to (4)]. All of it from memory.

    Args:
        service_class: one of 1, 2, 3.

    Returns:
        k_def, no unit.

    Raises:
        RangeError: a class that the table does not have.
    """
    guards.choice((1, 2, 3), service_class=service_class)
    return float(load(__package__, "table_3_2").row(service_class=str(service_class))["k_def"])
