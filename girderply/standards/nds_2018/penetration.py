"""How deep a nail must go, what a short point costs, withdrawal, clinching."""

from __future__ import annotations

from girderply.standards import guards

LIGHT = 0.6  # specific gravity up to which timber has the smaller hole


def p_min_in(D_in: float) -> float:
    """Least penetration of a nail, point included, for lateral load.

    [NDS 2018, 12.1.6.4]

    Args:
        D_in: nail diameter, in.

    Returns:
        p_min, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    return 6.0 * D_in


def lead_hole_in(D_in: float, G: float) -> float:
    """Greatest hole that is drilled for a nail.

    [NDS 2018, 12.1.6.3]

    Read second-hand, in a handbook that gives these provisions; the number of the clause is from
    memory.

    Args:
        D_in: nail diameter, in.
        G: specific gravity, no unit.

    Returns:
        0.9 D where G is over 0.6, else 0.75 D, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in, G=G)
    return (0.9 if G > LIGHT else 0.75) * D_in


def penetration_factor(p_in: float, D_in: float) -> float:
    """Share of the tabulated value of a nail whose point is less than 10 D deep.

    [NDS 2018, Table 12N, footnote 3]

    Args:
        p_in: penetration into the main member, point included, in.
        D_in: nail diameter, in.

    Returns:
        p / 10 D, no more than 1, no unit; 0 below 6 D, where the nail does not count.

    Raises:
        RangeError: an argument out of range.
    """
    guards.not_negative(p_in=p_in)
    if p_in < p_min_in(D_in) * (1 - 1e-9):
        return 0.0
    return min(p_in / (10 * D_in), 1.0)


def l_m_nail_in(p_in: float, D_in: float, E_in: float) -> float:
    """Bearing length of a nail in the member with the point.

    [NDS 2018, 12.3.5.3]

    The tapered point counts in full from 10 D, half below. A route of its own: this, or the
    tabulated value with `penetration_factor`, not both.

    Args:
        p_in: penetration, point included, in; at least 6 D.
        D_in: nail diameter, in.
        E_in: length of the tapered point, in; 2 D is usual.

    Returns:
        l_m, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(p_in=p_in, D_in=D_in)
    guards.within(0.0, p_in, E_in=E_in)
    guards.within(p_min_in(D_in) * (1 - 1e-9), 1e6, p_in=p_in)
    return p_in if p_in >= 10 * D_in else p_in - E_in / 2


def clinched_counts_in_double_shear(t_side_in: float, D_in: float, beyond_in: float) -> bool:
    """Tell whether a clinched nail counts in symmetric double shear with a thin side member.

    [NDS 2018, 12.1.6.4, exception]

    Args:
        t_side_in: thickness of the side members, in.
        D_in: nail diameter, in; 12d (0.148) or thinner.
        beyond_in: how far the nail comes out of the far side member, in.

    Returns:
        True with 3/8 in side members and 3 D beyond; no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(t_side_in=t_side_in, D_in=D_in)
    guards.not_negative(beyond_in=beyond_in)
    return t_side_in >= 0.375 and D_in <= 0.148 + 1e-9 and beyond_in >= 3 * D_in


def W_nail_lb_per_in(G: float, D_in: float) -> float:
    """Reference withdrawal value of a smooth nail in side grain, per inch of penetration.

    [NDS 2018, 12.2.3.1, Eq. (12.2-3)]

    Args:
        G: specific gravity, no unit; 0.3 to 0.75.
        D_in: nail diameter, in.

    Returns:
        W, lb/in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.within(0.3, 0.75, G=G)
    guards.positive(D_in=D_in)
    return float(1380 * G**2.5 * D_in)
