"""Compression across the grain at a bearing (6.1.5)."""

from __future__ import annotations

from girderply.standards import guards

SPREAD = 30.0  # mm, the most by which the contact grows at each side, 6.1.5(1)


def A_ef(b: float, l: float, a_1: float, a_2: float, l_1: float) -> float:  # noqa: E741
    """Effective contact area across the grain.

    [EN 1995-1-1:2004+A2:2014, 6.1.5(1)]

    Args:
        b: width of the contact, mm.
        l: length of the contact along the grain, mm.
        a_1: from one end of the contact to the end of the member, mm.
        a_2: from its other end to the other end of the member, mm.
        l_1: clear distance to the next contact, mm.

    Returns:
        A_ef, mm2: at each side the contact is longer by 30 mm, but by no more than the distance to
        the end, the contact's own length, or half the distance to the next.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(b=b, l=l)
    guards.not_negative(a_1=a_1, a_2=a_2, l_1=l_1)
    return b * (l + sum(min(SPREAD, a, l, l_1 / 2) for a in (a_1, a_2)))


def k_c_90(h: float, l_1: float) -> float:
    """Factor for the way solid softwood is loaded over a discrete support.

    [EN 1995-1-1:2004+A2:2014, 6.1.5(2), (4)]

    Args:
        h: depth of the member, mm.
        l_1: clear distance from the support to the next load or support along it, mm.

    Returns:
        k_c_90, no unit: 1.5 where the next is at least 2 h away, else 1.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(h=h)
    guards.not_negative(l_1=l_1)
    return 1.5 if l_1 >= 2 * h else 1.0


def F_c_90_Rd(A_ef: float, f_c_90_d: float, k_c_90: float) -> float:
    """Design resistance across the grain.

    [EN 1995-1-1:2004+A2:2014, 6.1.5(1), Eq. (6.3), (6.4)]

    Args:
        A_ef: effective contact area, mm2.
        f_c_90_d: design compressive strength across the grain, N/mm2.
        k_c_90: factor for the way of loading, no unit.

    Returns:
        F_c_90_Rd, N.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(A_ef=A_ef, f_c_90_d=f_c_90_d)
    guards.within(1.0, 1.75, k_c_90=k_c_90)
    return k_c_90 * f_c_90_d * A_ef
