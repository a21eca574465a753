"""Group action factor, 11.3.6."""

from __future__ import annotations

import math

from girderply.standards import guards


def gamma_wood_lb_per_in(D_in: float) -> float:
    """Load/slip modulus of a dowel-type fastener between wood members.

    [NDS 2018, 11.3.6, Eq. (11.3-1)]

    Args:
        D_in: diameter, in.

    Returns:
        gamma, lb/in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    return float(180000 * D_in**1.5)


def C_g(n: int, s_in: float, EA_m_lb: float, EA_s_lb: float, D_in: float) -> float:
    """Group action factor of one row of fasteners along the load.

    [NDS 2018, 11.3.6, Eq. (11.3-1)]

    Where the load is across the grain, Table 11.3.6A's footnote takes the row's spacing times the
    member's thickness as area of that member; the caller does so.

    Args:
        n: fasteners in the row, no unit.
        s_in: spacing in the row, in.
        EA_m_lb: modulus times gross area of the main member, lb.
        EA_s_lb: modulus times gross area of all side members together, lb.
        D_in: diameter, in; 1 below 1/4 in.

    Returns:
        C_g, no unit; at most 1.

    Raises:
        RangeError: an argument out of range.
    """
    guards.count(n=n)
    guards.positive(s_in=s_in, EA_m_lb=EA_m_lb, EA_s_lb=EA_s_lb, D_in=D_in)
    if D_in < 0.25 or n == 1:
        return 1.0
    R_EA = min(EA_s_lb / EA_m_lb, EA_m_lb / EA_s_lb)
    u = 1 + gamma_wood_lb_per_in(D_in) * s_in / 2 * (1 / EA_m_lb + 1 / EA_s_lb)
    m = u - math.sqrt(u**2 - 1)
    inner = n * ((1 + R_EA * m**n) * (1 + m) - 1 + m ** (2 * n))
    return m * (1 - m ** (2 * n)) / inner * (1 + R_EA) / (1 - m)
