r"""Quantities as people read them: one unit system per job, never a mix, and no pint.

`Show(system)`, for what is decided, and `Printed(system, voice)`, where it is told, turn N, mm, rad
and kg into numbers as people read them. Metric: mm grouped by thousands, kN, kg. Imperial: feet,
inches and sixteenths (6'-3 1/2"), lbf, lb. Halves are rounded up (away from zero), as a person does
and as Python's `round` does not. The space inside a number or before a unit does not break
(U+00A0).
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Final, Generic, Literal, TypeVar

from girderply.units.exact import KG_PER_LB, MM_PER_IN, MPA_PER_PSI, N_PER_LB
from girderply.wording import Said, Voice, figures

SMALLEST_DRILL, DRILL_PLAY = 4, 0.01  # sixteenths of an inch: a size that drills are sold by

NBSP: Final = "\u00a0"
SIXTEENTHS: Final = 16

T_co = TypeVar("T_co", covariant=True)

Kind = Literal[
    "length", "small", "diameter", "force", "mass", "stress", "line_force", "stiffness", "moment"
]


@dataclass(frozen=True, slots=True)
class _Out:
    unit: str
    size: float  # internal units in one shown unit
    decimals: int
    trim: bool = False  # drop zeros after the point


_UNITS: Final[dict[str, dict[Kind, _Out]]] = {
    "metric": {
        "length": _Out("mm", 1.0, 0),
        "small": _Out("mm", 1.0, 1, trim=True),
        "diameter": _Out("mm", 1.0, 2, trim=True),
        "force": _Out("kN", 1000.0, 2),
        "mass": _Out("kg", 1.0, 1),
        "stress": _Out("N/mm²", 1.0, 2),
        "line_force": _Out("kN/m", 1.0, 2),
        "stiffness": _Out("kN/mm", 1000.0, 2),
        "moment": _Out("kNm", 1e6, 2),
    },
    "imperial": {
        "length": _Out("ft-in", MM_PER_IN, 0),
        "small": _Out("in", MM_PER_IN, 0),
        "diameter": _Out("in", MM_PER_IN, 3),
        "force": _Out("lbf", N_PER_LB, 0),
        "mass": _Out("lb", KG_PER_LB, 1),
        "stress": _Out("psi", MPA_PER_PSI, 0),
        "line_force": _Out("lbf/ft", N_PER_LB / (12 * MM_PER_IN), 0),
        "stiffness": _Out("lbf/in", N_PER_LB / MM_PER_IN, 0),
        "moment": _Out("lbf ft", N_PER_LB * 12 * MM_PER_IN, 0),
    },
}


_WIDE: Final = Context(prec=400)  # digits of the largest float, 1.8e308, and its decimals


def half_up(value: float, decimals: int = 0) -> Decimal:
    """Round with halves away from zero, as the number reads in decimal.

    Args:
        value: any finite number; noise beyond 12 significant digits is dropped first.
        decimals: digits after the point.

    Returns:
        Exactly that many decimals; never a negative zero.

    Raises:
        ValueError: not a finite number.
    """
    if not math.isfinite(value):
        raise ValueError(f"value must be a finite number, not {value}")
    exact = Decimal(f"{value:.12g}")
    rounded = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP, _WIDE)
    return abs(rounded) if rounded == 0 else rounded


@dataclass(frozen=True, slots=True)
class Numbers(ABC, Generic[T_co]):
    """Formats results in one unit system; what a number comes as is left to those below.

    Attributes:
        system: "metric" or "imperial" (a `UnitSystem` is one of these words).
    """

    system: str

    def __post_init__(self) -> None:
        """Refuse a system that is not known."""
        if self.system not in _UNITS:
            raise ValueError(f'system must be "metric" or "imperial", not "{self.system}"')

    @property
    def imperial(self) -> bool:
        """True for feet, inches and pounds."""
        return self.system == "imperial"

    def length(self, mm: float) -> T_co:
        """A dimension on a drawing: `1 204` (mm, said once per sheet) or `3'-11 3/8"`."""
        return self._as(self._length(mm))

    def station(self, mm: float) -> T_co:
        """Where on the tape: as `length`, in full millimetres or sixteenths."""
        return self.length(mm)

    def span(self, mm: float) -> T_co:
        """A length in running text, with its unit: `9 600 mm` or `31'-6"`."""
        return self._as(self._length(mm) + ("" if self.imperial else NBSP + "mm"))

    def small(self, mm: float) -> T_co:
        """A section, ply or washer size with its unit: `38 mm`, `3.5 mm` or `1 1/2"`."""
        return self._as(inches(mm)) if self.imperial else self._with_unit(mm, "small")

    def diameter(self, mm: float) -> T_co:
        """A shank or hole: `3.1 mm`, `0.148 in`, and what a drill is sold by, `9/16"`."""
        sixteenths = mm / MM_PER_IN * 16
        whole = abs(sixteenths - round(sixteenths)) < DRILL_PLAY
        if self.imperial and sixteenths >= SMALLEST_DRILL and whole:
            return self.small(mm)
        return self._with_unit(mm, "diameter")

    def force(self, newton: float) -> T_co:
        """A force with its unit: `6.20 kN` or `1,394 lbf`."""
        return self._with_unit(newton, "force")

    def mass(self, kg: float) -> T_co:
        """A mass with its unit: whole from 100 on, else one decimal."""
        out = _UNITS[self.system]["mass"]
        decimals = 0 if abs(kg) >= 100 * out.size else 1
        return self._as(self._number(kg / out.size, decimals) + NBSP + out.unit)

    def stress(self, n_per_mm2: float) -> T_co:
        """A stress with its unit: `18.93 N/mm²` or `2,746 psi`."""
        return self._with_unit(n_per_mm2, "stress")

    def line_force(self, n_per_mm: float) -> T_co:
        """A force per length with its unit: `3.33 kN/m` or `228 lbf/ft`."""
        return self._with_unit(n_per_mm, "line_force")

    def angle(self, rad: float) -> T_co:
        """An angle in degrees, one decimal: `22.5°`, in both systems."""
        return self._as(f"{half_up(math.degrees(rad), 1)}°")

    def pitch(self, rad: float) -> T_co:
        """A roof slope: `26.6°`, in an imperial job rise in twelve: `6:12`."""
        if not self.imperial:
            return self.angle(rad)
        return self._as(f"{_plain(half_up(12 * math.tan(rad), 2))}:12")

    def percent(self, share: float) -> T_co:
        """A share or a utilisation: 0.84 is `84 %`."""
        return self._as(f"{half_up(100 * share)}{NBSP}%")

    def unit(self, kind: Kind) -> str:
        """The unit's label for the head of a column; lengths of an imperial job are `ft-in`."""
        return _UNITS[self.system][kind].unit

    def value(self, internal: float, kind: Kind) -> T_co:
        """The number alone, for a column whose head carries `unit(kind)`.

        Args:
            internal: in N, mm, kg, N/mm2, N/mm.
            kind: what it is; imperial lengths and small sizes carry their own foot and inch marks.

        Returns:
            Text with the decimals of its kind.
        """
        return self._as(self._value(internal, kind))

    def number(self, value: float, decimals: int = 0) -> T_co:
        """A plain number, thousands grouped: `1 204` or, in an imperial job, `1,204`."""
        return self._as(self._number(value, decimals))

    @abstractmethod
    def _as(self, written: str) -> T_co:
        """A number as English writes it, in the form that is wanted."""

    def _length(self, mm: float) -> str:
        return feet_inches(mm) if self.imperial else self._value(mm, "length")

    def _with_unit(self, internal: float, kind: Kind) -> T_co:
        return self._as(self._value(internal, kind) + NBSP + self.unit(kind))

    def _value(self, internal: float, kind: Kind) -> str:
        out = _UNITS[self.system][kind]
        if self.imperial and kind in {"length", "small"}:
            return feet_inches(internal) if kind == "length" else inches(internal)
        text = self._number(internal / out.size, out.decimals)
        return _trimmed(text) if out.trim else text

    def _number(self, value: float, decimals: int = 0) -> str:
        grouped = f"{half_up(value, decimals):,f}"
        return grouped if self.imperial else grouped.replace(",", NBSP)


