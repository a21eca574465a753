"""Result records of the strength layer: what was asked, what is there, and how it was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from girderply.errors import CheckError


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
        steps: worked lines for the calculation sheet, formula with numbers.
        stack: per kind of fastener, as in `Plane`.

    Raises:
        CheckError: demand or resistance negative, infinite or no number.
    """

    id: str
    subject: str
    demand: float
    resistance: float
    unit: str
    clause: str
    mode: str = ""
    inputs: Mapping[str, tuple[float, str]] = field(default_factory=dict)
    steps: tuple[str, ...] = ()
    stack: tuple[float | None, ...] = ()
    about: str = ""
    interface: int = 0
    ply: int = 0

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
    def ok(self) -> bool:
        """True when the resistance is not exceeded (to a millionth)."""
        return self.utilisation <= 1.0 + 1e-6


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
    mode: str
    clause: str
    inputs: Mapping[str, tuple[float, str]]
    steps: tuple[str, ...]
    stack: float | None = None


@dataclass(frozen=True, slots=True)
class Placed:
    """Where the fasteners of one class stand in a zone: stations and offsets, (m,) mm each."""

    station: NDArray[np.float64]
    offset: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.station)

    @property
    def rows(self) -> tuple[tuple[int, float], ...]:
        """Per row along the grain: number and least spacing (mm; infinite for one), by offset."""
        found = []
        offsets = np.round(self.offset, 3)
        for across in sorted(set(offsets.tolist())):
            along = np.sort(self.station[offsets == across])
            gaps = np.diff(along)
            found.append((len(along), float(gaps.min()) if len(gaps) else float("inf")))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Effective:
    """How many fasteners of one class count together, and why.

    Attributes:
        number: effective number, no unit.
        step: worked line for the calculation.
        clause: where the reduction comes from.
    """

    number: float
    step: str
    clause: str
