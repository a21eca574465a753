"""Running dimensions: figures keep apart, stay in order and stay tied to their stations."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lettering_faults import overlapping_texts

from girderply.drawing.dimension import Figure, Track, running_dimension, scale_bar, spread
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Circle, Line, Polygon, Text

xs = st.lists(st.floats(0, 300), min_size=1, max_size=40).map(sorted)


@given(xs, st.floats(0.5, 6.0))
def test_spread_keeps_gaps_order_and_bounds(wanted, gap):
    out = spread(wanted, [gap] * (len(wanted) - 1), 0.0, 300.0)
    assert all(b - a >= gap - 1e-6 for a, b in pairwise(out))
    if gap * (len(wanted) - 1) <= 300.0:
        assert min(out) >= -1e-6
        assert max(out) <= 300.0 + 1e-6


def test_spread_moves_nothing_that_has_room():
    assert spread([10.0, 20.0, 40.0], [5.0, 5.0], 0.0, 100.0) == pytest.approx([10.0, 20.0, 40.0])


def test_spread_shares_the_move_between_two():
    """Two figures at one place, 4 mm apart: 2 mm either way is least in squares."""
    assert spread([50.0, 50.0], [4.0], 0.0, 100.0) == pytest.approx([48.0, 52.0])


def _lettered(figures, side=1):
    shapes, reach = running_dimension(figures, Track(20.0, 5.0, side, 3.0, 220.0))
    d = Drawing("d", 240.0, 80.0)
    d.add(*shapes)
    return d, reach


@given(st.lists(st.integers(0, 2000), min_size=1, max_size=45, unique=True))
def test_figures_never_overlap_and_none_is_lost(stations):
    figures = [Figure(5.0 + s / 10, 15.0, f"{s}") for s in sorted(stations)]
    d, _ = _lettered(figures)
    assert sorted(t.text for t in d.texts()) == sorted(str(s) for s in stations)
    assert overlapping_texts(d) == []


def test_wide_apart_they_stand_level_under_their_stations():
    d, reach = _lettered([Figure(50.0, 15.0, "450"), Figure(80.0, 15.0, "750")])
    assert [(t.at[0], t.angle) for t in d.texts()] == [(50.0, 0.0), (80.0, 0.0)]
    assert all(t.at[1] > 20.0 for t in d.texts())
    assert reach < 6.0


def test_close_together_they_stand_upright():
    d, reach = _lettered([Figure(50.0 + 4 * k, 15.0, f"{450 + 40 * k}") for k in range(12)])
    assert {t.angle for t in d.texts()} == {90.0}
    assert reach > 8.0


def test_above_the_line_they_are_above():
    d, _ = _lettered([Figure(50.0, 25.0, "450")], side=-1)
    assert next(d.texts()).at[1] < 20.0


def test_origin_circle_only_where_the_origin_is():
    figures = [Figure(50.0, 15.0, "450")]
    with_origin, _ = running_dimension(figures, Track(20.0, 5.0, 1, 3.0, 220.0))
    without, _ = running_dimension(figures, Track(20.0, 5.0, 1, 3.0, 220.0, origin=False))
    assert [s.centre for s in with_origin if isinstance(s, Circle)] == [(5.0, 20.0)]
    assert not [s for s in without if isinstance(s, Circle)]


def test_an_origin_on_the_right_runs_to_the_left():
    shapes, _ = running_dimension([Figure(40.0, 15.0, "60")], Track(20.0, 100.0, 1, 3.0, 120.0))
    line = next(s for s in shapes if isinstance(s, Line))
    assert (line.a, line.b) == ((100.0, 20.0), (40.0, 20.0))


def test_the_bar_is_a_hundred_millimetres_in_ten_parts():
    parts = [s for s in scale_bar((7.0, 30.0), "bar") if isinstance(s, Polygon)]
    x = [p[0] for s in parts for p in s.points]
    assert math.isclose(max(x) - min(x), 100.0)
    assert len(parts) == 10
    assert [s.text for s in scale_bar((7.0, 30.0), "bar") if isinstance(s, Text)] == ["bar"]
