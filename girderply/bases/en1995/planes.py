"""One fastener at one interface by EN 1995-1-1: Johansen, rope effect, stack, design value.

All plies are alike and the force between them is vertical, so both members of a shear plane have
one embedment strength and beta = 1; the worked lines are written so, in N and mm as the standard.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from girderply.bases.answers import Effective, Plane, Resisted
from girderply.bases.combining import Combination
from girderply.bases.crossing import Crossing, Placed
from girderply.bases.dowel.mechanisms import Factors
from girderply.bases.dowel.stack import Stack
from girderply.bases.dowel.through import InStack, bearing, behind_steel, in_stack, pattern_for
from girderply.bases.en1995.shanks import (
    DOC,
    Axial,
    Shank,
    bolt_axial,
    bolt_shank,
    nail_axial,
    nail_shank,
    screw_axial,
    screw_shank,
)
from girderply.bases.spec import BasisSpec
from girderply.catalogue.catalogue_types import BoltChoice, Nail, Screw, Timber
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import CatalogueError
from girderply.standards.en1995_1_1_2014 import group, johansen
from girderply.standards.en1995_1_1_2014.design_values import R_d
from girderply.standards.en1995_1_1_2014.nailing import t_pen_min
from girderply.standards.en1995_1_1_2014.screws import screw_counts_as_bolt
from girderply.wording import Words, figures, numeral, said

# In Eq. (8.9), a fixing in thin steel, 0.4 stands for sqrt(2) - 1.
AT_FACE = Factors(0.4 / (2**0.5 - 1), 0.4 / (2**0.5 - 1), 1.0, 1.0)
FACTORS = Factors(1.0, 1.0, johansen.ONE_HINGE, johansen.TWO_HINGES)  # 8.2.2(1)


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
        """Least pointside penetration, mm: 8 d smooth, 6 d other nails and screws; 0 for bolts.

        [EN 1995-1-1:2004+A2:2014, 8.3.1.2(1), (2), 8.7.1]
        """
        if crossing.kind == FastenerKind.BOLT:
            return 0.0
        nail = self.nails[crossing.spec]
        return t_pen_min(nail.d, smooth=nail.surface == "smooth")

    def effective(self, crossing: Crossing, placed: Placed, alpha: float) -> Effective:
        """How many of the fasteners of one class count together.

        [EN 1995-1-1:2004+A2:2014, 8.1.2(5), 8.3.1.1(8), 8.5.1.1(4), 8.7.1(4), (5)]

        Nails and thin screws: the component along the grain is set against n_ef of each row, the
        whole force against n. Bolts and thick screws: n_ef of each row, interpolated to n across
        the grain.
        """
        if crossing.kind == FastenerKind.BOLT:
            d = self.bolts[crossing.spec].bolt.d
            return self._effective_bolts(d, placed, alpha)
        nail = self.nails[crossing.spec]
        if isinstance(nail, Screw) and screw_counts_as_bolt(self.shank(crossing, alpha).d):
            return self._effective_bolts(nail.d, placed, alpha)
        return self._effective_nails(crossing, placed, alpha)

    def at_face(self, crossing: Crossing, alpha: float, combination: Combination) -> Resisted:
        """One fixing of thin steel at the face into all plies that it crosses, in equal parts.

        [EN 1995-1-1:2004+A2:2014, 8.2.3(1), Eq. (8.9)] is the case of one ply: 0.4 f_h t d, and two
        hinges with 1.15, which is not credited here, nor the rope effect.
        """
        shank = self.shank(crossing, alpha)
        _, lengths = bearing(crossing, self.thickness, self.least_point(crossing))
        r = len(crossing.plies)
        f, value, limit = shank.f_h * shank.d, 0.0, 0.0
        if len(lengths) == r:
            limit = behind_steel(lengths, f, shank.M_y, AT_FACE).multiplier
            value = R_d(limit, combination.modification, self.basis.number("gamma_connection"))
        return Resisted(
            value,
            f"{DOC}, 8.2.3, 8.2.2",
            said("check.fixing_mode"),
            {**shank.inputs, "F_v_Rd": (value, "N")},
            (
                *shank.steps,
                said(
                    "worked.face_stack",
                    plies=r, f=numeral(f, ".1f"), M_y=f"{shank.M_y:.0f}", limit=f"{limit:.0f}",
                    lengths=figures(", ".join(f"{v:.1f}" for v in lengths)),
                ),
                said(
                    "worked.face_design",
                    k_mod=numeral(combination.modification), limit=f"{limit:.0f}",
                    gamma=numeral(self.basis.number("gamma_connection")), value=f"{value:.0f}",
                ),
            ),
        )  # fmt: skip

    def shank(self, crossing: Crossing, alpha: float) -> Shank:
        """Embedment and yield moment of a fastener, with worked lines."""
        if crossing.kind == FastenerKind.BOLT:
            return bolt_shank(self.bolts[crossing.spec], self.rho_k, alpha)
        nail, drilled = self.nails[crossing.spec], crossing.drilled or self.predrilled
        if isinstance(nail, Screw):
            return screw_shank(nail, self.rho_k, alpha, crossing.point_depth, drilled=drilled)
        return nail_shank(nail, self.rho_k, alpha, drilled=drilled)

    def _axial(
        self, crossing: Crossing, lengths: tuple[float, ...], combination: Combination
    ) -> Axial:
        """Withdrawal resistance for the rope effect, N, and its worked line."""
        if crossing.kind == FastenerKind.BOLT:
            return bolt_axial(self.bolts[crossing.spec], self.timber.key)
        nail = self.nails[crossing.spec]
        if isinstance(nail, Screw):
            return screw_axial(nail, self.rho_k, _thread_inside(nail, crossing, lengths))
        return nail_axial(nail, self.rho_k, lengths, combination.duration)

    def _plane(
        self,
        interface: int,
        t: tuple[float, float],
        shank: Shank,
        axial: Axial,
        through: InStack,
        combination: Combination,
    ) -> Plane:
        d, f_h, M_y = shank.d, shank.f_h, shank.M_y
        parts = johansen.single_shear(t[0], t[1], f_h, f_h, d, M_y)
        modes = johansen.with_rope(parts, axial[0], shank.rope_share)
        letter, F_v = modes.governing, modes.F_v_Rk
        k_mod, gamma = combination.modification, self.basis.number("gamma_connection")
        table = R_d(F_v, k_mod, gamma)
        value = R_d(F_v * through.share, k_mod, gamma)
        listed, part = ", ".join(f"({m}) {v:.0f}" for m, v in parts.items()), parts[letter]
        steps = (
            *shank.steps,
            said(
                "worked.johansen",
                t_1=numeral(t[0], ".1f"), t_2=numeral(t[1], ".1f"), parts=listed,
            ),
            said(
                "worked.governing",
                mode=letter, formula=figures(worked(letter, t, shank)), value=f"{part:.0f}",
            ),
            axial[1],
            said(
                "worked.rope",
                part=f"{part:.0f}", axial=f"{axial[0]:.0f}", share=numeral(shank.rope_share),
                F_v=f"{F_v:.0f}",
            )
            if letter not in "ab"
            else said("worked.no_rope", F_v=f"{F_v:.0f}", mode=letter),
            through.words(),
            said(
                "worked.design",
                k_mod=numeral(k_mod), share=numeral(through.share, ".3f"), F_v=f"{F_v:.0f}",
                gamma=numeral(gamma), value=f"{value:.0f}",
            ),
        )  # fmt: skip
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
        mode: Words = f"({letter})"
        if through.planes > 1:
            mode = said("check.mode_in_stack", mode=mode, mechanism=through.mechanism.text)
        clause = f"{shank.clause}, Eq. (8.6)"
        return Plane(
            interface, value, table, through.share, mode, clause, inputs, steps, through.difference
        )

    def _effective_nails(self, crossing: Crossing, placed: Placed, alpha: float) -> Effective:
        n, d, clause = len(placed), self.nails[crossing.spec].d, f"{DOC}, 8.3.1.1(8)"
        along = abs(math.cos(alpha))
        if along < 1e-6:
            return Effective(n, said("worked.all_count", count=n), clause)
        drilled = crossing.drilled or self.predrilled
        n_ef = sum(_nail_row(count, gap, d, drilled) for count, gap in placed.rows)
        number = min(float(n), n_ef / along)
        return Effective(
            number,
            said(
                "worked.nail_rows",
                count=n,
                n_ef=numeral(n_ef, ".2f"),
                along=numeral(along, ".3f"),
                number=numeral(number, ".2f"),
            ),
            clause,
        )

    def _effective_bolts(self, d: float, placed: Placed, alpha: float) -> Effective:
        n = len(placed)
        number = sum(
            1.0 if count == 1 else group.n_ef_bolts(count, gap, d, alpha)
            for count, gap in placed.rows
        )
        return Effective(
            number,
            said(
                "worked.bolt_rows",
                number=numeral(number, ".2f"),
                count=n,
                angle=numeral(math.degrees(alpha), ".1f"),
            ),
            f"{DOC}, 8.5.1.1(4)",
        )


def _thread_inside(screw: Screw, crossing: Crossing, lengths: tuple[float, ...]) -> float:
    """Length of thread in the last ply that counts, mm; none where the point comes out."""
    if crossing.protrudes:
        return 0.0
    beyond = crossing.point_depth if len(lengths) < len(crossing.plies) else 0.0
    return min(max(screw.thread - beyond, 0.0), lengths[-1])


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
