"""Result records of the strength layer: what was asked, what is there, and how it was found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import floor, isfinite

from girderply.bases.crossing import Crossing
from girderply.errors import CheckError
from girderply.wording import Words


@dataclass(frozen=True, slots=True)
class Sweep:
    """The tightest window of a check of transfer: who needs what there, and what stands there.

    Attributes:
        chord: member id.
        loads: ids of the places whose loads must find their fasteners inside.
        needed, there: in fasteners of the main kind where `counted`, else N.
        kinds: fasteners that count at the interface, by how they cross the plies.
    """

    chord: str
    loads: tuple[str, ...]
    needed: float
    there: float
    counted: bool
    kinds: tuple[Crossing, ...] = ()


@dataclass(frozen=True, slots=True)
class Check:
    """A demand against a resistance, both magnitudes. A failed check is a result.

    This is the one place where a check comes to be, so a negative or a non-finite value ends here:
    a verdict that is "good" because a sign slipped would be printed as one.

    What it is about stands in fields of its own: ids of loads may hold dots, so an id is never
    taken apart.

    Attributes:
        about: id of the zone, or of the load whose bracket may split the chord.
        interface: that must pass the demand, 1-based; 0 for splitting.
        ply: that receives its share and may split; 0 where it is not about one.
        inputs: name -> (value, unit), every number that the clause needed, in order.
        steps: worked lines for the calculation sheet, formula with numbers; said when they are
            read.
        stack: per kind of fastener, as in `Plane`.
        window: stations between which what passes it was counted, mm.
        sweep: what was counted there; None where the check is not of transfer, or bare.

    Raises:
        CheckError: demand or resistance negative, infinite or no number.
    """

    id: str
    subject: Words
    demand: float
    resistance: float
    unit: str
    clause: str
    mode: Words = ""
    inputs: Mapping[str, tuple[float, str]] = field(default_factory=dict)
    steps: Sequence[Words] = ()
    stack: tuple[float | None, ...] = ()
    about: str = ""
    interface: int = 0
    ply: int = 0
    window: tuple[float, float] = (0.0, 0.0)
    sweep: Sweep | None = None

    def __post_init__(self) -> None:
        """Refuse what no check can be made of."""
        for name, value in (("demand", self.demand), ("resistance", self.resistance)):
            if not isfinite(value) or value < 0.0:
                raise CheckError(f"check {self.id}: {name} {value} {self.unit} is no magnitude")

    @property
    def utilisation(self) -> float:
        """Demand over resistance; infinite when nothing resists a demand."""
        if self.resistance > 0:
            return self.demand / self.resistance
        return float("inf") if self.demand > 0 else 0.0

    @property
    def percent(self) -> int | None:
        """Utilisation in whole percent as it is said everywhere; None when nothing resists.

        A failed check never reads less than 101, a good one never more than 100.
        """
        if not isfinite(self.utilisation):
            return None
        whole = floor(100 * self.utilisation + 0.5)
        return min(whole, 100) if self.ok else max(whole, 101)

    @property
    def ok(self) -> bool:
        """True when the resistance is not exceeded (to a millionth)."""
        return self.utilisation <= 1.0 + 1e-6
