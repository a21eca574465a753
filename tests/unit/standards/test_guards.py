"""Guards refuse what is no number first, and name the argument."""

import math

import pytest

from girderply.errors import RangeError
from girderply.standards import guards

NO_NUMBER = [math.nan, math.inf, -math.inf, True, "3"]


@pytest.mark.parametrize("value", NO_NUMBER)
@pytest.mark.parametrize(
    "guard",
    [guards.finite, guards.positive, guards.not_negative, lambda **v: guards.within(0, 9, **v)],
)
def test_every_number_guard_refuses_what_is_no_finite_number(guard, value):
    with pytest.raises(RangeError, match=r"^t_1 must be a finite number"):
        guard(t_1=value)


def test_the_faulty_argument_is_the_one_named():
    with pytest.raises(RangeError, match=r"^rho_k must be greater than 0, not -350"):
        guards.positive(d=4.0, rho_k=-350.0, t=38.0)


def test_zero_is_not_positive_but_not_negative_either():
    guards.not_negative(x=0.0)
    with pytest.raises(RangeError, match=r"^x must be greater than 0"):
        guards.positive(x=0.0)
    with pytest.raises(RangeError, match=r"^x must not be negative, not -1e-09"):
        guards.not_negative(x=-1e-9)


@pytest.mark.parametrize(
    ("value", "good"), [(2.0, True), (8.0, True), (1.999, False), (8.001, False)]
)
def test_limits_of_within_belong_to_the_range(value, good):
    if good:
        guards.within(2.0, 8.0, d=value)
        return
    with pytest.raises(RangeError, match=r"^d must be between 2.0 and 8.0"):
        guards.within(2.0, 8.0, d=value)


@pytest.mark.parametrize("n", [0, -1, 2.0, True, math.nan])
def test_count_wants_a_whole_number(n):
    with pytest.raises(RangeError, match=r"^n must be a whole number of at least 1"):
        guards.count(n=n)


def test_choice_names_every_word_and_folds_no_case():
    guards.choice(("bolt", "nail"), kind="nail")
    with pytest.raises(RangeError, match=r"^kind must be one of 'bolt', 'nail', not 'Nail'"):
        guards.choice(("bolt", "nail"), kind="Nail")


def test_a_range_error_is_a_value_error_too():
    with pytest.raises(ValueError, match="d must be"):
        guards.positive(d=0.0)
