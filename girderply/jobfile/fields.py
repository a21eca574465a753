"""The kinds of value that a job file holds: quantities, names, dates; what each one allows.

Validators run with the context `{"system": "metric" | "imperial"}`, which says what a bare
number is in. Each kind also describes itself to an editor (JSON Schema).
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, Final

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, GetCoreSchemaHandler
from pydantic import GetJsonSchemaHandler as JsonHandler
from pydantic_core import CoreSchema, core_schema

from girderply.units.parse import BARE_UNIT, Dimension, parse_quantity
from girderply.units.pint_units import SYNONYMS, UNITS
from girderply.units.short_text import shown
from girderply.units.show import Printed
from girderply.wording import ENGLISH

MOST_NAME: Final = 200
MOST_NOTE: Final = 500
MOST_ID: Final = 20


class Table(BaseModel):
    """A TOML table: unknown keys are refused, nothing is turned from one type into another."""

    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False, defer_build=True
    )


@dataclass(frozen=True, slots=True)
class Quantity:
    """Marks a float as a quantity of one dimension, within bounds in internal units.

    Attributes:
        dimension: what it measures.
        above: it must be more than this (mm, N, rad), or None.
        least, most: smallest and greatest that is allowed, or None.
    """

    dimension: Dimension
    above: float | None = None
    least: float | None = None
    most: float | None = None

    def __get_pydantic_core_schema__(self, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        """Read by `read`, which knows the unit system from the context."""
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, _: CoreSchema, __: JsonHandler) -> dict[str, Any]:
        """Number, or text with a unit of the dimension."""
        number: dict[str, Any] = {"type": "number"}
        if self.above == 0:
            number["exclusiveMinimum"] = 0
        if self.least == 0:
            number["minimum"] = 0
        text = {"type": "string", "maxLength": 60, "pattern": text_pattern(self.dimension)}
        return {"anyOf": [number, text], "x-dimension": self.dimension}

    def read(self, value: object, info: core_schema.ValidationInfo) -> float:
        """Turn a value into mm, N or rad; ValueError says what is wrong and what is allowed."""
        system = str((info.context or {}).get("system", "metric"))
        result = parse_quantity(value, self.dimension, system)
        if not self._inside(result):
            raise ValueError(f"{_with_unit(value, self, system)} is out of range; allowed is "
                             f"{self._range(Printed(system, ENGLISH))}")  # fmt: skip
        return result

    def _inside(self, result: float) -> bool:
        return (
            (self.above is None or result > self.above)
            and (self.least is None or result >= self.least)
            and (self.most is None or result <= self.most)
        )

    def _range(self, show: Printed) -> str:
        parts = []
        if self.above is not None:
            parts.append(f"more than {_bound(self.above, self.dimension, show)}")
        if self.least is not None:
            parts.append(f"at least {_bound(self.least, self.dimension, show)}")
        if self.most is not None:
            parts.append(f"at most {_bound(self.most, self.dimension, show)}")
        return f"a {self.dimension} of " + " and ".join(parts)


def _bound(value: float, dimension: Dimension, show: Printed) -> str:
    if value == 0:
        return "0"
    if dimension == "length":
        return show.span(value)
    if dimension == "stress":
        return show.stress(value)
    if dimension == "mass":
        return show.mass(value)
    return show.force(value) if dimension == "force" else show.angle(value)


def _with_unit(value: object, kind: Quantity, system: str) -> str:
    unit = "" if isinstance(value, str) else " " + BARE_UNIT[system][kind.dimension]
    return shown(value) + unit


def text_pattern(dimension: Dimension) -> str:
    """Regular expression (ECMA 262) of text quantities, for editors; the reader is stricter."""
    words = [*UNITS[dimension], *(w for w, u in SYNONYMS.items() if u in UNITS[dimension])]
    units = "|".join(re.escape(w).replace("\\ ", " ") for w in sorted(words, key=len)[::-1])
    number = r"[0-9./eE+\u00a0\u202f -]*[0-9.]"
    term = rf"{number}[\u00a0\u202f ]*({units})"
    slope = r"|^ *[0-9.]+ *: *[0-9.]+ *$" if dimension == "slope" else ""
    twice = rf"([\u00a0\u202f -]*{term})?" if dimension == "length" else ""
    return rf"^[\u00a0\u202f +-]*{term}{twice} *$" + slope


_BAD_CATEGORIES: Final = frozenset({"Cc", "Cs", "Cn", "Co", "Zl", "Zp"})
_DIRECTION: Final = frozenset(
    "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
)


def _clean(text: str) -> str:
    for at, char in enumerate(text, 1):
        if unicodedata.category(char) in _BAD_CATEGORIES or char in _DIRECTION:
            raise ValueError(
                f"character {at} of {shown(text)} (U+{ord(char):04X}) cannot be printed; "
                "plain text in one line is allowed"
            )
    return text


def _filled(text: str) -> str:
    if not text.strip():
        raise ValueError("is empty; some text is needed")
    return _clean(text)


def _identifier(text: str) -> str:
    if not re.fullmatch(r"[^\W_][\w.-]*", text):
        raise ValueError(
            f"{shown(text)} cannot be spoken as a name; allowed are letters, digits, "
            '"-", "_" and ".", beginning with a letter or digit, such as "TC1"'
        )
    return _clean(text)


def _iso_date(value: object) -> str:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    try:
        if isinstance(value, str) and len(value) == 10:
            return date.fromisoformat(value).isoformat()
    except ValueError:
        pass
    raise ValueError(f'{shown(value)} is no date; write year-month-day, such as "2026-03-31"')


class _IsoDate:
    @classmethod
    def __get_pydantic_core_schema__(cls, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(_iso_date)

    @classmethod
    def __get_pydantic_json_schema__(cls, _: CoreSchema, __: JsonHandler) -> dict[str, Any]:
        return {"type": "string", "format": "date"}


class _Scalar:
    """Number, text or true/false, finite and short: a value of the rule set being changed."""

    @classmethod
    def __get_pydantic_core_schema__(cls, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(_scalar)

    @classmethod
    def __get_pydantic_json_schema__(cls, _: CoreSchema, __: JsonHandler) -> dict[str, Any]:
        return {"type": ["number", "string", "boolean"], "maxLength": MOST_NAME}


def _scalar(value: object) -> bool | int | float | str:
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and len(value) <= MOST_NAME:
        return _filled(value)
    if isinstance(value, int | float) and math.isfinite(value if abs(value) < 1e15 else math.inf):
        return value
    raise ValueError(f"{shown(value)} is not allowed; a finite number, a short text or true/false")


Text = Annotated[str, Field(max_length=MOST_NAME), AfterValidator(_clean)]
Name = Annotated[str, Field(max_length=MOST_NAME), AfterValidator(_filled)]
Note = Annotated[str, Field(max_length=MOST_NOTE), AfterValidator(_filled)]
Id = Annotated[str, Field(max_length=MOST_ID), AfterValidator(_identifier)]
IsoDate = Annotated[str, _IsoDate]
Scalar = Annotated[bool | int | float | str, _Scalar]

_DEG: Final = math.pi / 180

Coordinate = Annotated[float, Quantity("length", least=-100_000.0, most=100_000.0)]
Station = Annotated[float, Quantity("length", least=0.0, most=100_000.0)]
Step = Annotated[float, Quantity("length", above=0.0, most=60_000.0)]
Span = Annotated[float, Quantity("length", above=0.0, most=60_000.0)]
Height = Annotated[float, Quantity("length", above=0.0, most=20_000.0)]
Overhang = Annotated[float, Quantity("length", least=0.0, most=5_000.0)]
Depth = Annotated[float, Quantity("length", above=0.0, most=1_000.0)]
Thickness = Annotated[float, Quantity("length", least=10.0, most=150.0)]
Size = Annotated[float, Quantity("length", above=0.0, most=3_000.0)]
Shank = Annotated[float, Quantity("length", above=0.0, most=30.0)]
Strength = Annotated[float, Quantity("stress", above=0.0, most=500.0)]
Offset = Annotated[float, Quantity("length", least=-2_000.0, most=2_000.0)]
Mass = Annotated[float, Quantity("mass", above=0.0, most=1e6)]
Pitch = Annotated[float, Quantity("slope", least=2.0 * _DEG, most=75.0 * _DEG)]
Angle = Annotated[float, Quantity("angle", least=-360.0 * _DEG, most=360.0 * _DEG)]
Force = Annotated[float, Quantity("force", least=0.0, most=1e6)]
SignedForce = Annotated[float, Quantity("force", least=-1e6, most=1e6)]
