"""What is shown can be read again, to within half of what was rounded away; systems never mix."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from girderply.units.parse import parse_quantity
from girderply.units.show import Printed
from girderply.wording import ENGLISH

LENGTHS = st.floats(-60_000, 60_000)
FORCES = st.floats(-1e6, 1e6)
QUANTITIES = ("length", "station", "span", "small", "diameter")


@given(LENGTHS)
def test_feet_and_inches_read_back(mm):
    text = Printed("imperial", ENGLISH).length(mm)
    assert parse_quantity(text, "length", "imperial") == pytest.approx(mm, abs=25.4 / 32 + 1e-6)


@given(LENGTHS)
def test_small_inches_read_back(mm):
    text = Printed("imperial", ENGLISH).small(mm)
    assert parse_quantity(text, "length", "metric") == pytest.approx(mm, abs=25.4 / 32 + 1e-6)


@given(LENGTHS)
def test_millimetres_read_back(mm):
    show = Printed("metric", ENGLISH)
    assert parse_quantity(show.span(mm), "length", "metric") == pytest.approx(mm, abs=0.5 + 1e-6)
    assert parse_quantity(show.small(mm), "length", "metric") == pytest.approx(mm, abs=0.05 + 1e-6)


@given(FORCES)
def test_forces_read_back(newton):
    shown = Printed("metric", ENGLISH).force(newton)
    assert parse_quantity(shown, "force", "metric") == pytest.approx(newton, abs=5 + 1e-5)
    shown = Printed("imperial", ENGLISH).force(newton).replace(",", "")
    assert parse_quantity(shown, "force", "imperial") == pytest.approx(newton, abs=2.2242)


@given(st.floats(0.01, 1.5))
def test_angles_read_back(rad):
    shown = Printed("metric", ENGLISH).angle(rad)
    assert parse_quantity(shown, "angle", "metric") == pytest.approx(rad, abs=math.radians(0.0501))


@given(st.floats(math.radians(2), math.radians(60)))
def test_roof_slopes_read_back(rad):
    shown = Printed("imperial", ENGLISH).pitch(rad)
    # Half a hundredth in twelve; the slope of atan is at most 1.
    assert parse_quantity(shown, "slope", "imperial") == pytest.approx(rad, abs=0.0051 / 12)


@given(LENGTHS, FORCES)
def test_no_job_mixes_unit_systems(mm, newton):
    metric, imperial = Printed("metric", ENGLISH), Printed("imperial", ENGLISH)
    for name in QUANTITIES:
        assert re.fullmatch("[-0-9.\u00a0]+(mm)?", getattr(metric, name)(mm))
        assert re.fullmatch("[-0-9.,/'\"\u00a0]+(in)?", getattr(imperial, name)(mm))
    assert metric.force(newton).endswith("kN")
    assert imperial.force(newton).endswith("lbf")


@given(st.integers(0, 60_000 * 16))
def test_every_sixteenth_is_shown_exactly_and_reduced(sixteenths):
    mm = sixteenths * 25.4 / 16
    text = Printed("imperial", ENGLISH).length(mm)
    assert parse_quantity(text, "length", "metric") == pytest.approx(mm, rel=1e-12, abs=1e-9)
    fraction = re.search(r"(\d+)/(\d+)", text)
    if fraction:
        top, bottom = int(fraction[1]), int(fraction[2])
        assert math.gcd(top, bottom) == 1
        assert bottom in (2, 4, 8, 16)
        assert top < bottom
    inch = re.search(r"(\d+)[^\d'-]*(?:\d+/\d+)?\"$", text.split("'-")[-1])
    assert inch is not None
    if "'" in text:
        assert int(inch[1]) < 12
