"""The object that answers for NDS."""

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
from girderply.bases.finishes import BARE, HOT_DIP, LeastFinish
from girderply.bases.nds import actions, member, placing
from girderply.bases.nds.planes import AllowableStress
from girderply.bases.protocol import Basis, Fact
from girderply.bases.spec import BasisSpec, Option
from girderply.catalogue.catalogue_types import Bolt, Nail, Timber
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.standards.en1995_1_1_2014 import DOCUMENT as EN_DOCUMENT
from girderply.standards.en1995_1_1_2014 import slip
from girderply.standards.nds_2018 import DOCUMENT
from girderply.standards.nds_2018.shear_and_bearing import K_CR_SEASONED, K_CR_UNSEASONED
from girderply.units.exact import MM_PER_IN
from girderply.units.show import Show
from girderply.wording import numeral, said

PRACTICE = "common practice for treated or wet timber, no source"
HOLE_OVER = (MM_PER_IN / 32, MM_PER_IN / 16)  # how much larger than the bolt its hole is, 12.1.3.2
SLIP = f"{EN_DOCUMENT}, 7.1, Table 7.1 ({DOCUMENT} gives no slip modulus)"


class NDS(Basis):
    """NDS with allowable stresses."""

    name, document, units = "NDS 2018", DOCUMENT, "imperial"
    durations = actions.DURATIONS
    usual_durations = ("permanent", "two months", "ten minutes")
    options: tuple[Option, ...] = ()
    kinds = actions.KINDS
    case_factors = False
    girder_keys = ("moisture", "treated")
    screws = "declared values of a screw are European ones"
    modification_sign = "C_D"

    def combination(self, spec: BasisSpec, code: str) -> Combination:
        """[NDS 2018, 1.4.4; ASCE/SEI 7-16, 2.4.1]."""
        return actions.combination(spec, code)

    def combinations(self, spec: BasisSpec, loads: Sequence[Hung]) -> tuple[Combination, ...]:
        """[ASCE/SEI 7-16, 2.4.1]."""
        return actions.combinations(spec, loads)

    def shortest(self, spec: BasisSpec, durations: Iterable[str]) -> tuple[str, float]:
        """[NDS 2018, 2.3.2, 11.3.2]."""
        return actions.shortest(durations)

    def nail_distances(self, spec: BasisSpec, nail: Nail, hole: float, place: Place) -> Limits:
        """[NDS 2018 Commentary, Table C12.1.6.6]."""
        return placing.nail_distances(nail.d, place)

    def bolt_distances(self, spec: BasisSpec, d: float, place: Place, loaded: bool) -> Limits:
        """[NDS 2018, Tables 12.5.1A to D]."""
        return placing.bolt_distances(d, place, loaded)

    def point(self, nail: Nail) -> Least:
        """[NDS 2018, 12.1.6.4]."""
        return placing.point(nail.d)

    def undrilled(self, nail: Nail, place: Place, show: Show) -> Undrilled | None:
        """It names no least thickness."""
        return None

    def overlap(self, thickness: float, depth: float, d: float) -> str:
        """It has no rule for points from both faces."""
        return ""

    def nail_hole(self, nail: Nail, timber: Timber) -> float:
        """[NDS 2018, 12.1.6.3]."""
        return placing.nail_hole(nail.d, timber.G)

    def bolt_hole(self, bolt: Bolt) -> Span:
        """[NDS 2018, 12.1.3.2]."""
        low, high = HOLE_OVER
        return Span(bolt.d + low, bolt.d + high, f"{DOCUMENT}, 12.1.3.2")

    def washers(self, bolt: Bolt) -> Washers:
        """It asks for a washer and gives no size."""
        return Washers(0.0, 0.0, f"{DOCUMENT}, 12.1.3.3")

    def resistance(self, spec: BasisSpec, stuff: Stuff) -> Resistance:
        """[NDS 2018, chapters 11 and 12]."""
        return AllowableStress(
            stuff.timber,
            stuff.thickness,
            stuff.nails,
            stuff.bolts,
            wet=stuff.moisture == "wet",
            made_wet=stuff.moisture != "dry",
            metric=stuff.metric,
        )

    def across(self, spec: BasisSpec, ask: Across) -> Resisted | None:
        """[NDS 2018, 3.4.3.3]."""
        return member.across(ask)

    def seat(self, spec: BasisSpec, ask: Seat) -> Resisted:
        """[NDS 2018, 3.10.2, 3.10.4]."""
        return member.seat(ask)

    def net_section(self, hole: float) -> Least:
        """[NDS 2018, 3.1.2]: holes nearer along the grain than four diameters."""
        return Least(4 * (hole - HOLE_OVER[1]), f"{DOCUMENT}, 3.1.2")

    def finish(self, spec: BasisSpec, kind: FastenerKind, d: float, place: Climate) -> LeastFinish:
        """Practice for treated timber and wet use; the document gives no finish."""
        worn = place.treated or place.moisture == "wet"
        return LeastFinish(HOT_DIP if worn else BARE, PRACTICE)

    def nail_slip(self, nail: Nail, hole: float, rho_mean: float) -> SlipModulus:
        """[EN 1995-1-1, Table 7.1], for want of one of its own."""
        of = slip.K_ser_drilled if hole > 0 else slip.K_ser_nail
        return SlipModulus(of(nail.d, rho_mean), SLIP)

    def bolt_slip(self, d: float, rho_mean: float) -> SlipModulus:
        """[EN 1995-1-1, Table 7.1], for want of one of its own."""
        return SlipModulus(slip.K_ser_drilled(d, rho_mean), SLIP)

    def ultimate(self, modulus: float) -> float:
        """[EN 1995-1-1, 2.2.2(2), Eq. (2.1)], for want of one of its own."""
        return slip.K_u(modulus)

    def creep(self, spec: BasisSpec, moisture: str) -> Creep:
        """[NDS 2018, 3.5.2] of timber; it has nothing of joints, which creep twice as much here."""
        k = (K_CR_SEASONED if moisture == "dry" else K_CR_UNSEASONED) - 1.0
        return Creep(k, 2 * k, f"{DOCUMENT}, 3.5.2")

    def facts(self, spec: BasisSpec, stuff: Stuff) -> Iterator[Fact]:
        """Allowable stress, and the moisture."""
        yield said("calculation.design"), said("calculation.allowable")
        words = said(f"calculation.moisture_{stuff.moisture.split(',')[0].replace(' ', '_')}")
        yield said("calculation.moisture"), words

    def timber_facts(self, stuff: Stuff) -> Iterator[Fact]:
        """Specific gravity."""
        gravity = stuff.timber.G
        yield said("calculation.gravity"), numeral(gravity) if gravity is not None else ""

    def nail_stress(self, nail: Nail) -> tuple[str, float]:
        """Bending yield strength."""
        return "F_yb", nail.f_yb or 0.0
