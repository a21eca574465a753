"""The one place where pint is used: how big a unit is, in N, mm, kg and rad.

A registry of our own few definitions knows no unit that has no business in a job of timber
girders. pint takes longer to load than a girder takes to lay out, so the units that nearly every
job is written in are known without it; a test holds each of them against pint, to the last bit.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import TYPE_CHECKING, Final, Literal

from girderply.units.exact import KG_PER_LB, MM_PER_IN, N_PER_LB

if TYPE_CHECKING:
    from pint import UnitRegistry

Dimension = Literal["length", "force", "angle", "slope", "mass", "stress"]

UNITS: Final[dict[Dimension, tuple[str, ...]]] = {
    "length": ("mm", "cm", "m", "in", "ft"),
    "force": ("N", "kN", "lbf", "kip"),
    "angle": ("deg", "rad"),
    "slope": ("deg", "rad"),
    "mass": ("kg", "g", "t", "lb", "oz"),
    "stress": ("N/mm2", "MPa", "kN/m2", "psi", "ksi"),
}
"""Units that a job may write, by dimension, as a message lists them."""

SYNONYMS: Final[dict[str, str]] = {
    "'": "ft",
    "\u2032": "ft",
    "\u2019": "ft",
    '"': "in",
    "\u2033": "in",
    "\u201d": "in",
    "inch": "in",
    "inches": "in",
    "feet": "ft",
    "foot": "ft",
    "\u00b0": "deg",
    "degree": "deg",
    "degrees": "deg",
    "lbs": "lb",
    "kips": "kip",
    "N/mm\u00b2": "N/mm2",
    "kN/m\u00b2": "kN/m2",
}
"""Other ways to write a unit; `lb` is a mass only, a force in pounds is `lbf`."""

# International yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, both exact;
# standard gravity 9.80665 m/s2 (third CGPM, 1901).
_DEFINITIONS: Final = (
    "millimetre = [length] = mm",
    "cm = 10 mm",
    "m = 1000 mm",
    "inch = 25.4 mm = in",
    "ft = 12 inch",
    "newton = [force] = N",
    "kN = 1000 newton",
    "lbf = 0.45359237 * 9.80665 newton",
    "kip = 1000 lbf",
    "radian = [angle] = rad",
    f"deg = {math.pi!r} / 180 radian",
    "kilogram = [mass] = kg",
    "g = 0.001 kilogram",
    "t = 1000 kilogram",
    "lb = 0.45359237 kilogram",
    "oz = 1 / 16 lb",
    "MPa = 1 newton / millimetre ** 2",
    "psi = 1 lbf / inch ** 2",
    "ksi = 1000 psi",
)

_BASE: Final[dict[Dimension, str]] = {
    "length": "millimetre",
    "force": "newton",
    "angle": "radian",
    "slope": "radian",
    "mass": "kilogram",
    "stress": "newton / millimetre ** 2",
}

# What the definitions above come to, to the last bit.
_COMMON: Final[dict[str, float]] = {
    "mm": 1.0,
    "m": 1000.0,
    "in": MM_PER_IN,
    "ft": 12 * MM_PER_IN,
    "N": 1.0,
    "kN": 1000.0,
    "lbf": N_PER_LB,
    "deg": math.pi / 180,
    "rad": 1.0,
    "kg": 1.0,
    "lb": KG_PER_LB,
    "N/mm2": 1.0,
}


@cache
def _registry() -> UnitRegistry[float]:
    import pint  # noqa: PLC0415  a job in common units never needs it

    registry: UnitRegistry[float] = pint.UnitRegistry(None)
    registry.load_definitions(list(_DEFINITIONS))
    return registry


@cache
def factor(unit: str, dimension: Dimension) -> float:
    """How many internal units one `unit` is.

    Args:
        unit: one of `UNITS[dimension]`.
        dimension: what it measures.

    Returns:
        Factor to mm, N, rad, kg or N/mm2.

    Raises:
        KeyError: the unit is not one of this dimension.
    """
    if unit not in UNITS[dimension]:
        raise KeyError(unit)
    return _COMMON[unit] if unit in _COMMON else by_pint(unit, dimension)


def by_pint(unit: str, dimension: Dimension) -> float:
    """As `factor`, worked out by pint from the definitions, whatever the unit."""
    expression = re.sub(r"(?<=m)2\b", "**2", unit)
    return float(_registry()(expression).to(_BASE[dimension]).magnitude)


def dimension_of(unit: str) -> Dimension | None:
    """The dimension that a unit measures, or None for a unit that is not known."""
    return next((d for d, words in UNITS.items() if unit in words), None)
