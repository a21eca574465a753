"""The questions that every design basis answers, and how one that does not is refused.

A new basis is one class in one module of this package:

    class Basis2025(Basis):
        name, document, units = "XX 2025", "XX 2025, edition 1", "metric"
        ...

    BASIS = Basis2025()

What it does not answer is refused by its name where it is asked; nothing answers in its place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NoReturn, Protocol

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
from girderply.bases.finishes import LeastFinish
from girderply.bases.spec import BasisSpec, Kind, Option
from girderply.catalogue.catalogue_types import Bolt, Nail, Timber
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import UnansweredError
from girderply.units.show import Show
from girderply.wording import Words

Fact = tuple[Words, Words]


class Basis(Protocol):
    """A design basis; stateless. What a job chose of it comes as a `BasisSpec`.

    Attributes:
        name: as a job gives it. document: with its edition, as sheets print it.
        units: "metric" or "imperial": jobs in that system that name no basis take this one.
    """

    name: str
    document: str
    units: str

    # What a job may say.

    @property
    def durations(self) -> tuple[str, ...]:
        """Load-duration classes, the longest first."""
        self.refuse("its load durations")

    @property
    def usual_durations(self) -> tuple[str, str, str]:
        """Of the permanent part, the variable part and the uplift, where a job says nothing."""
        self.refuse("the usual load durations")

    @property
    def options(self) -> tuple[Option, ...]:
        """Keys of [basis] that are its own."""
        self.refuse("the choices it leaves to a job")

    @property
    def girder_keys(self) -> tuple[str, ...]:
        """Keys of [girder] that only some bases read, and this one does."""
        self.refuse("the keys of the girder that it reads")

    @property
    def screws(self) -> str:
        """Why screws by their own declaration do not count, or an empty string where they do."""
        self.refuse("screws by their own declaration")

    # Actions.

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """Kinds of load cases."""
        self.refuse("the kinds of its load cases")

    @property
    def case_factors(self) -> bool:
        """Whether a load case may give its own combination factor."""
        self.refuse("whether load cases have combination factors")

    def combination(self, spec: BasisSpec, code: str) -> Combination:
        """One combination of the short way: P, PV, U or D, as in `Combination`."""
        self.refuse(f"combination {code} of actions")

    def combinations(self, spec: BasisSpec, loads: Sequence[Hung]) -> tuple[Combination, ...]:
        """Every combination that these loads make, of the short way or of the job's load cases."""
        self.refuse("the combinations of actions")

    def shortest(self, spec: BasisSpec, durations: Iterable[str]) -> tuple[str, float]:
        """The duration that governs a combination, and the modification that goes with it."""
        self.refuse("the modification for load duration")

    # Where fasteners may stand.

    def nail_distances(self, spec: BasisSpec, nail: Nail, hole: float, place: Place) -> Limits:
        """Least distances of a nail or screw; `hole` drilled for it, mm, 0 for none."""
        self.refuse("least distances of nails and screws")

    def bolt_distances(self, spec: BasisSpec, d: float, place: Place, loaded: bool) -> Limits:
        """Least distances of a bolt of diameter `d`, mm; `loaded`: it carries from ply to ply."""
        self.refuse("least distances of bolts")

    def point(self, nail: Nail) -> Least:
        """Least depth of a point in the last ply that it is to hold."""
        self.refuse("the least penetration of a point")

    def undrilled(self, nail: Nail, place: Place, show: Show) -> Undrilled | None:
        """Why a nail or screw may not go into this timber without a hole; None where it may."""
        self.refuse("what may be driven without a hole")

    def overlap(self, thickness: float, depth: float, d: float) -> str:
        """Clause that points from both faces break in one ply, or an empty string; mm."""
        self.refuse("how far points may overlap")

    def nail_hole(self, nail: Nail, timber: Timber) -> float:
        """Greatest hole that may be drilled for a nail, mm."""
        self.refuse("the hole of a nail")

    def bolt_hole(self, bolt: Bolt) -> Span:
        """Diameter of the hole of a bolt."""
        self.refuse("the hole of a bolt")

    def washers(self, bolt: Bolt) -> Washers:
        """Least washer of a bolt."""
        self.refuse("the washer of a bolt")

    # What carries.

    def resistance(self, spec: BasisSpec, stuff: Stuff) -> Resistance:
        """What fasteners between the plies of one girder resist, and how many count together."""
        self.refuse("the resistance of a plane, or the effective number")

    def across(self, spec: BasisSpec, ask: Across) -> Resisted | None:
        """What one ply resists beside a connection that pulls across its grain.

        It stands against the design shear of the ply's member beside the connection, N. None where
        the connection reaches so far across that the document asks for nothing.
        """
        self.refuse("splitting or shear at a connection")

    def seat(self, spec: BasisSpec, ask: Seat) -> Resisted:
        """What one ply resists across its grain over a bearing."""
        self.refuse("bearing across the grain")

    def net_section(self, hole: float) -> Least:
        """How near along the grain holes (mm) count in one section."""
        self.refuse("holes in one section")

    def finish(self, spec: BasisSpec, kind: FastenerKind, d: float, place: Climate) -> LeastFinish:
        """Least finish of a nail, screw or bolt of diameter `d`, mm."""
        self.refuse("the finish of fasteners")

    # How it gives.

    def nail_slip(self, nail: Nail, hole: float, rho_mean: float) -> SlipModulus:
        """Slip modulus of a nail or screw in use; `hole` mm, `rho_mean` kg/m3."""
        self.refuse("the slip of nails and screws")

    def bolt_slip(self, d: float, rho_mean: float) -> SlipModulus:
        """Slip modulus of a bolt in use; its hole's clearance is slip besides."""
        self.refuse("the slip of bolts")

    def ultimate(self, modulus: float) -> float:
        """Slip modulus at the ultimate state from that in use, N/mm."""
        self.refuse("the slip modulus at the ultimate state")

    def creep(self, spec: BasisSpec, moisture: str) -> Creep:
        """How much softer timber and joints become under lasting loads."""
        self.refuse("creep of joints")

    # What its sheets say.

    @property
    def modification_sign(self) -> str:
        """Symbol of the modification for load duration."""
        self.refuse("the symbol of its modification factor")

    def facts(self, spec: BasisSpec, stuff: Stuff) -> Iterator[Fact]:
        """Name and value of each choice, for the calculation sheet."""
        self.refuse("what its sheets say of the choices")

    def timber_facts(self, stuff: Stuff) -> Iterator[Fact]:
        """Name and value of what it reads of the timber."""
        self.refuse("what its sheets say of the timber")

    def nail_stress(self, nail: Nail) -> tuple[str, float]:
        """Symbol and size of the strength that it reads of a nail, N/mm2."""
        self.refuse("what its sheets say of nails")

    def refuse(self, question: str) -> NoReturn:
        """What answers every question that a basis leaves open.

        Raises:
            UnansweredError: always, with the name of the basis and the question.
        """
        raise UnansweredError(f"design basis {self.name} does not answer: {question}")
