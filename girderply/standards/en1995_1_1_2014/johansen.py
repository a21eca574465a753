"""Failure modes of dowels in timber-to-timber connections (8.2.2).

Each mode function gives the Johansen part, per fastener and shear plane, with the standard's own
factor (1.05 for one hinge, 1.15 for two) unless `factored` is off: the bare value is what limit
analysis gives. The rope effect is added afterwards (`with_rope`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from girderply.standards import guards

ONE_HINGE = 1.05  # modes (d), (e), (j)
TWO_HINGES = 1.15  # modes (f), (k)
_NO_ROPE = ("a", "b", "g", "h")


@dataclass(frozen=True, slots=True)
class ShearModes:
    """Resistance of one fastener in one shear plane, mode by mode, N.

    Attributes:
        johansen: letter -> Johansen part.
        rope: letter -> rope effect added, 0 for modes that have none.
    """

    johansen: Mapping[str, float]
    rope: Mapping[str, float]

    @property
    def total(self) -> dict[str, float]:
        """Letter -> Johansen part and rope effect together, N."""
        return {mode: value + self.rope[mode] for mode, value in self.johansen.items()}

    @property
    def governing(self) -> str:
        """Letter of the least; the first in the alphabet of equals."""
        total = self.total
        return min(sorted(total), key=total.__getitem__)

    @property
    def F_v_Rk(self) -> float:
        """The least, N per fastener and shear plane."""
        return min(self.total.values())


def _hinge_in_far_member(beta: float, t: float, d: float, f_h_1_k: float, M_y_Rk: float) -> float:
    """Modes (d) and (j): one hinge, which lies in member 2; `t` is member 1's thickness."""
    root = 2 * beta * (1 + beta) + 4 * beta * (2 + beta) * M_y_Rk / (f_h_1_k * d * t**2)
    return f_h_1_k * t * d / (2 + beta) * (math.sqrt(root) - beta)


def _two_hinges(beta: float, d: float, f_h_1_k: float, M_y_Rk: float) -> float:
    """Modes (f) and (k)."""
    return math.sqrt(2 * beta / (1 + beta)) * math.sqrt(2 * M_y_Rk * f_h_1_k * d)


def single_shear(
    t_1: float,
    t_2: float,
    f_h_1_k: float,
    f_h_2_k: float,
    d: float,
    M_y_Rk: float,
    *,
    factored: bool = True,
) -> dict[str, float]:
    """Johansen parts of modes (a) to (f): two members, one shear plane.

    [EN 1995-1-1:2004+A2:2014, 8.2.2(1), Eq. (8.6), (8.8)]

    Args:
        t_1: thickness of the head-side member, mm.
        t_2: thickness of the other member, or how deep the point is in it, mm.
        f_h_1_k: embedment strength of member 1, N/mm2.
        f_h_2_k: embedment strength of member 2, N/mm2.
        d: fastener diameter, mm.
        M_y_Rk: yield moment, Nmm.
        factored: True with 1.05 on (d), (e) and 1.15 on (f); False for bare limit analysis.

    Returns:
        "a" ... "f" -> Johansen part, N per shear plane and fastener.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(t_1=t_1, t_2=t_2, f_h_1_k=f_h_1_k, f_h_2_k=f_h_2_k, d=d, M_y_Rk=M_y_Rk)
    one, two = (ONE_HINGE, TWO_HINGES) if factored else (1.0, 1.0)
    beta, r = f_h_2_k / f_h_1_k, t_2 / t_1
    tilt = beta + 2 * beta**2 * (1 + r + r**2) + beta**3 * r**2
    near = 2 * beta**2 * (1 + beta) + 4 * beta * (1 + 2 * beta) * M_y_Rk / (f_h_1_k * d * t_2**2)
    return {
        "a": f_h_1_k * t_1 * d,
        "b": f_h_2_k * t_2 * d,
        "c": f_h_1_k * t_1 * d / (1 + beta) * (math.sqrt(tilt) - beta * (1 + r)),
        "d": one * _hinge_in_far_member(beta, t_1, d, f_h_1_k, M_y_Rk),
        "e": one * f_h_1_k * t_2 * d / (1 + 2 * beta) * (math.sqrt(near) - beta),
        "f": two * _two_hinges(beta, d, f_h_1_k, M_y_Rk),
    }


def double_shear(
    t_1: float,
    t_2: float,
    f_h_1_k: float,
    f_h_2_k: float,
    d: float,
    M_y_Rk: float,
    *,
    factored: bool = True,
) -> dict[str, float]:
    """Johansen parts of modes (g), (h), (j), (k): a middle member between two alike.

    [EN 1995-1-1:2004+A2:2014, 8.2.2(1), Eq. (8.7), (8.8)]

    Valid where both outer members pull against the middle one. A stack of plies loaded from one
    face is not that case: all its interfaces shear the same way.

    Args:
        t_1: lesser thickness of the outer members, or depth of the point, mm.
        t_2: thickness of the middle member, mm.
        f_h_1_k: embedment strength of the outer members, N/mm2.
        f_h_2_k: embedment strength of the middle member, N/mm2.
        d: fastener diameter, mm.
        M_y_Rk: yield moment, Nmm.
        factored: True with 1.05 on (j) and 1.15 on (k); False for bare limit analysis.

    Returns:
        "g", "h", "j", "k" -> Johansen part, N per shear plane and fastener.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(t_1=t_1, t_2=t_2, f_h_1_k=f_h_1_k, f_h_2_k=f_h_2_k, d=d, M_y_Rk=M_y_Rk)
    one, two = (ONE_HINGE, TWO_HINGES) if factored else (1.0, 1.0)
    beta = f_h_2_k / f_h_1_k
    return {
        "g": f_h_1_k * t_1 * d,
        "h": 0.5 * f_h_2_k * t_2 * d,
        "j": one * _hinge_in_far_member(beta, t_1, d, f_h_1_k, M_y_Rk),
        "k": two * _two_hinges(beta, d, f_h_1_k, M_y_Rk),
    }


def with_rope(
    johansen: Mapping[str, float], F_ax_Rk: float = 0.0, limit: float = 0.0
) -> ShearModes:
    """Add the rope effect to the modes in which the fastener tilts or bends.

    [EN 1995-1-1:2004+A2:2014, 8.2.2(2)]

    A quarter of the withdrawal resistance, no more than the kind of fastener's share of each
    mode's own Johansen part; none in the modes of pure embedment, (a), (b), (g), (h).

    Args:
        johansen: letter -> Johansen part, N.
        F_ax_Rk: withdrawal resistance of the fastener, N; 0 where it is not known.
        limit: greatest rope effect as a share of the Johansen part, no unit (`rope_limit`).

    Returns:
        Every mode with its rope effect, N per shear plane and fastener.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(**johansen)
    guards.not_negative(F_ax_Rk=F_ax_Rk, limit=limit)
    rope = {
        mode: 0.0 if mode in _NO_ROPE else min(F_ax_Rk / 4, limit * value)
        for mode, value in johansen.items()
    }
    return ShearModes(dict(johansen), rope)
