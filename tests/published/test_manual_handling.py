"""What teams may lift, against guidance of the UK Health and Safety Executive (L23).

The guidance itself was not at hand; its figures were read in texts that quote it (a discussion of
the building trade and a railway safety site): two people two thirds, three people half of the
sum of what each may lift; more than three unlikely to work. 25 kg is the best box of its filter
for men, 16 kg for women; the filter's frequency basis is some 30 lifts an hour.
"""

from __future__ import annotations

import math

import pytest

from girderply.catalogue.csv_files import table
from girderply.errors import RangeError
from girderply.schedule.handling import (
    MECHANICAL,
    lone_lifter,
    one_person,
    people_for,
    team_limit,
    team_shares,
)


def test_shares_of_teams():
    """[UK HSE L23, team handling, as quoted]; exact fractions."""
    assert team_shares() == {2: pytest.approx(2 / 3), 3: pytest.approx(1 / 2)}


def test_the_best_box_of_the_filter():
    """[UK HSE filter, man, close, knuckle to elbow: 25 kg, as quoted]."""
    assert one_person() == 25.0


def test_one_person_by_the_equation_for_pounds():
    """[NIOSH lifting equation, load constant 23 kg (51 lb), as quoted]; half a kilogram."""
    assert lone_lifter() == pytest.approx(23.0, abs=0.5)


def test_two_women_lift_about_21_kg():
    """[UK HSE, as quoted: "about 21 kg" for two women of 16 kg]; half a unit of the last digit."""
    assert team_limit(2, 16.0) == pytest.approx(21.0, abs=0.5)


@pytest.mark.parametrize(
    ("mass", "people"),
    [
        (20.0, 2),
        (33.3, 2),  # 2/3 of 50 is 33.33
        (33.4, 3),
        (37.5, 3),  # half of 75
        (37.6, MECHANICAL),  # four are not a way out
        (160.5, MECHANICAL),
    ],
)
def test_people_for_a_mass_by_hand(mass, people):
    assert people_for(mass) == people


def test_weaker_people_lift_less():
    """16 kg each: two 21.3, three 24 kg."""
    assert [people_for(m, 16.0) for m in (21.3, 21.4, 24.0, 24.1)] == [2, 3, 3, MECHANICAL]


def test_every_row_says_how_sure_it_is():
    for row in table("manual_handling_hse").rows:
        assert row["mark"].startswith(("read", "from memory"))


@pytest.mark.parametrize("mass", [0.0, -1.0, math.nan, math.inf])
def test_a_mass_that_is_none_is_refused(mass):
    with pytest.raises(RangeError, match="mass="):
        people_for(mass)


@pytest.mark.parametrize("each", [0.0, -5.0, math.nan, math.inf])
def test_a_strength_that_is_none_is_refused(each):
    with pytest.raises(RangeError, match="each="):
        people_for(10.0, each)


def test_four_people_have_no_share():
    with pytest.raises(RangeError, match="people=4"):
        team_limit(4, 25.0)
