"""One fastener at one interface by EN 1995-1-1: Johansen, rope effect, stack, design value.

All plies are alike and the force between them is vertical, so both members of a shear plane have
one embedment strength and beta = 1; the worked lines are written so, in N and mm as the standard.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from girderply.catalogue.types import BoltChoice, Nail, Timber
from girderply.errors import CatalogueError, RangeError
from girderply.jobfile.job import BasisSpec
from girderply.standards.en338_2016.classes import strength_class
from girderply.standards.en1993_1_8_2005.bolts import A_s, F_t_Rk
from girderply.standards.en1995_1_1_2014 import embedment, group, johansen, withdrawal
from girderply.standards.en1995_1_1_2014.basis import R_d
from girderply.standards.en1995_1_1_2014.nailing import t_pen_min
from girderply.standards.en1995_1_1_2014.yield_moment import M_y_Rk_bolt, M_y_Rk_nail
from girderply.strength.columns import Crossing
from girderply.strength.demand import Combination
from girderply.strength.mechanisms import Factors
from girderply.strength.records import Effective, Placed, Plane
from girderply.strength.stack import Stack
from girderply.strength.through import InStack, bearing, in_stack, pattern_for

DOC = "EN 1995-1-1:2004+A2:2014"
_KIND = {"smooth": "round nail", "square": "square nail", "other": "other nail"}
_LASTING = ("permanent", "long")


FACTORS = Factors(1.0, 1.0, johansen.ONE_HINGE, johansen.TWO_HINGES)  # 8.2.2(1)


@dataclass(frozen=True, slots=True)
class Shank:
    """What the shear plane needs of a fastener; lengths mm, strengths N/mm2, M_y Nmm."""

    d: float
    f_h: float
    M_y: float
    rope_share: float
    steps: tuple[str, ...]
    inputs: Mapping[str, tuple[float, str]]
    clause: str


@dataclass(frozen=True)
class Eurocode:
    """The standard with the choices of one job.

    Attributes:
        nails, bolts: by spec. thickness: of a ply, mm.
        predrilled: nails go into drilled holes.
    """

    basis: BasisSpec
    timber: Timber
    thickness: float
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]
    predrilled: bool = False

    @property
    def rho_k(self) -> float:
        """Characteristic density, kg/m3; CatalogueError where the timber has none."""
        if self.timber.rho_k is None:
            raise CatalogueError(
                f"timber {self.timber.key} has no characteristic density: "
                "EN 1995-1-1 needs a strength class of EN 338"
            )
        return self.timber.rho_k

    def planes(
        self,
        crossing: Crossing,
        alpha: float,
        shear: tuple[float, ...],
        combination: Combination,
        boxed: bool,
    ) -> tuple[Plane, ...]:
        """Design resistance of one fastener at each interface it counts for.

        [EN 1995-1-1:2004+A2:2014, 8.2.2, 8.3.1, 8.5.1, 2.4.3]

        Args:
            crossing: the fastener.
            alpha: angle of the force to the grain, rad.
            shear: (n-1,) signed, the pattern of the demand at all interfaces.
            combination: duration class and k_mod.
            boxed: fasteners of other lengths share the interfaces.

        Returns:
            From head to point; empty where the point is too shallow to count at all.
        """
        shank = self.shank(crossing, alpha)
        interfaces, lengths = bearing(crossing, self.thickness, self.least_point(crossing))
        if not interfaces:
            return ()
        stack = Stack(lengths, (shank.f_h * shank.d,) * len(lengths), shank.M_y)
        through = in_stack(stack, pattern_for(interfaces, shear), boxed, FACTORS)
        F_ax = self._axial(crossing, lengths, combination)
        return tuple(
            self._plane(k, (lengths[i], lengths[i + 1]), shank, F_ax, through[i], combination)
            for i, k in enumerate(interfaces)
        )

    def least_point(self, crossing: Crossing) -> float:
        """Least pointside penetration, mm: 8 d smooth, 6 d other nails; 0 for bolts [8.3.1.2]."""
        if crossing.kind == "bolt":
            return 0.0
        nail = self.nails[crossing.spec]
        return t_pen_min(nail.d, smooth=nail.surface == "smooth")

    def effective(self, crossing: Crossing, placed: Placed, alpha: float) -> Effective:
        """How many of the fasteners of one class count together.

        [EN 1995-1-1:2004+A2:2014, 8.1.2(5), 8.3.1.1(8), 8.5.1.1(4)]

        Nails: the component along the grain is set against n_ef of each row, the whole force
        against n. Bolts: n_ef of each row, interpolated to n across the grain.
        """
        if crossing.kind == "bolt":
            return self._effective_bolts(crossing, placed, alpha)
        return self._effective_nails(crossing, placed, alpha)

    def shank(self, crossing: Crossing, alpha: float) -> Shank:
        """Embedment and yield moment of a fastener, with worked lines."""
        if crossing.kind == "bolt":
            return self._bolt(self.bolts[crossing.spec], alpha)
        return self._nail(self.nails[crossing.spec], alpha, crossing.drilled or self.predrilled)

    def _nail(self, nail: Nail, alpha: float, drilled: bool) -> Shank:
        d, rho = nail.d, self.rho_k
        f_h = embedment.f_h_k(d, rho, alpha, bolt=False, predrilled=drilled)
        M_y = M_y_Rk_nail(d, nail.fu, nail.surface)
        formula = (
            f"0.082 (1 - 0.01 x {d:g}) {rho:g}" if drilled else f"0.082 x {rho:g} x {d:g}^-0.3"
        )
        equation = "(8.16)" if drilled else "(8.15)"
        first = 0.45 if nail.surface == "square" else 0.30
        return Shank(
            d,
            f_h,
            M_y,
            withdrawal.rope_limit(_KIND[nail.surface]),
            (
                f"f_h,k = {formula} = {f_h:.2f} N/mm2 [8.3.1.1(5), Eq. {equation}]",
                f"M_y,Rk = {first:.2f} x {nail.fu:g} x {d:g}^2.6 = {M_y:.0f} Nmm "
                "[8.3.1.1(4), Eq. (8.14)]",
            ),
            {"d": (d, "mm"), "f_u": (nail.fu, "N/mm2"), "rho_k": (rho, "kg/m3")},
            f"{DOC}, 8.2.2, 8.3.1",
        )

    def _bolt(self, choice: BoltChoice, alpha: float) -> Shank:
        d, rho, fu = choice.bolt.d, self.rho_k, choice.bolt.fu
        f_0, k_90 = embedment.f_h_0_k(d, rho), embedment.k_90(d)
        f_h = embedment.f_h_alpha_k(d, rho, alpha)
        M_y = M_y_Rk_bolt(d, fu)
        angle = math.degrees(alpha)
        return Shank(
            d,
            f_h,
            M_y,
            withdrawal.rope_limit("bolt"),
            (
                f"f_h,0,k = 0.082 (1 - 0.01 x {d:g}) {rho:g} = {f_0:.2f} N/mm2 "
                "[8.5.1.1(2), Eq. (8.32)]",
                f"f_h,alpha,k = {f_0:.2f} / ({k_90:.3f} sin^2 {angle:.1f} + cos^2 {angle:.1f}) "
                f"= {f_h:.2f} N/mm2 [Eq. (8.31), (8.33)]",
                f"M_y,Rk = 0.3 x {fu:g} x {d:g}^2.6 = {M_y:.0f} Nmm [8.5.1.1(1), Eq. (8.30)]",
            ),
            {
                "d": (d, "mm"),
                "f_u": (fu, "N/mm2"),
                "rho_k": (rho, "kg/m3"),
                "alpha": (alpha, "rad"),
            },
            f"{DOC}, 8.2.2, 8.5.1",
        )

    def _axial(
        self, crossing: Crossing, lengths: tuple[float, ...], combination: Combination
    ) -> tuple[float, str]:
        """Withdrawal resistance for the rope effect, N, and its worked line."""
        if crossing.kind == "bolt":
            return self._axial_bolt(self.bolts[crossing.spec])
        nail = self.nails[crossing.spec]
        if nail.surface == "other":
            return 0.0, "F_ax,Rk = 0: no declared withdrawal strength, so no rope effect is counted"
        if combination.duration in _LASTING:
            return 0.0, (
                f"F_ax,Rk = 0: smooth nails do not carry {combination.duration} axial load, "
                "so no rope effect is counted [8.3.2(1)]"
            )
        rho, t_pen = self.rho_k, lengths[-1]
        F_ax = withdrawal.F_ax_Rk_smooth(rho, rho, nail.d, nail.head, lengths[0], t_pen)
        factor = withdrawal.penetration_factor(t_pen, nail.d, threaded=False)
        return F_ax, (
            f"F_ax,Rk = min(20e-6 x {rho:g}^2 x {factor:.2f} x {nail.d:g} x {t_pen:.1f}; "
            f"20e-6 x {rho:g}^2 x {nail.d:g} x {lengths[0]:.1f} + 70e-6 x {rho:g}^2 x "
            f"{nail.head:g}^2) = {F_ax:.0f} N [8.3.2(4), (6), (7)]"
        )

    def _axial_bolt(self, choice: BoltChoice) -> tuple[float, str]:
        bolt, washer = choice.bolt, choice.washer
        try:
            f_c_90 = strength_class(self.timber.key).f_c_90_k
        except RangeError:
            return 0.0, f"F_ax,Rk = 0: f_c,90,k of {self.timber.key} is not known"
        tension = F_t_Rk(bolt.fu, A_s(bolt.d, bolt.pitch))
        area = withdrawal.washer_area(washer.outer, max(washer.hole, bolt.hole), washer.shape)
        under = withdrawal.F_ax_Rk_washer(area, f_c_90)
        F_ax = withdrawal.F_ax_Rk_bolt(tension, under)
        return F_ax, (
            f"F_ax,Rk = min(F_t,Rk = {tension:.0f} N; 3 x {f_c_90:g} x {area:.0f} = {under:.0f} N) "
            f"= {F_ax:.0f} N [8.5.2]"
        )

    def _plane(
        self,
        interface: int,
        t: tuple[float, float],
        shank: Shank,
        axial: tuple[float, str],
        through: InStack,
        combination: Combination,
    ) -> Plane:
        d, f_h, M_y = shank.d, shank.f_h, shank.M_y
        parts = johansen.single_shear(t[0], t[1], f_h, f_h, d, M_y)
        modes = johansen.with_rope(parts, axial[0], shank.rope_share)
        letter, F_v = modes.governing, modes.F_v_Rk
        k_mod, gamma = combination.modification, self.basis.gamma_connection
        table = R_d(F_v, k_mod, gamma)
        value = R_d(F_v * through.share, k_mod, gamma)
        listed = ", ".join(f"({m}) {v:.0f}" for m, v in parts.items())
        steps = (
            *shank.steps,
            f"t_1 = {t[0]:.1f} mm, t_2 = {t[1]:.1f} mm; Johansen parts: {listed} N "
            "[8.2.2, Eq. (8.6)]",
            f"governing ({letter}): {worked(letter, t, shank)} = {parts[letter]:.0f} N",
            axial[1],
            f"F_v,Rk = {parts[letter]:.0f} + min({axial[0]:.0f}/4; {shank.rope_share:g} x "
            f"{parts[letter]:.0f}) = {F_v:.0f} N [8.2.2(2)]"
            if letter not in "ab"
            else f"F_v,Rk = {F_v:.0f} N, no rope effect in mode ({letter}) [8.2.2(2)]",
            through.words(),
            f"F_v,Rd = {k_mod:g} x {through.share:.3f} x {F_v:.0f} / {gamma:g} = {value:.0f} N "
            "[2.4.3, Eq. (2.17)]",
        )
        inputs = {
            **shank.inputs,
            "t_1": (t[0], "mm"),
            "t_2": (t[1], "mm"),
            "f_h_k": (f_h, "N/mm2"),
            "M_y_Rk": (M_y, "Nmm"),
            "F_ax_Rk": (axial[0], "N"),
            "F_v_Rk": (F_v, "N"),
            "stack share": (through.share, ""),
            "k_mod": (k_mod, ""),
            "gamma_M": (gamma, ""),
            "F_v_Rd": (value, "N"),
        }
        stack = "" if through.planes == 1 else f"; in the stack: {through.mechanism.text}"
        clause = f"{shank.clause}, Eq. (8.6)"
        return Plane(
            interface, value, table, through.share, f"({letter}){stack}", clause, inputs, steps
        )

    def _effective_nails(self, crossing: Crossing, placed: Placed, alpha: float) -> Effective:
        n, d, clause = len(placed), self.nails[crossing.spec].d, f"{DOC}, 8.3.1.1(8)"
        along = abs(math.cos(alpha))
        drilled = crossing.drilled or self.predrilled
        n_ef = sum(_nail_row(count, gap, d, drilled) for count, gap in placed.rows)
        if along < 1e-6:
            return Effective(n, f"n = {n}: force across the grain, all count", clause)
        number = min(float(n), n_ef / along)
        return Effective(
            number,
            f"n = min({n}; n_ef / |cos alpha| = {n_ef:.2f} / {along:.3f}) = {number:.2f} "
            "[8.1.2(5), 8.3.1.1(8)]",
            clause,
        )

    def _effective_bolts(self, crossing: Crossing, placed: Placed, alpha: float) -> Effective:
        n, d = len(placed), self.bolts[crossing.spec].bolt.d
        number = sum(
            1.0 if count == 1 else group.n_ef_bolts(count, gap, d, alpha)
            for count, gap in placed.rows
        )
        return Effective(
            number,
            f"n_ef = {number:.2f} of {n} at {math.degrees(alpha):.1f} degrees to the grain, "
            "row by row [8.5.1.1(4)]",
            f"{DOC}, 8.5.1.1(4)",
        )


def _nail_row(count: int, gap: float, d: float, drilled: bool) -> float:
    """Effective number of one row; nails closer than the table allows count as if spread out."""
    least = (4.0 if drilled else 7.0) * d
    if count > 1 and gap < least - 1e-6:
        count = max(1, int((count - 1) * gap / least) + 1)
    if count == 1:
        return 1.0
    exponent = group.k_ef(max(gap, least), d, predrilled=drilled)
    return group.n_ef_nails(count, exponent)


def worked(letter: str, t: tuple[float, float], shank: Shank) -> str:
    """The formula of a mode with its numbers, for two members of one embedment strength."""
    f, d, M = f"{shank.f_h:.2f}", f"{shank.d:g}", f"{shank.M_y:.0f}"
    t_1, t_2, r = f"{t[0]:.1f}", f"{t[1]:.1f}", f"{t[1] / t[0]:.3f}"

    def hinged(length: str) -> str:
        return (
            f"1.05 x {f} x {length} x {d} / 3 x (sqrt(4 + 12 x {M} / ({f} x {d} x {length}^2)) - 1)"
        )

    return {
        "a": f"{f} x {t_1} x {d}",
        "b": f"{f} x {t_2} x {d}",
        "c": f"{f} x {t_1} x {d} / 2 x (sqrt(1 + 2 (1 + {r} + {r}^2) + {r}^2) - (1 + {r}))",
        "d": hinged(t_1),
        "e": hinged(t_2),
        "f": f"1.15 x sqrt(2 x {M} x {f} x {d})",
    }[letter]
