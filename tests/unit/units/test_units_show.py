"""Quantities out: rounding, fractions, purity of each unit system."""

from __future__ import annotations

import math

import pytest

from girderply.units.show import Printed, feet_inches, half_up, inches
from girderply.wording import ENGLISH

METRIC, IMPERIAL = Printed("metric", ENGLISH), Printed("imperial", ENGLISH)


def plain(text):
    """With ordinary spaces."""
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (0.5, 0, "1"),  # Python's round gives 0
        (2.5, 0, "3"),  # Python's round gives 2
        (-2.5, 0, "-3"),
        (525.0, -1, "5.3E+2"),  # NDS tables: 525 is printed 530
        (2.675, 2, "2.68"),  # stored as 2.67499999999999982
        (38.099999999999994, 1, "38.1"),
        (-0.2, 0, "0"),
        (1204.4999, 0, "1204"),
    ],
)
def test_half_up(value, decimals, text):
    assert str(half_up(value, decimals)) == text


def test_half_up_writes_the_largest_numbers_there_are():
    assert str(half_up(1.5e308, 3)) == "15" + "0" * 307 + ".000"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_half_up_refuses_what_is_not_finite(value):
    with pytest.raises(ValueError, match="must be a finite number"):
        half_up(value)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (1917.7, "6'-3 1/2\""),
        (38.1, '1 1/2"'),
        (304.8, "1'-0\""),
        (304.7, "1'-0\""),  # 11.996 in rolls over, never 12"
        (304.8 + 12.7, "1'-0 1/2\""),
        (4 * 25.4 / 16, '1/4"'),  # reduced
        (25.4 * 7 / 16, '7/16"'),
        (25.4 / 32, '1/16"'),  # half a sixteenth goes up
        (25.4 / 33, '0"'),
        (0.0, '0"'),
        (-1917.7, "-6'-3 1/2\""),
        (8000.0, "26'-2 15/16\""),  # 314.9606 in = 26 ft 2.9606 in; 0.9606 * 16 = 15.4
    ],
)
def test_feet_and_inches(mm, text):
    assert plain(feet_inches(mm)) == text


@pytest.mark.parametrize(
    ("mm", "text"), [(336.55, '13 1/4"'), (304.7, '12"'), (184.15, '7 1/4"'), (-6.35, '-1/4"')]
)
def test_inches_only(mm, text):
    assert plain(inches(mm)) == text


@pytest.mark.parametrize(
    ("method", "value", "metric", "imperial"),
    [
        ("length", 1204.4, "1 204", "3'-11 7/16\""),
        ("station", 304.8, "305", "1'-0\""),
        ("span", 9600.0, "9 600 mm", "31'-5 15/16\""),
        ("small", 38.1, "38.1 mm", '1 1/2"'),
        ("small", 38.0, "38 mm", '1 1/2"'),
        ("diameter", 3.7592, "3.76 mm", "0.148 in"),
        ("diameter", 4.0, "4 mm", "0.157 in"),
        ("force", 6200.0, "6.20 kN", "1,394 lbf"),
        ("force", -445.0, "-0.45 kN", "-100 lbf"),
        ("mass", 123.46, "123 kg", "272 lb"),
        ("mass", 12.25, "12.3 kg", "27.0 lb"),
        ("stress", 18.93, "18.93 N/mm²", "2,746 psi"),
        ("line_force", 3.335, "3.34 kN/m", "229 lbf/ft"),
        ("angle", math.radians(22.45), "22.5°", "22.5°"),
        ("pitch", math.atan(0.5), "26.6°", "6:12"),
        ("pitch", math.atan(4.5 / 12), "20.6°", "4.5:12"),
        ("percent", 0.845, "85 %", "85 %"),
    ],
)
def test_each_quantity_in_each_system(method, value, metric, imperial):
    assert plain(getattr(METRIC, method)(value)) == metric
    assert plain(getattr(IMPERIAL, method)(value)) == imperial


def test_columns_have_the_unit_in_their_head_only():
    assert (METRIC.unit("force"), METRIC.value(12345.0, "force")) == ("kN", "12.35")
    assert (IMPERIAL.unit("force"), IMPERIAL.value(12345.0, "force")) == ("lbf", "2,775")
    assert (METRIC.unit("length"), plain(METRIC.value(12345.4, "length"))) == ("mm", "12 345")
    assert (IMPERIAL.unit("small"), plain(IMPERIAL.value(38.1, "small"))) == ("in", '1 1/2"')


def test_plain_numbers_are_grouped():
    assert METRIC.number(1234567.25, 1) == "1\u00a0234\u00a0567.3"
    assert IMPERIAL.number(1234567.25, 1) == "1,234,567.3"


def test_unknown_system_is_refused():
    with pytest.raises(ValueError, match='must be "metric" or "imperial", not "both"'):
        Printed("both", ENGLISH)


@pytest.mark.parametrize(
    ("inches", "said"), [(9 / 16, '9/16"'), (0.5, '1/2"'), (0.148, "0.148 in"), (0.131, "0.131 in")]
)
def test_a_hole_is_said_as_its_drill_is_sold(inches, said):
    assert Printed("imperial", ENGLISH).diameter(inches * 25.4).replace("\u00a0", " ") == said
