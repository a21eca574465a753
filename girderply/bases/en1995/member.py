"""One ply beside a connection and over a bearing, by EN 1995-1-1."""

from __future__ import annotations

from girderply.bases.answers import Across, Resisted, Seat
from girderply.bases.spec import BasisSpec
from girderply.catalogue.catalogue_types import Timber
from girderply.errors import CatalogueError, RangeError
from girderply.standards.en338_2016.classes import strength_class
from girderply.standards.en1995_1_1_2014 import DOCUMENT, compression
from girderply.standards.en1995_1_1_2014.design_values import R_d, X_d, gamma_M
from girderply.standards.en1995_1_1_2014.splitting import F_90_Rk
from girderply.wording import numeral, said

FULL = 0.99  # of the depth: the fasteners reach the far edge and cannot split it


def across(spec: BasisSpec, ask: Across) -> Resisted | None:
    """Splitting resistance of a ply against the shear beside the connection.

    [EN 1995-1-1:2004+A2:2014, 8.1.4, Eq. (8.2), (8.4)]
    """
    if ask.h_e >= FULL * ask.h:
        return None
    k_mod, gamma = ask.combination.modification, spec.number("gamma_connection")
    F_k = F_90_Rk(ask.b, ask.h, ask.h_e) if ask.h_e > 0 else 0.0
    F_d = R_d(F_k, k_mod, gamma)
    return Resisted(
        F_d,
        f"{DOCUMENT}, 8.1.4, Eq. (8.2), (8.4)",
        said("check.split_low" if ask.h_e < ask.h / 2 else "check.split_high"),
        {
            "b": (ask.b, "mm"),
            "h": (ask.h, "mm"),
            "h_e": (ask.h_e, "mm"),
            "F_90_Rk": (F_k, "N"),
            "k_mod": (k_mod, ""),
            "gamma_M": (gamma, ""),
        },
        (
            said(
                "worked.split_F_k",
                b=numeral(ask.b), h_e=numeral(ask.h_e, ".1f"), h=numeral(ask.h), F_k=f"{F_k:.0f}",
            ),
            said(
                "worked.split_F_d",
                k_mod=numeral(k_mod), F_k=f"{F_k:.0f}", gamma=numeral(gamma), F_d=f"{F_d:.0f}",
            ),
        ),
    )  # fmt: skip


def seat(ask: Seat) -> Resisted:
    """Compression of a ply across its grain over a bearing.

    [EN 1995-1-1:2004+A2:2014, 6.1.5, Eq. (6.3), (6.4)]

    Raises:
        CatalogueError: a timber without a strength class of EN 338.
    """
    k_mod, gamma = ask.combination.modification, gamma_M("solid timber")
    f_k = _f_c_90_k(ask.timber)
    f_d = X_d(f_k, k_mod, gamma)
    area = compression.A_ef(ask.b, ask.length, *ask.to_ends, ask.to_next)
    k_c = compression.k_c_90(ask.depth, ask.to_next)
    F_d = compression.F_c_90_Rd(area, f_d, k_c)
    return Resisted(
        F_d,
        f"{DOCUMENT}, 6.1.5, Eq. (6.3), (6.4)",
        said("check.seat_crushed"),
        {
            "b": (ask.b, "mm"),
            "l": (ask.length, "mm"),
            "A_ef": (area, "mm2"),
            "f_c_90_k": (f_k, "N/mm2"),
            "k_c_90": (k_c, ""),
            "k_mod": (k_mod, ""),
            "gamma_M": (gamma, ""),
        },
        (
            said(
                "worked.seat_area",
                b=numeral(ask.b), l=numeral(ask.length), area=f"{area:.0f}",
            ),
            said(
                "worked.seat_F_d",
                k_c=numeral(k_c), k_mod=numeral(k_mod), f=numeral(f_k), gamma=numeral(gamma),
                area=f"{area:.0f}", F_d=f"{F_d:.0f}",
            ),
        ),
    )  # fmt: skip


def _f_c_90_k(timber: Timber) -> float:
    try:
        return strength_class(timber.key).f_c_90_k
    except RangeError:
        raise CatalogueError(
            f"timber {timber.key} has no compressive strength across the grain: "
            "EN 1995-1-1 needs a strength class of EN 338"
        ) from None
