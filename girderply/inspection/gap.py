"""What a gap between the plies takes from a dowel: general dowel equations with a gap.

[AWC Technical Report 12, general dowel equations, single shear, with gap g; value from memory, to
be checked. Without a gap they are the yield modes of NDS 2018, Table 12.3.1A, and of EN 1995-1-1,
Eq. (8.6), before the factors of either.]
"""

from __future__ import annotations

from collections.abc import Iterable
from math import inf, sqrt

from girderply.strength.check_record import Check


def single_shear(q: float, M: float, lengths: tuple[float, float], gap: float) -> float:  # noqa: N803
    """Plastic limit of a dowel through two plies of one embedment, N.

    Args:
        q: bearing per length, N/mm.
        M: plastic moment, Nmm.
        lengths: bearing lengths in the plies, mm.
        gap: between the plies, mm.
    """
    a, b = lengths

    def root(A: float, B: float, C: float) -> float:  # noqa: N803
        return (sqrt(B * B + 4 * A * C) - B) / (2 * A)

    return min(
        q * a,
        q * b,
        root(1 / (2 * q), a / 2 + gap + b / 2, q * (a * a + b * b) / 4),
        root(3 / (4 * q), b / 2 + gap, M + q * b * b / 4),
        root(3 / (4 * q), a / 2 + gap, M + q * a * a / 4),
        root(1 / q, gap, 2 * M),
    )


def share_left(checks: Iterable[Check], gap: float) -> float:
    """The least part of its resistance that any fastener of these checks keeps over a gap, mm.

    Read from the inputs that the checks were made with; 1 where there are none.
    """
    least = 1.0
    for check in checks:
        x = {name: value for name, (value, _) in check.inputs.items()}
        if "f_h_k" in x:
            q, M, lengths = x["f_h_k"] * x["d"], x["M_y_Rk"], (x["t_1"], x["t_2"])  # noqa: N806
        elif "F_e" in x:
            q, M = x["F_e"] * x["D"], x["F_yb"] * x["D"] ** 3 / 6  # noqa: N806
            lengths = (x["l_s"], x["l_m"])
        else:
            continue
        whole = single_shear(q, M, lengths, 0.0)
        least = min(least, single_shear(q, M, lengths, gap) / whole if whole < inf else 1.0)
    return least
