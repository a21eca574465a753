"""Bolts beside loads as a person would tell them: loads at 600, 1800, 3000 and 4200, 75 off each.

The steps that are seen are those from load to load (1200, 2400, 3600) and those of the ladder that
are closer than the loads.
"""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from test_lay_out import bar_brief

from girderply.layout.bolt_board import BoltSpot
from girderply.layout.bolt_combs import in_combs
from girderply.layout.lay_out import keep_outs

LOADS = (600.0, 1800.0, 3000.0, 4200.0)


@pytest.fixture(scope="module")
def brief():
    """A bar of 4800 with four loads and a plate of 300 in its middle, at 2300 to 2600 less 25."""
    made = bar_brief(length=4800.0, plates=((0.0, 200.0), (2425.0, 300.0), (4800.0, 200.0)))
    hung = tuple(SimpleNamespace(chord="BC1", station=s, id=f"L{s:g}") for s in LOADS)
    return replace(made, girder=replace(made.girder, loads=hung))


def told(brief, *stations, joint="", offset=0.0):
    """The comb of each bolt: first, step, mark; None for a bolt alone."""
    member = brief.girder.member("BC1")
    spots = [
        BoltSpot(member, s, offset, 1, brief.bolt, brief.washer, brief.hole, joint)
        for s in stations
    ]
    plates = keep_outs(replace(brief, girder=replace(brief.girder, loads=())))
    found = in_combs(brief, spots, plates)
    assert [s.station for s in found] == list(stations), "nothing is moved"
    for s in found:
        if s.comb:
            assert s.comb[0] + s.comb[1] * s.comb[2] == pytest.approx(s.station, abs=1e-3)
    return [s.comb for s in found]


def test_alike_beside_loads_that_hang_alike_is_one_comb_for_each_side(brief):
    """Whatever the order in which they were placed."""
    assert told(brief, 525, 675, 1725, 1875, 2925, 3075) == [
        (525, 1200, 0), (675, 1200, 0), (525, 1200, 1), (675, 1200, 1), (525, 1200, 2),
        (675, 1200, 2),
    ]  # fmt: skip
    assert told(brief, 2925, 1725, 525) == [(525, 1200, 2), (525, 1200, 1), (525, 1200, 0)]


def test_two_are_told_by_their_places(brief):
    assert told(brief, 525, 1725) == [None, None]


def test_a_mark_may_be_left_out_where_a_plate_is_seen_and_nowhere_else(brief):
    """From 75 every 1200: 2475 lies on the plate; from 50 every 300, 1250 is bare timber."""
    assert told(brief, 75, 1275, 3675) == [(75, 1200, 0), (75, 1200, 1), (75, 1200, 3)]
    assert told(brief, 350, 650, 950, 1550) == [(350, 300, 0), (350, 300, 1), (350, 300, 2), None]


def test_an_odd_step_that_nobody_sees_is_no_comb(brief):
    """Three at 770 from each other only happen to stand so."""
    assert told(brief, 500, 1270, 2040) == [None, None, None]


def test_bolts_of_joints_are_no_comb_of_loads(brief):
    assert told(brief, 525, 1725, 2925, joint="J1") == [None, None, None]


def test_the_longest_comb_is_told_first(brief):
    """Four at 1200; the one that is left is not worth a run of its own."""
    found = told(brief, 525, 1725, 2925, 4125, 825)
    assert found == [(525, 1200, 0), (525, 1200, 1), (525, 1200, 2), (525, 1200, 3), None]
