"""Yield limit equations, Table 12.3.1A, and reduction terms, Table 12.3.1B.

Yield loads come bare; dividing by the reduction term gives reference design values. The bare ones
are the same mechanics as EN 1995-1-1, 8.2.2, with M_y = F_yb D^3 / 6 and no factors.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from girderply.standards import guards

SINGLE = ("Im", "Is", "II", "IIIm", "IIIs", "IV")
DOUBLE = ("Im", "Is", "IIIs", "IV")


@dataclass(frozen=True, slots=True)
class ReferenceZ:
    """Reference lateral design value of one fastener, mode by mode.

    Attributes:
        modes: mode -> value, lb, per fastener (all its shear planes).
    """

    modes: Mapping[str, float]

    @property
    def governing(self) -> str:
        """The mode of the least value, the earliest of equals."""
        return min(self.modes, key=self.modes.__getitem__)

    @property
    def Z_lb(self) -> float:
        """The least value, lb."""
        return min(self.modes.values())


def K_D(D_in: float) -> float:
    """Reduction term of fasteners thinner than 1/4 in.

    [NDS 2018, 12.3.1, Table 12.3.1B]

    Args:
        D_in: diameter, in; below 0.25.

    Returns:
        K_D, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    guards.within(0.0, 0.25, D_in=D_in)
    return 2.2 if D_in <= 0.17 else 10 * D_in + 0.5


def K_theta(theta: float) -> float:
    """How the direction of the load raises the reduction term.

    [NDS 2018, 12.3.1, Table 12.3.1B]

    Args:
        theta: greatest angle between load and grain in any member, rad; 0 to pi/2.

    Returns:
        K_theta, no unit; 1 to 1.25.

    Raises:
        RangeError: an argument out of range.
    """
    guards.within(0.0, math.pi / 2 + 1e-9, theta=theta)
    return 1 + 0.25 * theta / (math.pi / 2)


def R_d(mode: str, D_in: float, theta: float) -> float:
    """Reduction term of a yield mode.

    [NDS 2018, 12.3.1, Table 12.3.1B]

    Args:
        mode: one of "Im", "Is", "II", "IIIm", "IIIs", "IV".
        D_in: diameter, in; up to 1.
        theta: greatest angle between load and grain in any member, rad; 0 to pi/2.

    Returns:
        R_d, no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.choice(SINGLE, mode=mode)
    guards.positive(D_in=D_in)
    guards.within(0.0, 1.0, D_in=D_in)
    angle = K_theta(theta)
    if D_in < 0.25:
        return K_D(D_in)
    return {"Im": 4.0, "Is": 4.0, "II": 3.6}.get(mode, 3.2) * angle


def yield_loads_single_lb(
    D_in: float, l_m_in: float, l_s_in: float, F_em_psi: float, F_es_psi: float, F_yb_psi: float
) -> dict[str, float]:
    """Yield loads of a fastener in single shear, not yet reduced.

    [NDS 2018, 12.3.1, Table 12.3.1A, Eq. (12.3-1) to (12.3-6)]

    Args:
        D_in: diameter, in.
        l_m_in: bearing length in the main member, the one with the point, in.
        l_s_in: bearing length in the side member, in.
        F_em_psi: dowel bearing strength of the main member, psi.
        F_es_psi: dowel bearing strength of the side member, psi.
        F_yb_psi: bending yield strength, psi.

    Returns:
        Mode -> yield load, lb.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in, l_m_in=l_m_in, l_s_in=l_s_in)
    guards.positive(F_em_psi=F_em_psi, F_es_psi=F_es_psi, F_yb_psi=F_yb_psi)
    R_e, R_t = F_em_psi / F_es_psi, l_m_in / l_s_in
    bend = 2 * F_yb_psi * D_in**2 / (3 * F_em_psi)
    tilt = R_e + 2 * R_e**2 * (1 + R_t + R_t**2) + R_t**2 * R_e**3
    k_1 = (math.sqrt(tilt) - R_e * (1 + R_t)) / (1 + R_e)
    k_2 = -1 + math.sqrt(2 * (1 + R_e) + bend * (1 + 2 * R_e) / l_m_in**2)
    k_3 = -1 + math.sqrt(2 * (1 + R_e) / R_e + bend * (2 + R_e) / l_s_in**2)
    return {
        "Im": D_in * l_m_in * F_em_psi,
        "Is": D_in * l_s_in * F_es_psi,
        "II": k_1 * D_in * l_s_in * F_es_psi,
        "IIIm": k_2 * D_in * l_m_in * F_em_psi / (1 + 2 * R_e),
        "IIIs": k_3 * D_in * l_s_in * F_em_psi / (2 + R_e),
        "IV": D_in**2 * math.sqrt(2 * F_em_psi * F_yb_psi / (3 * (1 + R_e))),
    }


def yield_loads_double_lb(
    D_in: float, l_m_in: float, l_s_in: float, F_em_psi: float, F_es_psi: float, F_yb_psi: float
) -> dict[str, float]:
    """Yield loads of a fastener in symmetric double shear, not yet reduced, both planes together.

    [NDS 2018, 12.3.1, Table 12.3.1A, Eq. (12.3-7) to (12.3-10)]

    Valid where both side members pull against the main one. A stack of plies loaded from one face
    is not that case.

    Args:
        D_in: diameter, in.
        l_m_in: thickness of the middle member, in.
        l_s_in: lesser bearing length in the side members, in.
        F_em_psi: dowel bearing strength of the middle member, psi.
        F_es_psi: dowel bearing strength of the side members, psi.
        F_yb_psi: bending yield strength, psi.

    Returns:
        Mode -> yield load, lb, of both planes.

    Raises:
        RangeError: an argument out of range.
    """
    single = yield_loads_single_lb(D_in, l_m_in, l_s_in, F_em_psi, F_es_psi, F_yb_psi)
    return {mode: single[mode] * (1 if mode == "Im" else 2) for mode in DOUBLE}


def reference_Z_lb(yield_loads_lb: Mapping[str, float], D_in: float, theta: float) -> ReferenceZ:
    """Reference lateral design values from yield loads.

    [NDS 2018, 12.3.1, Table 12.3.1A, Table 12.3.1B]

    Args:
        yield_loads_lb: mode -> yield load, lb.
        D_in: diameter, in; up to 1.
        theta: greatest angle between load and grain in any member, rad; 0 to pi/2.

    Returns:
        Every mode's value and the governing one, lb.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(**yield_loads_lb)
    return ReferenceZ({m: load / R_d(m, D_in, theta) for m, load in yield_loads_lb.items()})
