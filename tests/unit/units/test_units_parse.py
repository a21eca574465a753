"""Quantities in: every way to write one, and every way to be refused."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest

from girderply.errors import JobError
from girderply.units.parse import QuantityError, parse_quantity, quantity
from girderply.units.pint_units import UNITS, by_pint, factor

# Expected values by hand: 1 in = 25.4 mm, 1 lbf = 0.45359237 * 9.80665 N.


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("38 mm", 38.0),
        ("38mm", 38.0),
        ("9.6 m", 9600.0),
        ("4.5 cm", 45.0),
        ("1.5 in", 38.1),
        (".5 in", 12.7),
        ("3/4 in", 19.05),
        ("1 1/2 in", 38.1),
        ("1-1/2 in", 38.1),
        ('7 1/4"', 184.15),
        ("32 ft", 9753.6),
        ("6'", 1828.8),
        ("6'-3 1/2\"", 1917.7),
        ("6' 3-1/2\"", 1917.7),
        ("6 ft 3 1/2 in", 1917.7),
        ("6ft3in", 1905.0),
        ("6\u2032 3\u2033", 1905.0),
        ("-3/4 in", -19.05),
        ("-6' 3\"", -1905.0),
        ("1 204 mm", 1204.0),
        ("1\u00a0204.5\u00a0mm", 1204.5),
        ("1.2e3 mm", 1200.0),
        ("  38 mm ", 38.0),
    ],
)
def test_lengths(text, mm):
    assert parse_quantity(text, "length", "metric") == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("6.2 kN", "force", 6200.0),
        ("850 N", "force", 850.0),
        ("1450 lbf", "force", 1450 * 0.45359237 * 9.80665),
        ("2 kip", "force", 8896.443230521),
        ("22.5 deg", "angle", math.pi / 8),
        ("22.5\u00b0", "slope", math.pi / 8),
        ("0.4 rad", "angle", 0.4),
        ("6:12", "slope", math.atan(0.5)),
        ("4.5 : 12", "slope", math.atan(0.375)),
        ("11 N/mm2", "stress", 11.0),
        ("11 N/mm\u00b2", "stress", 11.0),
        ("2 kN/m2", "stress", 0.002),
        ("3 lb", "mass", 1.36077711),
    ],
)
def test_other_dimensions(text, dimension, value):
    assert parse_quantity(text, dimension, "imperial") == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("dimension", "metric", "imperial"),
    [
        ("length", 3.0, 76.2),
        ("force", 3000.0, 3 * 4.4482216152605),
        ("angle", math.radians(3), math.radians(3)),
        ("slope", math.radians(3), math.radians(3)),
        ("mass", 3.0, 1.36077711),
    ],
)
def test_bare_numbers_are_in_the_unit_system(dimension, metric, imperial):
    assert parse_quantity(3, dimension, "metric") == pytest.approx(metric, rel=1e-12)
    assert parse_quantity(3.0, dimension, "imperial") == pytest.approx(imperial, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("38", "has no unit"),
        ("38 mmm", 'unknown unit "mmm".*did you mean "mm"'),
        ("6.2 kN", "is a force, not a length"),
        ("5 lb", "is a mass, not a length"),
        ("38,5 mm", "has a comma"),
        ("1,204 mm", "has a comma"),
        ("1/0 in", "divides by zero"),
        ("6 ft 13 in", "less than twelve inches"),
        ("6.5 ft 3 in", "whole feet"),
        ("3 mm 4 in", "two parts"),
        ("6:12", "is not a length"),
        ("nan mm", "is not a length"),
        ("inf", "is not a length"),
        ("1e999 mm", "not a finite number"),
        ("", "is not a length"),
        ("38 mm; import os", "is not a length"),
        ("9" * 80 + " mm", "is too long"),
        (math.nan, "nan is not a finite number"),
        (math.inf, "inf is not a finite number"),
        (10**400, "too many digits is not a finite number"),
        (True, "true is no quantity"),
        (None, "is no quantity"),
        ([38], "a list of 1 is no quantity"),
        ({"mm": 38}, "a table is no quantity"),
    ],
)
def test_refused_with_the_reason(value, said):
    with pytest.raises(QuantityError, match=said):
        parse_quantity(value, "length", "metric")


@pytest.mark.parametrize("value", ["38", "38 kN", True, math.nan])
def test_refusal_says_what_is_allowed(value):
    with pytest.raises(QuantityError, match=r'such as "1\.5 in".*mm, cm, m, in, ft.*number in in'):
        parse_quantity(value, "length", "imperial")


def test_pounds_of_force_are_hinted():
    with pytest.raises(QuantityError, match='a force in pounds is "lbf"'):
        parse_quantity("480 lb", "force", "imperial")


def test_slope_that_runs_nowhere():
    with pytest.raises(QuantityError, match="runs nowhere"):
        parse_quantity("6:0", "slope", "metric")


def test_finding_carries_the_key_path():
    with pytest.raises(JobError, match=r'girder\.shape\.span: "9,6 m" has a comma') as caught:
        quantity("9,6 m", "length", "metric", "girder.shape.span")
    (finding,) = caught.value.findings
    assert finding.where == "girder.shape.span"
    assert finding.severity == "error"


def test_control_characters_are_not_echoed():
    with pytest.raises(QuantityError, match=r"^[ -~]+$"):
        parse_quantity("38\x1b[31m", "length", "metric")


@pytest.mark.parametrize(("dimension", "unit"), [(d, u) for d, us in UNITS.items() for u in us])
def test_units_known_without_pint_are_what_pint_makes_of_them(dimension, unit):
    assert factor(unit, dimension) == by_pint(unit, dimension)


def test_pint_is_imported_only_when_a_unit_is_not_common():
    code = (
        "import sys, girderply.units.show, girderply.jobfile, girderply.units.parse as p;"
        "assert 'pint' not in sys.modules and 'pydantic' not in sys.modules;"
        "p.parse_quantity('1 in', 'length', 'metric');"
        "assert 'pint' not in sys.modules;"
        "p.parse_quantity('1 cm', 'length', 'metric');"
        "assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
