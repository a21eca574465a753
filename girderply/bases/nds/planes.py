"""One fastener at one interface by NDS 2018: yield modes, stack, adjustment factors.

Worked lines are in inches, pounds and psi, as the document; results are in N.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from girderply.bases.answers import Effective, Plane, Resisted
from girderply.bases.combining import Combination
from girderply.bases.crossing import Crossing, Placed
from girderply.bases.dowel.mechanisms import Factors
from girderply.bases.dowel.stack import Stack
from girderply.bases.dowel.through import InStack, behind_steel, in_stack, pattern_for
from girderply.bases.dowel.through import bearing as bearing_lengths
from girderply.catalogue.catalogue_types import BoltChoice, Nail, Timber
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import CatalogueError
from girderply.standards.nds_2018 import (
    adjustment,
    bearing,
    geometry,
    group_action,
    yield_modes,
)
from girderply.standards.nds_2018.penetration import l_m_nail_in, p_min_in
from girderply.units.exact import MM_PER_IN, MPA_PER_PSI, N_PER_LB
from girderply.wording import Words, figures, numeral, said

DOC = "NDS 2018"
E_UNKNOWN_PSI = 1.4e6  # modulus of Table 11.3.6A's reference rows, where a timber gives none
POINT_D = 2.0  # tapered point of a nail in diameters, NDS 2018, 12.3.5.3 (2 D is usual)


@dataclass(frozen=True, slots=True)
class Dowel:
    """A fastener in inches, pounds, psi."""

    D: float
    F_e: float
    F_yb: float
    theta: float
    steps: tuple[Words, ...]

    @property
    def q(self) -> float:
        """Bearing strength times diameter, N/mm."""
        return self.F_e * self.D * N_PER_LB / MM_PER_IN

    @property
    def M_y(self) -> float:
        """F_yb D^3 / 6, Nmm."""
        return self.F_yb * self.D**3 / 6 * N_PER_LB * MM_PER_IN

    def stack(self, lengths: tuple[float, ...]) -> Stack:
        """The fastener in plies of these bearing lengths (in), in N and mm."""
        mm = tuple(v * MM_PER_IN for v in lengths)
        return Stack(mm, (self.q,) * len(mm), self.M_y)

    def factors(self) -> Factors:
        """1 / R_d by mechanism: I for crushing, II without hinge, III with one, IV with two."""
        terms = (yield_modes.R_d(m, self.D, self.theta) for m in ("Im", "II", "IIIm", "IV"))
        return Factors(*(1.0 / R_d for R_d in terms))


@dataclass(frozen=True)
class AllowableStress:
    """The standard with the choices of one job.

    Attributes:
        nails, bolts: by spec. thickness: of a ply, mm.
        wet: above 19 % moisture in service. made_wet: when the fasteners are driven.
        metric: results also in N in the worked lines.
    """

    timber: Timber
    thickness: float
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]
    wet: bool = False
    made_wet: bool = False
    metric: bool = False

    def planes(
        self,
        crossing: Crossing,
        alpha: float,
        shear: tuple[float, ...],
        combination: Combination,
        boxed: bool,
    ) -> tuple[Plane, ...]:
        """Adjusted design value of one fastener at each interface it counts for.

        [NDS 2018, 11.3.1, 12.3.1]

        Args and Returns as for `Eurocode.planes`.
        """
        dowel = self.dowel(crossing, alpha)
        interfaces, lengths = bearing_lengths(crossing, self.thickness, self.least_point(crossing))
        if not interfaces:
            return ()
        inches = self._bearing_in(crossing, interfaces, lengths, dowel.D)
        stack = dowel.stack(inches)
        through = in_stack(stack, pattern_for(interfaces, shear), boxed, dowel.factors())
        return tuple(
            self._plane(k, (inches[i], inches[i + 1]), dowel, through[i], combination)
            for i, k in enumerate(interfaces)
        )

    def least_point(self, crossing: Crossing) -> float:
        """Least pointside penetration, mm: 6 D; 0 for bolts [NDS 2018, 12.1.6.4]."""
        if crossing.kind == FastenerKind.BOLT:
            return 0.0
        return p_min_in(self.nails[crossing.spec].d / MM_PER_IN) * MM_PER_IN

    def at_face(self, crossing: Crossing, alpha: float, combination: Combination) -> Resisted:
        """One fixing of thin steel at the face into all plies that it crosses, in equal parts.

        [NDS 2018, 11.3.1, 12.3.1, Table 12.3.1A] with a side plate so thin that it holds the
        fixing as a hinge does: modes II and IIIs of one ply are then its limit over R_d. Chapter
        12 has no plate before several members; the same limit analysis of the stack stands for it.
        """
        dowel = self.dowel(crossing, alpha)
        interfaces, lengths = bearing_lengths(crossing, self.thickness, self.least_point(crossing))
        limit, r = 0.0, len(crossing.plies)
        inches: tuple[float, ...] = ()
        if len(lengths) == r:
            inches = self._bearing_in(crossing, interfaces, lengths, dowel.D)
            mm = tuple(v * MM_PER_IN for v in inches)
            limit = behind_steel(mm, dowel.q, dowel.M_y, dowel.factors()).multiplier / N_PER_LB
        C_D = combination.modification
        C_M = adjustment.C_M(wet_fabricated=self.made_wet, wet_service=self.wet, D_in=dowel.D)
        value = adjustment.Z_adjusted_lb(limit, C_D=C_D, C_M=C_M) if limit else 0.0
        return Resisted(
            value * N_PER_LB,
            f"{DOC}, 12.3.1, 11.3.1",
            said("check.fixing_mode"),
            {"D": (dowel.D * MM_PER_IN, "mm"), "C_D": (C_D, ""), "Z'": (value * N_PER_LB, "N")},
            (
                *dowel.steps,
                said(
                    "worked.face_stack_lb", plies=r, limit=f"{limit:.1f}",
                    lengths=figures(", ".join(f"{v:.3f}" for v in inches)),
                ),
                said(
                    "worked.face_adjusted", C_D=numeral(C_D), C_M=numeral(C_M), Z=f"{limit:.1f}",
                    value=f"{value:.1f}",
                ),
            ),
        )  # fmt: skip

    def effective(self, crossing: Crossing, placed: Placed, alpha: float) -> Effective:
        """How many of the fasteners of one class count together: n C_g C_delta.

        [NDS 2018, 11.3.6, 12.5.1.2]

        A row runs along the load: from 45 degrees to the grain on, only fasteners at one station
        are a row; its members' area is then the ply's thickness times the fasteners' spacing along
        the chord (footnote of Table 11.3.6A). Below 1/4 in both factors are 1.
        """
        n, D = len(placed), self._D(crossing)
        if D < bearing.SMALL_IN:
            return Effective(n, said("worked.small_dowels", count=n), f"{DOC}, 12.5.1.2")
        C_g = self._group(placed, D, alpha)
        gap = min((g for _, g in placed.rows), default=math.inf)
        spacing = None if math.isinf(gap) else gap / MM_PER_IN
        C_delta = geometry.C_delta(D, 7 * D, "end perpendicular", spacing)
        return Effective(
            n * C_g * C_delta,
            said(
                "worked.group_action",
                count=n,
                C_g=numeral(C_g, ".3f"),
                C_delta=numeral(C_delta, ".3f"),
                number=numeral(n * C_g * C_delta, ".2f"),
            ),
            f"{DOC}, 11.3.6, 12.5.1.2",
        )

    def dowel(self, crossing: Crossing, theta: float) -> Dowel:
        """Bearing and bending strength of a fastener, with worked lines."""
        if self.timber.G is None:
            raise CatalogueError(
                f"timber {self.timber.key} has no specific gravity: NDS 2018 needs a species group"
            )
        D = self._D(crossing)
        F_e = bearing.F_e_psi(self.timber.G, D, theta)
        F_yb = self._F_yb(crossing, D)
        known = {"D": numeral(D, ".3f"), "G": numeral(self.timber.G), "F_e": f"{F_e:.0f}"}
        angle = numeral(math.degrees(theta), ".1f")
        return Dowel(
            D,
            F_e,
            F_yb,
            theta,
            (
                said("worked.dowel_bearing_at", angle=angle, **known)
                if D >= bearing.SMALL_IN
                else said("worked.dowel_bearing", **known),
                said("worked.dowel_yield", F_yb=f"{F_yb:.0f}"),
            ),
        )

    def _D(self, crossing: Crossing) -> float:
        if crossing.kind == FastenerKind.BOLT:
            return self.bolts[crossing.spec].bolt.d / MM_PER_IN
        return self.nails[crossing.spec].d / MM_PER_IN

    def _F_yb(self, crossing: Crossing, D: float) -> float:
        if crossing.kind == FastenerKind.BOLT:
            bolt = self.bolts[crossing.spec].bolt
            return min(bearing.F_YB_BOLT_PSI, (bolt.fy + bolt.fu) / 2 / MPA_PER_PSI)
        own = self.nails[crossing.spec].f_yb
        return bearing.F_yb_nail_psi(D) if own is None else own / MPA_PER_PSI

    def _bearing_in(
        self,
        crossing: Crossing,
        interfaces: tuple[int, ...],
        lengths: tuple[float, ...],
        D: float,
    ) -> tuple[float, ...]:
        """Bearing lengths in inches; the tapered point of a nail that ends inside is deducted."""
        inches = [length / MM_PER_IN for length in lengths]
        ends_inside = len(interfaces) == len(crossing.interfaces) and not crossing.protrudes
        if crossing.kind == FastenerKind.NAIL and ends_inside:
            inches[-1] = l_m_nail_in(inches[-1], D, POINT_D * D)
        return tuple(inches)

    def _group(self, placed: Placed, D: float, alpha: float) -> float:
        """C_g of the fullest row along the load."""
        along, across = placed.station, placed.offset
        if alpha < math.pi / 4:
            along, across = across, along
        lines, counts = np.unique(np.round(along, 1), return_counts=True)
        n = int(counts.max())
        if n == 1:
            return 1.0
        row = np.sort(across[np.round(along, 1) == lines[int(counts.argmax())]])
        apart = np.diff(lines)
        wide = float(apart.min()) if len(apart) else 4 * D * MM_PER_IN
        E = (self.timber.E_mean or E_UNKNOWN_PSI * MPA_PER_PSI) / MPA_PER_PSI
        EA = E * self.thickness * wide / MM_PER_IN**2
        return min(1.0, group_action.C_g(n, float(np.diff(row).min()) / MM_PER_IN, EA, EA, D))

    def _plane(
        self,
        interface: int,
        lengths: tuple[float, float],
        dowel: Dowel,
        through: InStack,
        combination: Combination,
    ) -> Plane:
        l_s, l_m = lengths
        loads = yield_modes.yield_loads_single_lb(
            dowel.D, l_m, l_s, dowel.F_e, dowel.F_e, dowel.F_yb
        )
        reference = yield_modes.reference_Z_lb(loads, dowel.D, dowel.theta)
        mode, Z = reference.governing, reference.Z_lb
        C_D = combination.modification
        C_M = adjustment.C_M(wet_fabricated=self.made_wet, wet_service=self.wet, D_in=dowel.D)
        table = adjustment.Z_adjusted_lb(Z, C_D=C_D, C_M=C_M)
        value = table * through.share
        R_d = yield_modes.R_d(mode, dowel.D, dowel.theta)
        listed = ", ".join(f"{m} {v:.0f}" for m, v in reference.modes.items())
        adjusted = {
            "Z": numeral(Z, ".1f"), "share": numeral(through.share, ".3f"), "C_D": numeral(C_D),
            "C_M": numeral(C_M), "value": numeral(value, ".1f"),
        }  # fmt: skip
        steps = (
            *dowel.steps,
            said(
                "worked.yield_modes",
                l_s=numeral(l_s, ".3f"),
                l_m=numeral(l_m, ".3f"),
                modes=listed,
            ),
            said(
                "worked.governing_Z",
                mode=mode,
                load=f"{loads[mode]:.0f}",
                R_d=numeral(R_d, ".2f"),
                Z=numeral(Z, ".1f"),
            ),
            through.words(inches=True),
            said("worked.adjusted_N", newton=f"{value * N_PER_LB:.0f}", **adjusted)
            if self.metric
            else said("worked.adjusted", **adjusted),
        )
        inputs = {
            "D": (dowel.D * MM_PER_IN, "mm"),
            "G": (self.timber.G or 0.0, ""),
            "F_e": (dowel.F_e * MPA_PER_PSI, "N/mm2"),
            "F_yb": (dowel.F_yb * MPA_PER_PSI, "N/mm2"),
            "l_s": (l_s * MM_PER_IN, "mm"),
            "l_m": (l_m * MM_PER_IN, "mm"),
            "theta": (dowel.theta, "rad"),
            "R_d": (R_d, ""),
            "Z": (Z * N_PER_LB, "N"),
            "stack share": (through.share, ""),
            "C_D": (C_D, ""),
            "C_M": (C_M, ""),
            "Z'": (value * N_PER_LB, "N"),
        }
        named: Words = mode
        if through.planes > 1:
            mechanism = through.mechanism.words(inches=True)
            named = said("check.mode_in_stack", mode=mode, mechanism=mechanism)
        return Plane(
            interface,
            value * N_PER_LB,
            table * N_PER_LB,
            through.share,
            named,
            f"{DOC}, 12.3.1",
            inputs,
            steps,
            through.difference,
        )
