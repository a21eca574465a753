"""What a basis is asked with, and what it answers: plain records in N, mm, N/mm2 and rad."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

from girderply.bases.combining import Combination
from girderply.bases.crossing import Crossing, Placed
from girderply.catalogue.catalogue_types import BoltChoice, Nail, Timber
from girderply.wording import Words

Inputs = Mapping[str, tuple[float, str]]


@dataclass(frozen=True, slots=True)
class Plane:
    """Design resistance of one fastener at one interface.

    Attributes:
        interface: 1-based. value: N, with every factor of the standard, in the stack.
        table: N, the same by the standard's single shear alone.
        share: value / table.
        mode: governing mode and, in a stack, the mechanism, in words.
        clause: document and clauses.
        inputs, steps: as in `Check`.
        stack: by how much the limit analysis of the whole fastener is more than the single-shear
            value, no unit; None where the fastener crosses one interface only.
    """

    interface: int
    value: float
    table: float
    share: float
    mode: Words
    clause: str
    inputs: Inputs
    steps: tuple[Words, ...]
    stack: float | None = None


@dataclass(frozen=True, slots=True)
class Effective:
    """How many fasteners of one class count together, and why.

    Attributes:
        number: effective number, no unit.
        step: worked line for the calculation.
        clause: where the reduction comes from.
    """

    number: float
    step: Words
    clause: str


@dataclass(frozen=True)
class Stuff:
    """What the plies of one girder are made of and fastened with.

    Attributes:
        timber: of all plies. thickness: of a ply, mm.
        nails, bolts: by spec of the fasteners.
        predrilled: nails go into drilled holes.
        moisture: of the timber when made and in use, in the words of the job.
        metric: worked lines in a document's own units also say N and mm.
    """

    timber: Timber
    thickness: float
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]
    predrilled: bool = False
    moisture: str = "dry"
    metric: bool = False


class Resistance(Protocol):
    """What a basis answers about one girder's fasteners between plies."""

    def planes(
        self,
        crossing: Crossing,
        alpha: float,
        shear: tuple[float, ...],
        combination: Combination,
        boxed: bool,
    ) -> tuple[Plane, ...]:
        """Design resistance of one fastener at each interface it counts for.

        Args:
            crossing: the fastener.
            alpha: angle of the force to the grain, rad.
            shear: (n-1,) signed, the pattern of the demand at all interfaces.
            combination: duration class and modification.
            boxed: fasteners of other lengths share the interfaces.

        Returns:
            From head to point; empty where the point is too shallow to count at all.
        """

    def least_point(self, crossing: Crossing) -> float:
        """Least pointside penetration that counts, mm."""

    def at_face(self, crossing: Crossing, alpha: float, combination: Combination) -> Resisted:
        """One fixing of thin steel at the face into all plies that it crosses, in equal parts."""

    def effective(self, crossing: Crossing, placed: Placed, alpha: float) -> Effective:
        """How many of the fasteners of one class count together."""


@dataclass(frozen=True, slots=True)
class Place:
    """A member as the least distances ask for it.

    Attributes:
        alpha: largest angle of the force to the grain, rad; every angle from 0 to it counts.
        chord: loads may hang on it, so an edge or an end of it may be loaded.
        rho_k: characteristic density, kg/m3 (0 where the timber has none).
        thickness: of a ply, mm.
        predrilled: the girder is drilled for its nails. split_prone: the timber splits easily.
    """

    alpha: float
    chord: bool
    rho_k: float
    thickness: float
    predrilled: bool = False
    split_prone: bool = False


@dataclass(frozen=True, slots=True)
class Limits:
    """Least distances, mm: a1 along a row, a2 between rows, a3 to an end, a4 to an edge."""

    a1: float
    a2: float
    a3: float
    a4: float
    clause: str


@dataclass(frozen=True, slots=True)
class Least:
    """The least that is allowed, mm, and who says so."""

    value: float
    clause: str


@dataclass(frozen=True, slots=True)
class Span:
    """The least and the most that are allowed, mm, and who says so."""

    low: float
    high: float
    clause: str


@dataclass(frozen=True, slots=True)
class Washers:
    """Least washer under a bolt: side or diameter and thickness, mm; 0 for no limit."""

    outer: float
    thickness: float
    clause: str


@dataclass(frozen=True, slots=True)
class Undrilled:
    """Why a nail or screw may not go in without a hole, in words."""

    reason: Words
    clause: str


@dataclass(frozen=True, slots=True)
class Across:
    """Forces across the grain beside a connection in one ply: what 8.1.4 or 3.4.3.3 ask for.

    Attributes:
        b, h: thickness and depth of the ply's member, mm.
        h_e: from the loaded edge to the farthest fastener, mm.
        to_end: from the connection to the nearer end of the member, mm.
        timber: of the plies. moisture: as in `Stuff`.
        combination: its duration counts.
    """

    b: float
    h: float
    h_e: float
    to_end: float
    timber: Timber
    combination: Combination
    moisture: str = "dry"


@dataclass(frozen=True, slots=True)
class Seat:
    """A bearing across the grain of one ply.

    Attributes:
        b: thickness of the ply, mm. length: of the contact along the grain, mm.
        to_ends: from either end of the contact to the end of the member, mm.
        to_next: clear distance to the next force across the grain along the member, mm; 0 where
            one stands right over the bearing, which is the safe side.
        depth: of the member, mm.
        timber, combination, moisture: as in `Across`.
    """

    b: float
    length: float
    to_ends: tuple[float, float]
    depth: float
    timber: Timber
    combination: Combination
    to_next: float = 0.0
    moisture: str = "dry"


@dataclass(frozen=True, slots=True)
class Resisted:
    """A resistance of a member, N, with what it was made from.

    Attributes:
        value: design value, N, to be set against a force of the same combination.
        clause: document and clauses.
        mode: what gives way, in words.
        inputs, steps: as in `Plane`.
    """

    value: float
    clause: str
    mode: Words
    inputs: Inputs = field(default_factory=dict)
    steps: tuple[Words, ...] = ()


@dataclass(frozen=True, slots=True)
class Climate:
    """What a fastener stands in: moisture in the words of the job; chemically treated timber."""

    moisture: str = "dry"
    treated: bool = False


@dataclass(frozen=True, slots=True)
class Creep:
    """Final stiffness is the first over 1 + k, no unit: k of the timber and of its joints."""

    timber: float
    joint: float
    clause: str


@dataclass(frozen=True, slots=True)
class SlipModulus:
    """Stiffness of one fastener per interface, N/mm, and who says so."""

    value: float
    clause: str
