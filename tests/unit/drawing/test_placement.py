"""Placement: there and back, mirror, and text that stays readable."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from girderply.drawing.placement import Placement, upright
from girderply.drawing.primitives import Circle, Dimension, Line, Polygon, Text
from girderply.errors import RangeError

numbers = st.floats(-1e5, 1e5, allow_nan=False)
placements = st.builds(
    Placement,
    st.tuples(numbers, numbers),
    st.floats(0.001, 2.0),
    st.floats(-720, 720),
    st.booleans(),
)


@given(placements, st.tuples(numbers, numbers))
def test_a_point_comes_back(placement, point):
    back = placement.back(placement.point(point))
    assert back == pytest.approx(point, abs=1e-4 / placement.scale * 0.01 + 1e-5)


def test_up_in_the_model_is_up_on_paper_and_scale_holds():
    p = Placement((100.0, 80.0), 1 / 50)
    assert p.point((0, 0)) == (100.0, 80.0)
    assert p.point((500, 250)) == pytest.approx((110.0, 75.0))


def test_mirror_swaps_left_and_right_only():
    plain, mirrored = (Placement((100.0, 80.0), 1 / 20, mirror=m) for m in (False, True))
    x, y = plain.point((300, 70))
    assert mirrored.point((300, 70)) == pytest.approx((200 - x, y))


def test_turn_by_180_puts_the_far_end_left():
    p = Placement((50.0, 10.0), 1 / 10, 180.0)
    assert p.point((400, 30)) == pytest.approx((10.0, 13.0))


@given(st.floats(-1000, 1000), placements)
def test_text_is_never_upside_down(angle, placement):
    (text,) = placement.place(Text((0, 0), "BC1", angle=angle))
    assert -90.0 < text.angle <= 90.0
    assert text.text == "BC1"


@pytest.mark.parametrize(
    ("angle", "want"), [(0, 0), (90, 90), (-90, 90), (180, 0), (200, 20), (135, -45)]
)
def test_upright(angle, want):
    assert upright(angle) == pytest.approx(want)


def test_mirrored_slope_reads_along_the_mirrored_member():
    assert Placement((0, 0), 1.0, mirror=True).reading(20.0) == pytest.approx(-20.0)


def test_radius_and_lines_are_scaled_but_lettering_is_not():
    p = Placement((0.0, 0.0), 1 / 10)
    (circle,) = p.place(Circle((0, 0), 50.0))
    (text,) = p.place(Text((100, 0), "x", height=3.5))
    (line,) = p.place(Line((0, 0), (100, 0)))
    assert circle.radius == pytest.approx(5.0)
    assert (text.height, text.at) == (3.5, (10.0, 0.0))
    assert math.dist(line.a, line.b) == pytest.approx(10.0)


@pytest.mark.parametrize("mirror", [False, True])
def test_a_dimension_stands_on_the_same_side_of_the_thing(mirror):
    """A dimension 8 mm above a level edge stays above it when mirrored."""
    p = Placement((100.0, 50.0), 1 / 10, mirror=mirror)
    shapes = p.place(Dimension((0, 0), (300, 0), "300", offset=8.0))
    texts = [s for s in shapes if isinstance(s, Text)]
    assert [t.text for t in texts] == ["300"]
    assert texts[0].at[1] == pytest.approx(42.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_a_scale_that_is_none_is_refused(bad):
    with pytest.raises(RangeError, match="positive scale"):
        Placement((0.0, 0.0), bad)


def test_a_polygon_keeps_its_corners():
    p = Placement((1.0, 2.0), 0.5, 90.0)
    (polygon,) = p.place(Polygon(((0, 0), (4, 0), (4, 2))))
    want = np.array([(1, 2), (1, 0), (0, 0)])
    assert np.array(polygon.points) == pytest.approx(want)
