"""Zones along a chord: half-way, reach, ends, bearings, places on both faces."""

from __future__ import annotations

import math

import pytest
from helpers_strength import chord, girder, load

from girderply.jobfile.job import BearingSpec, Role
from girderply.strength.zones import zones


def test_half_way_to_the_neighbour_and_no_more_than_the_reach():
    """Loads at 700, 1500 and 4000: half-way 1100 and 2750; the reach of 600 ends the others."""
    found = zones(girder((load("A", 1500.0), load("B", 4000.0), load("C", 700.0))), 600.0)
    assert [(z.id, z.start, z.end) for z in found] == [
        ("C", pytest.approx(100.0), pytest.approx(1100.0)),
        ("A", pytest.approx(1100.0), pytest.approx(2100.0)),
        ("B", pytest.approx(3400.0), pytest.approx(4600.0)),
    ]
    assert found[1].limits == ("half-way to the next load", "reach")


def test_both_faces_at_one_station_are_one_zone_front_first():
    found = zones(girder((load("B1", 2410.0, face="back"), load("F1", 2400.0))), 500.0)
    (zone,) = found
    assert zone.id == "F1+B1"
    assert (zone.start, zone.end) == (pytest.approx(1905.0), pytest.approx(2905.0))


def test_loads_farther_apart_than_one_place_have_zones_of_their_own():
    found = zones(girder((load("B1", 2430.0, face="back"), load("F1", 2400.0))), 500.0)
    assert [z.id for z in found] == ["F1", "B1"]
    assert found[0].end == found[1].start == pytest.approx(2415.0)


def test_end_of_the_chord_leaves_a_one_sided_zone():
    (zone,) = zones(girder((load("A", 5900.0),)), 600.0)
    assert (zone.start, zone.end) == (pytest.approx(5300.0), pytest.approx(6000.0))
    assert zone.limits[1] == "end of the chord"


def test_a_bearing_stops_the_zone_of_the_bottom_chord():
    bearings = (BearingSpec(50.0, 100.0), BearingSpec(3000.0, 100.0))
    (zone,) = zones(girder((load("A", 2800.0),), bearings=bearings), 600.0)
    assert (zone.start, zone.end) == (pytest.approx(2200.0), pytest.approx(3000.0))
    assert zone.limits == ("reach", "bearing")


def test_a_bearing_right_under_the_load_stops_nothing():
    bearings = (BearingSpec(3000.0, 100.0),)
    (zone,) = zones(girder((load("A", 3010.0),), bearings=bearings), 600.0)
    assert (zone.start, zone.end) == (pytest.approx(2410.0), pytest.approx(3610.0))


def test_bearing_is_found_along_the_slope_of_a_raised_bottom_chord():
    slope = math.radians(20.0)
    members = (chord(slope=slope),)
    bearings = (BearingSpec(1000.0, 100.0),)
    (zone,) = zones(girder((load("A", 1300.0),), members=members, bearings=bearings), 600.0)
    assert zone.start == pytest.approx(1000.0 / math.cos(slope))


def test_chords_do_not_disturb_each_other():
    members = (chord(), chord("TC1", Role.TOP_CHORD, slope=0.4))
    loads = (load("T", 2400.0, chord="TC1"), load("B", 2500.0))
    found = zones(girder(loads, members=members), 600.0)
    assert [(z.id, z.chord) for z in found] == [("B", "BC1"), ("T", "TC1")]
    assert found[0].start == pytest.approx(1900.0)


def test_loads_that_enter_all_plies_take_no_zone():
    loads = (load("T", 2300.0, face="top"), load("R", 2500.0, plies_reached=3), load("A", 2400.0))
    (zone,) = zones(girder(loads), 600.0)
    assert zone.id == "A"
    assert zone.start == pytest.approx(1800.0)


def test_loads_in_a_row_that_is_longer_than_a_place_stay_apart():
    """20 mm from each to the next, 40 mm in all: three places; without the last one place."""
    row = (load("A", 2400.0), load("B", 2420.0), load("C", 2440.0))
    assert [z.id for z in zones(girder(row), 600.0)] == ["A", "B", "C"]
    assert [z.id for z in zones(girder(row[:2]), 600.0)] == ["A+B"]