@dataclass(frozen=True, slots=True)
class Show(Numbers[Said]):
    """Numbers of what is decided, in no language yet."""

    system: str = "metric"

    def _as(self, written: str) -> Said:
        return figures(written)


@dataclass(frozen=True, slots=True)
class Printed(Numbers[str]):
    """Numbers as text where they are told.

    Attributes:
        voice: that tells them.
    """

    voice: Voice

    def _as(self, written: str) -> str:
        return self.voice.told(figures(written))


def feet_inches(mm: float) -> str:
    """A length in feet and inches to the nearest sixteenth: `6'-3 1/2"`; under a foot `3 1/2"`."""
    total = _sixteenths(mm)
    feet, rest = divmod(abs(total), 12 * SIXTEENTHS)
    if not feet:
        return _sign(total) + _inch_text(rest)
    zero = f"0{NBSP}" if 0 < rest < SIXTEENTHS else ""  # 1'-0 1/2", never 1'-1/2"
    return f"{_sign(total)}{feet}'-{zero}{_inch_text(rest)}"


def inches(mm: float) -> str:
    """A size in inches only, to the nearest sixteenth: `13 1/4"`."""
    total = _sixteenths(mm)
    return _sign(total) + _inch_text(abs(total))


def _sixteenths(mm: float) -> int:
    return int(half_up(mm / MM_PER_IN * SIXTEENTHS))


def _sign(total: int) -> str:
    return "-" if total < 0 else ""


def _inch_text(sixteenths: int) -> str:
    whole, part = divmod(sixteenths, SIXTEENTHS)
    if not part:
        return f'{whole}"'
    common = math.gcd(part, SIXTEENTHS)
    fraction = f"{part // common}/{SIXTEENTHS // common}"
    return f'{whole}{NBSP}{fraction}"' if whole else f'{fraction}"'


def _plain(number: Decimal) -> str:
    return _trimmed(f"{number:f}")


def _trimmed(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text
