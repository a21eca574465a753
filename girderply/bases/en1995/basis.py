"""The object that answers for EN 1995-1-1."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from girderply.bases.answers import (
    Across,
    Climate,
    Creep,
    Least,
    Limits,
    Place,
    Resistance,
    Resisted,
    Seat,
    SlipModulus,
    Span,
    Stuff,
    Undrilled,
    Washers,
)
from girderply.bases.cases import Hung
from girderply.bases.combining import Combination
from girderply.bases.en1995 import actions, member, placing
from girderply.bases.en1995.planes import Eurocode
from girderply.bases.finishes import LeastFinish
from girderply.bases.protocol import Basis, Fact
from girderply.bases.spec import BasisSpec, Option
from girderply.catalogue.catalogue_types import Bolt, Nail, Screw, Timber
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.standards.en1995_1_1_2014 import DOCUMENT, bolting, nailing, slip
from girderply.standards.en1995_1_1_2014.corrosion import least_protection
from girderply.standards.en1995_1_1_2014.design_values import DURATIONS
from girderply.standards.en1995_1_1_2014.spacing import a_1_bolt
from girderply.units.show import NBSP, Show
from girderply.wording import figures, numeral, said

OPTIONS = (
    Option("service_class", 1, "Service class of EN 1995-1-1, 1 to 3.", 1, 3),
    Option("gamma_permanent", 1.35, "Partial factor, permanent.", 1.0, 3.0, recommended=True),
    Option("gamma_variable", 1.5, "Partial factor, variable.", 1.0, 3.0, recommended=True),
    Option(
        "gamma_permanent_favourable", 1.0, "Partial factor, permanent where it helps.", 0.1, 1.5,
        recommended=True,
    ),
    Option("gamma_connection", 1.3, "Partial factor, connections.", 1.0, 3.0, recommended=True),
    Option(
        "split_clause", True,
        "EN 1995-1-1, 8.3.1.2(7) is in force (a national annex may drop it).", recommended=True,
    ),
)  # fmt: skip


class EN1995(Basis):
    """EN 1995-1-1 with partial factors."""

    name, document, units = "EN 1995-1-1", DOCUMENT, "metric"
    durations = DURATIONS
    usual_durations = ("permanent", "medium", "short")
    options = OPTIONS
    kinds = actions.KINDS
    case_factors = True
    girder_keys = ("split_prone",)
    screws = ""
    modification_sign = "k_mod"

    def combination(self, spec: BasisSpec, code: str) -> Combination:
        """[EN 1990:2002, 6.4.3.2, Eq. (6.10)]."""
        return actions.combination(spec, code)

    def combinations(self, spec: BasisSpec, loads: Sequence[Hung]) -> tuple[Combination, ...]:
        """[EN 1990:2002, 6.4.3.2, Eq. (6.10)]."""
        return actions.combinations(spec, loads)

    def shortest(self, spec: BasisSpec, durations: Iterable[str]) -> tuple[str, float]:
        """[EN 1995-1-1, 3.1.3(2), Table 3.1]."""
        return actions.shortest(spec, durations)

    def nail_distances(self, spec: BasisSpec, nail: Nail, hole: float, place: Place) -> Limits:
        """[EN 1995-1-1, Table 8.2; thick screws: 8.7.1(4), Table 8.4]."""
        split = bool(spec.value("split_clause"))
        return placing.nail_distances(nail, hole, place, split_clause=split)

    def bolt_distances(self, spec: BasisSpec, d: float, place: Place, loaded: bool) -> Limits:
        """[EN 1995-1-1, Table 8.4]."""
        return placing.bolt_distances(d, place, loaded)

    def point(self, nail: Nail) -> Least:
        """[EN 1995-1-1, 8.3.1.2(1), (2)]."""
        least = nailing.t_pen_min(nail.d, smooth=nail.surface == "smooth")
        return Least(least, f"{DOCUMENT}, 8.3.1.2(1) and (2)")

    def undrilled(self, nail: Nail, place: Place, show: Show) -> Undrilled | None:
        """[EN 1995-1-1, 8.3.1.1(2), 8.3.1.2(6), 10.4.5]."""
        return placing.undrilled(nail, place, show)

    def overlap(self, thickness: float, depth: float, d: float) -> str:
        """[EN 1995-1-1, 8.3.1.1(7)]."""
        may = nailing.points_may_overlap(thickness, depth, d)
        return "" if may else f"{DOCUMENT}, 8.3.1.1(7)"

    def nail_hole(self, nail: Nail, timber: Timber) -> float:
        """[EN 1995-1-1, 10.4.2(3)]."""
        return nailing.hole_max_nail(nail.d)

    def bolt_hole(self, bolt: Bolt) -> Span:
        """[EN 1995-1-1, 10.4.3(1)]."""
        return Span(bolt.d, bolting.hole_max_bolt(bolt.d), f"{DOCUMENT}, 10.4.3")

    def washers(self, bolt: Bolt) -> Washers:
        """[EN 1995-1-1, 10.4.3(2)]."""
        outer, thickness = bolting.washer_outer_min(bolt.d), bolting.washer_thickness_min(bolt.d)
        return Washers(outer, thickness, f"{DOCUMENT}, 10.4.3")

    def resistance(self, spec: BasisSpec, stuff: Stuff) -> Resistance:
        """[EN 1995-1-1, 8.2 to 8.7]."""
        return Eurocode(
            spec, stuff.timber, stuff.thickness, stuff.nails, stuff.bolts, stuff.predrilled
        )

    def across(self, spec: BasisSpec, ask: Across) -> Resisted | None:
        """[EN 1995-1-1, 8.1.4]."""
        return member.across(spec, ask)

    def seat(self, spec: BasisSpec, ask: Seat) -> Resisted:
        """[EN 1995-1-1, 6.1.5]."""
        return member.seat(ask)

    def net_section(self, hole: float) -> Least:
        """[EN 1995-1-1, 5.2(3) to (5)]."""
        return Least(a_1_bolt(hole - 1.0, 0.0) / 2, f"{DOCUMENT}, 5.2(3) to (5)")

    def finish(self, spec: BasisSpec, kind: FastenerKind, d: float, place: Climate) -> LeastFinish:
        """[EN 1995-1-1, 4.2, Table 4.1]."""
        service_class = int(spec.number("service_class"))
        found = least_protection(d, service_class, bolt=kind == FastenerKind.BOLT)
        return LeastFinish(found, f"{DOCUMENT}, 4.2, Table 4.1")

    def nail_slip(self, nail: Nail, hole: float, rho_mean: float) -> SlipModulus:
        """[EN 1995-1-1, 7.1, Table 7.1]."""
        if isinstance(nail, Screw):
            return _slip(slip.K_ser_drilled(1.1 * nail.d_root, rho_mean))
        of = slip.K_ser_drilled if hole > 0 else slip.K_ser_nail
        return _slip(of(nail.d, rho_mean))

    def bolt_slip(self, d: float, rho_mean: float) -> SlipModulus:
        """[EN 1995-1-1, 7.1, Table 7.1]."""
        return _slip(slip.K_ser_drilled(d, rho_mean))

    def ultimate(self, modulus: float) -> float:
        """[EN 1995-1-1, 2.2.2(2), Eq. (2.1)]."""
        return slip.K_u(modulus)

    def creep(self, spec: BasisSpec, moisture: str) -> Creep:
        """[EN 1995-1-1, 2.3.2.2, Table 3.2]; all of the load taken to last (psi_2 = 1)."""
        k_def = slip.k_def(int(spec.number("service_class")))
        return Creep(k_def, 2 * k_def, f"{DOCUMENT}, 2.3.2.2, Table 3.2")

    def facts(self, spec: BasisSpec, stuff: Stuff) -> Iterator[Fact]:
        """Service class, partial factor, and the clause that a national annex may drop."""
        yield said("calculation.service_class"), f"{spec.value('service_class')}"
        yield said("calculation.gamma_M"), numeral(spec.number("gamma_connection"))
        force = "in_force" if spec.value("split_clause") else "not_in_force"
        yield said("calculation.split_clause"), said(f"calculation.{force}")

    def timber_facts(self, stuff: Stuff) -> Iterator[Fact]:
        """Density."""
        rho = stuff.timber.rho_k
        density = "" if rho is None else figures(f"{rho:g}{NBSP}kg/m\u00b3")
        yield said("calculation.density"), density

    def nail_stress(self, nail: Nail) -> tuple[str, float]:
        """Tensile strength of the wire."""
        return "f_u", nail.fu


def _slip(modulus: float) -> SlipModulus:
    return SlipModulus(modulus, f"{DOCUMENT}, 7.1, Table 7.1")
