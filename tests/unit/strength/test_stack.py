"""Limit analysis of a fastener through plies: mechanisms, hinges, refusals."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from interface_shears import one_face_pattern, shears_of

from girderply.bases.dowel.mechanisms import BARE, factored_box
from girderply.bases.dowel.stack import Stack, limit
from girderply.errors import RangeError
from girderply.wording import english


def test_hinges_of_a_slender_nail_stand_where_the_shear_is_zero():
    """Two hinges: F^2/2 (1/q1 + 1/q2) = 2 M_y, and each hinge F/q away from the interface."""
    got = limit(Stack((90.0, 70.0), (100.0, 60.0), 6000.0), (1.0,))
    F = math.sqrt(4 * 6000.0 / (1 / 100.0 + 1 / 60.0))
    assert got.multiplier == pytest.approx(F, rel=1e-12)
    near, far = got.mechanism.hinges
    assert (near.ply, far.ply) == (1, 2)
    assert near.depth == pytest.approx(90.0 - F / 100.0)
    assert far.depth == pytest.approx(F / 60.0)
    assert english(got.mechanism.text).startswith("mode (f): two hinges, ")


def test_short_point_turns_and_bends_in_the_head_side_ply():
    got = limit(Stack((90.0, 20.0), (100.0, 60.0), 6000.0), (1.0,))
    assert got.mechanism.letter == "e"
    assert [h.ply for h in got.mechanism.hinges] == [1]
    assert english(got.mechanism.text).endswith("the fastener turns straight in ply 2")


def test_thick_bolt_in_soft_middle_crushes_it():
    got = limit(Stack((60.0, 10.0, 50.0), (900.0, 40.0, 800.0), 9e5), (1.0, -1.0))
    assert got.multiplier == pytest.approx(40.0 * 10.0 / 2)
    assert english(got.mechanism.text) == "ply 2 crushed over its whole thickness, no hinge"


def test_stiff_dowel_through_three_plies_stays_straight():
    """Moments of the resultants about the head: bearing alone, so M_y cannot matter."""
    stack = Stack((30.0, 45.0, 35.0), (300.0, 320.0, 280.0), 1e9)
    stiffer = Stack(stack.t, stack.q, 2e9)
    got = limit(stack, one_face_pattern(3))
    assert got.mechanism.hinges == ()
    assert english(got.mechanism.text) == "no hinge; the fastener turns straight in plies 1 to 3"
    assert limit(stiffer, one_face_pattern(3)).multiplier == pytest.approx(got.multiplier)


def test_shears_are_the_multiplier_times_the_pattern():
    got = limit(Stack((38.0,) * 4, (370.0,) * 4, 76700.0), (3.0, 2.0, 1.0))
    assert got.shears == pytest.approx([3 * got.multiplier, 2 * got.multiplier, got.multiplier])


def test_pattern_of_one_loaded_face_and_of_resultants():
    assert one_face_pattern(4) == pytest.approx([0.75, 0.5, 0.25])
    resultants = (0.75, -0.25, -0.25, -0.25)
    assert shears_of(resultants) == pytest.approx(one_face_pattern(4))
    falls = [a - b for a, b in pairwise(one_face_pattern(6))]
    assert falls == pytest.approx([1 / 6] * 4)


def test_box_of_one_interface_is_the_plain_limit():
    stack = Stack((38.0, 31.0), (75.0, 70.0), 6617.0)
    box = factored_box(stack, (1.0,), BARE)
    assert box.multiplier == pytest.approx(limit(stack, (1.0,)).multiplier)


def test_box_counts_the_middle_ply_left_alone_with_the_load():
    """With the second interface unloaded the soft middle ply must take all of the first."""
    stack = Stack((60.0, 12.0, 60.0), (900.0, 50.0, 900.0), 9e6)
    plain = limit(stack, (1.0, 1.0)).multiplier
    assert plain > 600.0
    assert factored_box(stack, (1.0, 1.0), BARE).multiplier <= 50.0 * 12.0 < plain


def test_pair_is_the_two_plies_at_the_interface():
    stack = Stack((38.0, 40.0, 21.0), (75.0, 80.0, 70.0), 6617.0)
    assert stack.pair(2) == Stack((40.0, 21.0), (80.0, 70.0), 6617.0)


@pytest.mark.parametrize(
    ("t", "q", "M_y"),
    [
        ((38.0, math.nan), (75.0, 75.0), 6617.0),
        ((38.0, 38.0), (75.0, -1.0), 6617.0),
        ((38.0, 38.0), (75.0, 75.0), 0.0),
        ((38.0, math.inf), (75.0, 75.0), 6617.0),
    ],
)
def test_refuses_what_is_not_finite_and_positive(t, q, M_y):
    with pytest.raises(RangeError, match="finite and positive"):
        Stack(t, q, M_y)


def test_refuses_one_ply():
    with pytest.raises(RangeError, match="two plies or more"):
        Stack((38.0,), (75.0,), 6617.0)


@pytest.mark.parametrize(
    ("pattern", "match"),
    [
        ((1.0, 0.5), "1 interfaces"),
        ((0.0,), "not zero everywhere"),
        ((math.nan,), "must be finite"),
    ],
)
def test_refuses_a_pattern_that_says_nothing(pattern, match):
    with pytest.raises(RangeError, match=match):
        limit(Stack((38.0, 38.0), (75.0, 75.0), 6617.0), pattern)


def test_refuses_resultants_out_of_balance():
    with pytest.raises(RangeError, match="sum to zero"):
        shears_of((1.0, -0.5, -0.4))
