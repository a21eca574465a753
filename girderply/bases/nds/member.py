"""One ply beside a connection and over a bearing, by NDS; worked lines in inches and pounds."""

from __future__ import annotations

from collections.abc import Callable

from girderply.bases.answers import Across, Resisted, Seat
from girderply.catalogue.catalogue_types import Timber
from girderply.errors import CatalogueError, RangeError
from girderply.standards.nds_2018 import DOCUMENT
from girderply.standards.nds_2018 import shear_and_bearing as member
from girderply.units.exact import MM_PER_IN, MPA_PER_PSI, N_PER_LB
from girderply.wording import numeral, said

FULL = 0.99  # of the depth: the fasteners reach the far edge


def across(ask: Across) -> Resisted | None:
    """Shear of a ply at a connection that pulls across its grain [NDS 2018, 3.4.3.3].

    Raises:
        CatalogueError: a timber without reference design values.
    """
    if ask.h_e >= FULL * ask.h:
        return None
    C_D, C_M = ask.combination.modification, member.C_M_SHEAR if _wet(ask.moisture) else 1.0
    F_v = _value(ask.timber, member.F_v_psi)
    b, d, d_e, to_end = (v / MM_PER_IN for v in (ask.b, ask.h, max(ask.h_e, 0.0), ask.to_end))
    V_r = member.V_r_lb(F_v * C_D * C_M, b, d, d_e, to_end)
    near = to_end < 5 * d
    return Resisted(
        V_r * N_PER_LB,
        f"{DOCUMENT}, 3.4.3.3",
        said("check.shear_near_end" if near else "check.shear_inside"),
        {
            "b": (ask.b, "mm"),
            "d": (ask.h, "mm"),
            "d_e": (ask.h_e, "mm"),
            "F_v": (F_v * MPA_PER_PSI, "N/mm2"),
            "C_D": (C_D, ""),
            "C_M": (C_M, ""),
        },
        (
            said(
                "worked.shear_at_connection",
                F_v=f"{F_v:.0f}", C_D=numeral(C_D), C_M=numeral(C_M), b=numeral(b, ".3f"),
                d_e=numeral(d_e, ".3f"), near=numeral((d_e / d) ** 2 if near else 1.0, ".3f"),
                V_r=f"{V_r:.0f}",
            ),
        ),
    )  # fmt: skip


def seat(ask: Seat) -> Resisted:
    """Compression of a ply across its grain over a bearing [NDS 2018, 3.10.2, 3.10.4].

    C_D is not put on it (2.3.2).

    Raises:
        CatalogueError: a timber without reference design values.
    """
    F_c, C_M = _value(ask.timber, member.F_c_perp_psi), member.C_M_ACROSS
    C_M = C_M if _wet(ask.moisture) else 1.0
    b, l_b = ask.b / MM_PER_IN, ask.length / MM_PER_IN
    C_b = member.C_b(l_b, min(ask.to_ends) / MM_PER_IN)
    P = member.P_perp_lb(F_c * C_M, b, l_b, C_b)
    return Resisted(
        P * N_PER_LB,
        f"{DOCUMENT}, 3.10.2, 3.10.4",
        said("check.seat_crushed"),
        {
            "b": (ask.b, "mm"),
            "l_b": (ask.length, "mm"),
            "F_c_perp": (F_c * MPA_PER_PSI, "N/mm2"),
            "C_M": (C_M, ""),
            "C_b": (C_b, ""),
        },
        (
            said(
                "worked.seat_lb",
                F_c=f"{F_c:.0f}", C_M=numeral(C_M), b=numeral(b, ".3f"), l_b=numeral(l_b, ".3f"),
                C_b=numeral(C_b, ".3f"), P=f"{P:.0f}",
            ),
        ),
    )  # fmt: skip


def _wet(moisture: str) -> bool:
    """Above 19 % in use."""
    return moisture == "wet"


def _value(timber: Timber, table: Callable[[str], float]) -> float:
    try:
        return table(timber.key)
    except RangeError:
        raise CatalogueError(
            f"timber {timber.key} has no reference design values: NDS 2018 needs a species group "
            "of its Supplement"
        ) from None
