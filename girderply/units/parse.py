r"""Quantities as a job writes them, turned into mm, N, rad, kg and N/mm2.

A quantity is text with a unit ("38 mm", "1 1/2 in", "6'-3 1/2\"", "6.2 kN", "22.5 deg"), for a
slope also rise:run ("6:12"), or a bare number in the job's own unit system:

    metric:    mm, kN, degrees, kg, N/mm2
    imperial:  in, lbf, degrees, lb, psi
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final

from girderply.errors import Finding, GirderplyError, JobError, Severity
from girderply.units.pint_units import SYNONYMS, UNITS, Dimension, dimension_of, factor
from girderply.units.short_text import did_you_mean, shown

__all__ = ["BARE_UNIT", "Dimension", "QuantityError", "allowed", "parse_quantity", "quantity"]

BARE_UNIT: Final[dict[str, dict[Dimension, str]]] = {
    "metric": {
        "length": "mm",
        "force": "kN",
        "angle": "deg",
        "slope": "deg",
        "mass": "kg",
        "stress": "N/mm2",
    },
    "imperial": {
        "length": "in",
        "force": "lbf",
        "angle": "deg",
        "slope": "deg",
        "mass": "lb",
        "stress": "psi",
    },
}
"""What a number without a unit is in, by unit system and dimension."""

_EXAMPLE: Final[dict[str, dict[Dimension, str]]] = {
    "metric": {
        "length": '"38 mm"',
        "force": '"6.2 kN"',
        "angle": '"22.5 deg"',
        "slope": '"22.5 deg" or "6:12"',
        "mass": '"120 kg"',
        "stress": '"11 N/mm2"',
    },
    "imperial": {
        "length": '"1.5 in" or "6 ft 3 1/2 in"',
        "force": '"1450 lbf"',
        "angle": '"22.5 deg"',
        "slope": '"6:12" or "22.5 deg"',
        "mass": '"260 lb"',
        "stress": '"1500 psi"',
    },
}

_MOST_TEXT = 60
_SPACE = "[ \u00a0\u202f]"
_NUMBER = (
    rf"\d+(?:{_SPACE}+|-)\d+/\d+"  # 1 1/2 and 1-1/2
    r"|\d+/\d+"
    rf"|\d{{1,3}}(?:{_SPACE}\d{{3}})+(?:\.\d+)?"  # 1 204
    r"|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
)
_UNIT = r"[^\W\d_]+[23²³]?(?:/[^\W\d_]+[23²³]?)?|['\"\u2032\u2033\u2019\u201d°]"
_TERM = rf"({_NUMBER}){_SPACE}*({_UNIT})"
_QUANTITY = re.compile(rf"([+-]?){_SPACE}*{_TERM}(?:(?:{_SPACE}*-)?{_SPACE}*{_TERM})?", re.ASCII)
_SLOPE = re.compile(rf"(\d+\.?\d*){_SPACE}*:{_SPACE}*(\d+\.?\d*)", re.ASCII)
_BARE = re.compile(rf"[+-]?(?:{_NUMBER})", re.ASCII)


class QuantityError(GirderplyError, ValueError):
    """Text or a number that is not a quantity of the dimension asked for."""


def quantity(value: object, dimension: Dimension, system: str, where: str) -> float:
    """Turn one value of a job into internal units.

    Args:
        value: text with a unit, or a number in the job's unit system.
        dimension: what it must measure.
        system: "metric" or "imperial": what a bare number is in.
        where: key path of the value, for the finding.

    Returns:
        mm, N, rad, kg or N/mm2.

    Raises:
        JobError: not a number, not finite, no unit, or a unit of another dimension.
    """
    try:
        return parse_quantity(value, dimension, system)
    except QuantityError as error:
        finding = Finding("quantity", Severity.ERROR, where, str(error))
        raise JobError([finding]) from error


def parse_quantity(value: object, dimension: Dimension, system: str) -> float:
    """Turn one value into internal units, as `quantity`, where the key path is known elsewhere.

    Args:
        value: text with a unit, or a number in the job's unit system.
        dimension: what it must measure.
        system: "metric" or "imperial".

    Returns:
        mm, N, rad, kg or N/mm2.

    Raises:
        QuantityError: not a number, not finite, no unit, or a unit of another dimension.
    """
    if isinstance(value, str):
        result = _from_text(value.strip(), dimension, system)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        result = _plain(value, dimension, system) * factor(BARE_UNIT[system][dimension], dimension)
    else:
        raise QuantityError(f"{shown(value)} is no quantity; {allowed(dimension, system)}")
    return float(f"{_finite(result):.15g}")  # 1.5 in is 38.1 mm, not 38.099999999999994


def allowed(dimension: Dimension, system: str) -> str:
    """Say what a quantity of this dimension may look like, for a message or an editor."""
    bare = BARE_UNIT[system][dimension]
    units = ", ".join(UNITS[dimension])
    return (
        f"write a {dimension} with its unit, such as {_EXAMPLE[system][dimension]} "
        f"(units: {units}) or a number in {bare}"
    )


def _plain(value: float, dimension: Dimension, system: str) -> float:
    try:
        return _finite(value)
    except QuantityError as problem:
        raise QuantityError(f"{problem}; {allowed(dimension, system)}") from None


def _finite(value: float) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise QuantityError(f"{shown(value)} is not a finite number")
    return number


def _from_text(text: str, dimension: Dimension, system: str) -> float:
    slope = _SLOPE.fullmatch(text)
    if len(text) > _MOST_TEXT:
        raise QuantityError(f"{shown(text)} is too long; {allowed(dimension, system)}")
    if slope and dimension == "slope":
        return _rise_run(text, slope)
    match = _QUANTITY.fullmatch(text)
    if not match:
        raise QuantityError(_why_not(text, dimension, system))
    sign, n1, u1, n2, u2 = match.groups()
    size = _number(n1, text) * _factor(u1, text, dimension, system)
    if n2 is not None:
        size += _inches(n1, u1, n2, u2, text)
    return -size if sign == "-" else size


def _rise_run(text: str, slope: re.Match[str]) -> float:
    rise, run = float(slope[1]), float(slope[2])
    if run == 0:
        raise QuantityError(f'{shown(text)} runs nowhere; rise:run must be such as "6:12"')
    return math.atan2(rise, run)


def _inches(n1: str, u1: str, n2: str, u2: str, text: str) -> float:
    """Second term of feet and inches: whole feet, less than twelve inches."""
    feet, inches = _number(n1, text), _number(n2, text)
    units = (SYNONYMS.get(u1, u1), SYNONYMS.get(u2, u2))
    if units != ("ft", "in") or feet != int(feet) or inches >= 12:
        raise QuantityError(
            f"{shown(text)} has two parts; only whole feet and less than twelve inches go "
            'together, such as "6 ft 3 1/2 in"'
        )
    return inches * factor("in", "length")


def _number(text: str, whole: str) -> float:
    parts = re.split(r"[^\d/]+", text) if "/" in text else []
    try:
        if parts:
            return float(sum((Fraction(p) for p in parts), Fraction(0)))
        return _finite(float(re.sub(_SPACE, "", text)))
    except ZeroDivisionError:
        raise QuantityError(f"{shown(whole)} divides by zero") from None


def _factor(unit: str, text: str, dimension: Dimension, system: str) -> float:
    name = SYNONYMS.get(unit, unit)
    if name in UNITS[dimension]:
        return factor(name, dimension)
    other = dimension_of(name)
    if other:
        hint = ' (a force in pounds is "lbf")' if name == "lb" and dimension == "force" else ""
        raise QuantityError(
            f"{shown(text)} is a {other}, not a {dimension}{hint}; {allowed(dimension, system)}"
        )
    near = did_you_mean(unit, UNITS[dimension])
    raise QuantityError(
        f'{shown(text)} has an unknown unit "{unit}"; {allowed(dimension, system)}'
        + (f"; {near}" if near else "")
    )


def _why_not(text: str, dimension: Dimension, system: str) -> str:
    if _BARE.fullmatch(text):
        problem = "has no unit"
    elif re.search(r"\d,\d", text):
        problem = "has a comma; the decimal sign is a point, and thousands are not separated"
    else:
        problem = f"is not a {dimension}"
    return f"{shown(text)} {problem}; {allowed(dimension, system)}"
