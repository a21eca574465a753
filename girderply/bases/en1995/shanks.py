"""What a shear plane needs of a nail, a screw or a bolt by EN 1995-1-1: bearing, bending, pulling.

Worked lines are in N and mm, as the standard.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from girderply.catalogue.catalogue_types import BoltChoice, Nail, Screw
from girderply.errors import RangeError
from girderply.standards.en338_2016.classes import strength_class
from girderply.standards.en1993_1_8_2005.bolts import A_s, F_t_Rk
from girderply.standards.en1995_1_1_2014 import embedment, screws, withdrawal
from girderply.standards.en1995_1_1_2014.yield_moment import M_y_Rk_bolt, M_y_Rk_nail
from girderply.wording import Said, Words, figures, numeral, said
from girderply.wording.words import duration_words

DOC = "EN 1995-1-1:2004+A2:2014"
_KIND = {"smooth": "round nail", "square": "square nail", "other": "other nail"}
_LASTING = ("permanent", "long")
Axial = tuple[float, Said]  # N, and its worked line


@dataclass(frozen=True, slots=True)
class Shank:
    """What the shear plane needs of a fastener; lengths mm, strengths N/mm2, M_y Nmm."""

    d: float
    f_h: float
    M_y: float
    rope_share: float
    steps: tuple[Words, ...]
    inputs: Mapping[str, tuple[float, str]]
    clause: str


def nail_shank(nail: Nail, rho: float, alpha: float, *, drilled: bool) -> Shank:
    """A nail [EN 1995-1-1:2004+A2:2014, 8.3.1.1]; `alpha` rad, `rho` kg/m3."""
    d = nail.d
    f_h = embedment.f_h_k(d, rho, alpha, bolt=False, predrilled=drilled)
    M_y = M_y_Rk_nail(d, nail.fu, nail.surface)
    first = 0.45 if nail.surface == "square" else 0.30
    return Shank(
        d,
        f_h,
        M_y,
        withdrawal.rope_limit(_KIND[nail.surface]),
        (
            _bearing_words(d, rho, f_h, drilled=drilled),
            said(
                "worked.nail_yield",
                first=numeral(first, ".2f"),
                fu=numeral(nail.fu),
                d=numeral(d),
                M_y=f"{M_y:.0f}",
            ),
        ),
        {"d": (d, "mm"), "f_u": (nail.fu, "N/mm2"), "rho_k": (rho, "kg/m3")},
        f"{DOC}, 8.2.2, 8.3.1",
    )


def bolt_shank(choice: BoltChoice, rho: float, alpha: float) -> Shank:
    """A bolt [EN 1995-1-1:2004+A2:2014, 8.5.1.1]; `alpha` rad, `rho` kg/m3."""
    d, fu = choice.bolt.d, choice.bolt.fu
    f_h = embedment.f_h_alpha_k(d, rho, alpha)
    M_y = M_y_Rk_bolt(d, fu)
    return Shank(
        d,
        f_h,
        M_y,
        withdrawal.rope_limit("bolt"),
        (
            *_bolt_bearing_words(d, rho, alpha, f_h),
            said("worked.bolt_yield", fu=numeral(fu), d=numeral(d), M_y=f"{M_y:.0f}"),
        ),
        {"d": (d, "mm"), "f_u": (fu, "N/mm2"), "rho_k": (rho, "kg/m3"), "alpha": (alpha, "rad")},
        f"{DOC}, 8.2.2, 8.5.1",
    )


def screw_shank(screw: Screw, rho: float, alpha: float, point: float, *, drilled: bool) -> Shank:
    """A screw by its effective diameter and its declared yield moment.

    [EN 1995-1-1:2004+A2:2014, 8.7.1]

    Args:
        screw: as declared.
        rho: characteristic density, kg/m3.
        alpha: angle of the force to the grain, rad.
        point: how deep the screw is in the ply of its point, mm.
        drilled: a hole is drilled for it.
    """
    smooth = max(0.0, point - screw.thread)
    d_ef = screws.d_ef_screw(screw.d, screw.d_shank, screw.d_root, smooth)
    like_bolt = screws.screw_counts_as_bolt(d_ef)
    f_h = embedment.f_h_k(d_ef, rho, alpha, bolt=like_bolt, predrilled=drilled)
    why = (
        said("worked.screw_smooth", smooth=numeral(smooth, ".1f"))
        if screw.d_shank >= screw.d and smooth >= 4 * screw.d
        else figures(f"1.1 x {screw.d_root:g}")
    )
    bearing = (
        _bolt_bearing_words(d_ef, rho, alpha, f_h)
        if like_bolt
        else (_bearing_words(d_ef, rho, f_h, drilled=drilled),)
    )
    inputs = {
        "d": (screw.d, "mm"),
        "d_ef": (d_ef, "mm"),
        "rho_k": (rho, "kg/m3"),
        **({"alpha": (alpha, "rad")} if like_bolt else {}),
    }
    return Shank(
        d_ef,
        f_h,
        screw.M_y,
        withdrawal.rope_limit("screw"),
        (
            said("worked.screw_d_ef", d_ef=numeral(d_ef, ".2f"), why=why),
            *bearing,
            said("worked.screw_yield", M_y=f"{screw.M_y:.0f}", source=screw.source),
        ),
        inputs,
        f"{DOC}, 8.2.2, 8.7.1, {'8.5.1' if like_bolt else '8.3.1'}",
    )


def nail_axial(nail: Nail, rho: float, lengths: tuple[float, ...], duration: str) -> Axial:
    """Withdrawal resistance of a nail for the rope effect, N, and its worked line."""
    if nail.surface == "other":
        return 0.0, said("worked.no_withdrawal")
    if duration in _LASTING:
        return 0.0, said("worked.smooth_lasting", duration=duration_words(duration))
    t_pen = lengths[-1]
    F_ax = withdrawal.F_ax_Rk_smooth(rho, rho, nail.d, nail.head, lengths[0], t_pen)
    factor = withdrawal.penetration_factor(t_pen, nail.d, threaded=False)
    least = (
        f"20e-6 x {rho:g}^2 x {factor:.2f} x {nail.d:g} x {t_pen:.1f}; 20e-6 x {rho:g}^2 x "
        f"{nail.d:g} x {lengths[0]:.1f} + 70e-6 x {rho:g}^2 x {nail.head:g}^2"
    )
    return F_ax, said("worked.nail_withdrawal", least=figures(least), F_ax=f"{F_ax:.0f}")


def bolt_axial(choice: BoltChoice, timber: str) -> Axial:
    """Resistance of a bolt under its washers for the rope effect, N, and its worked line."""
    bolt, washer = choice.bolt, choice.washer
    try:
        f_c_90 = strength_class(timber).f_c_90_k
    except RangeError:
        return 0.0, said("worked.no_bearing_strength", timber=timber)
    tension = F_t_Rk(bolt.fu, A_s(bolt.d, bolt.pitch))
    area = withdrawal.washer_area(washer.outer, max(washer.hole, bolt.hole), washer.shape)
    under = withdrawal.F_ax_Rk_washer(area, f_c_90)
    F_ax = withdrawal.F_ax_Rk_bolt(tension, under)
    return F_ax, said(
        "worked.bolt_withdrawal",
        tension=f"{tension:.0f}", f_c_90=numeral(f_c_90), area=f"{area:.0f}",
        under=f"{under:.0f}", F_ax=f"{F_ax:.0f}",
    )  # fmt: skip


def screw_axial(screw: Screw, rho: float, thread: float) -> Axial:
    """Withdrawal, pulling through and tension of a screw for the rope effect, N.

    [EN 1995-1-1:2004+A2:2014, 8.7.2(4) to (7), Eq. (8.40a), (8.40b), (8.40c)]

    Args:
        screw: as declared; its axis is across the grain.
        rho: characteristic density, kg/m3.
        thread: length of thread in the ply of the point, mm.
    """
    least = 6 * screw.d
    if thread < least - 1e-6:
        return 0.0, said(
            "worked.short_thread",
            thread=numeral(thread, ".1f"), d=numeral(screw.d), least=numeral(least),
        )  # fmt: skip
    out = screws.F_ax_Rk_screw(screw.f_ax, screw.d, thread, rho, screw.rho_a, math.pi / 2)
    head = screws.F_head_Rk_screw(screw.f_head, screw.head, rho, screw.rho_a)
    F_ax = min(out, head, screw.tension)
    dense = f"({rho:g}/{screw.rho_a:g})^0.8"
    return F_ax, said(
        "worked.screw_withdrawal",
        out=figures(f"{screw.f_ax:g} x {screw.d:g} x {thread:.1f} x {dense} = {out:.0f}"),
        head=figures(f"{screw.f_head:g} x {screw.head:g}^2 x {dense} = {head:.0f}"),
        tension=f"{screw.tension:.0f}", F_ax=f"{F_ax:.0f}",
    )  # fmt: skip


def _bearing_words(d: float, rho: float, f_h: float, *, drilled: bool) -> Said:
    formula = f"0.082 (1 - 0.01 x {d:g}) {rho:g}" if drilled else f"0.082 x {rho:g} x {d:g}^-0.3"
    equation = "(8.16)" if drilled else "(8.15)"
    return said(
        "worked.bearing",
        formula=figures(formula), f_h=numeral(f_h, ".2f"), equation=equation,
    )  # fmt: skip


def _bolt_bearing_words(d: float, rho: float, alpha: float, f_h: float) -> tuple[Words, Words]:
    f_0, k_90, angle = embedment.f_h_0_k(d, rho), embedment.k_90(d), math.degrees(alpha)
    at = numeral(angle, ".1f")
    return (
        said("worked.bearing_0", d=numeral(d), rho=numeral(rho), f_0=numeral(f_0, ".2f")),
        said(
            "worked.bearing_alpha",
            f_0=numeral(f_0, ".2f"), k_90=numeral(k_90, ".3f"), at=at, f_h=numeral(f_h, ".2f"),
        ),
    )  # fmt: skip
