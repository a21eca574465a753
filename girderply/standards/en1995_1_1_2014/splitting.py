"""Connection forces at an angle to the grain (8.1.4): a load hung low on a chord may split it."""

from __future__ import annotations

import math

from girderply.standards import guards


def w_plate(w_pl: float) -> float:
    """Modification factor of punched metal plate fasteners; all other fasteners have w = 1.

    [EN 1995-1-1:2004+A2:2014, 8.1.4(3), Eq. (8.5)]

    Args:
        w_pl: width of the plate along the grain, mm.

    Returns:
        w, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(w_pl=w_pl)
    return float(max((w_pl / 100) ** 0.35, 1.0))


def F_90_Rk(b: float, h: float, h_e: float, w: float = 1.0) -> float:
    """Characteristic splitting resistance of softwood under a force across the grain.

    [EN 1995-1-1:2004+A2:2014, 8.1.4(3), Eq. (8.4)]

    Args:
        b: thickness of the member, mm.
        h: depth of the member, mm.
        h_e: from the loaded edge to the farthest fastener, mm; less than h.
        w: 1 for nails, screws and bolts (Eq. (8.5)); no unit.

    Returns:
        F_90_Rk, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(b=b, h=h, h_e=h_e)
    guards.within(0.0, 0.999 * h, h_e=h_e)
    guards.within(1.0, 10.0, w=w)
    return 14 * b * w * math.sqrt(h_e / (1 - h_e / h))


def F_v_Ed(F_v_Ed_1: float, F_v_Ed_2: float) -> float:
    """Shear that is compared with the splitting resistance: the larger side of the connection.

    [EN 1995-1-1:2004+A2:2014, 8.1.4(2), Eq. (8.2), (8.3)]

    Args:
        F_v_Ed_1: shear force in the member on one side, N, without regard to sign.
        F_v_Ed_2: shear force on the other side, N, without regard to sign.

    Returns:
        F_v_Ed, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.finite(F_v_Ed_1=F_v_Ed_1, F_v_Ed_2=F_v_Ed_2)
    return max(abs(F_v_Ed_1), abs(F_v_Ed_2))
