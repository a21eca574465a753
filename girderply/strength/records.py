"""Result records of the strength layer: what was asked, what is there, and how it was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Check:
    """A demand against a resistance. A failed check is a result, not an exception.

    Attributes:
        inputs: name -> (value, unit), every number that the clause needed, in order.
        steps: worked lines for the calculation sheet, formula with numbers.
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
