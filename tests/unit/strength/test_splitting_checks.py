"""The loaded ply beside a bracket, EN 1995-1-1, 8.1.4, and NDS 2018, 3.4.3.3, worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from helpers_strength import RULES, chord, columns, girder, job, load

from girderply.bases.registry import spec_of
from girderply.jobfile.job import BearingSpec, BracketBoltSpec, BracketSpec
from girderply.strength.beside_bracket import connected, fixing_height
from girderply.strength.checks import Checker

BRACKET = BracketSpec(width=100.0, height=120.0, offset=-20.0)
ENDS = (BearingSpec(0.0, 100.0), BearingSpec(6000.0, 100.0))


def _girder(*loads, bearings=ENDS, **changes):
    """A chord of 6 m on two bearings; 7.2 kN in the combination of all at 2.4 m."""
    hung = loads or (load(bracket=BRACKET, **changes),)
    return girder(hung, bearings=bearings)


def beside(plies, basis=None, *groups):
    """Checks beside connections by id."""
    checker = Checker(job(basis), plies, RULES)
    return {c.id: c for c in checker.across(columns(*groups))}


def test_splitting_by_hand():
    """Bracket 120 high, 20 below the middle of 195: top nail 97.5 - 20 + 60 - 20 = 117.5 = h_e.

    F_90,Rk = 14 x 45 sqrt(117.5 / (1 - 117.5/195)) = 630 x sqrt(295.65) = 630 x 17.194 = 10833 N
    [Eq. (8.4), from memory]; medium: 0.8 x 10833 / 1.3 = 6666 N.
    Of 7200 N on a simple beam each of three plies has 2400: shear 0.6 x 2400 = 1440 on the left and
    960 on the right. 4800 go on to the other plies: without a fastener, all of it on either side.
    """
    found = beside(_girder())
    assert list(found) == ["L1.split.P", "L1.split.PV"]
    check = found["L1.split.PV"]
    assert check.inputs["h_e"][0] == pytest.approx(117.5)
    assert check.resistance == pytest.approx(6666.0, rel=2e-4)
    assert check.demand == pytest.approx(1440.0 + 4800.0)


def test_what_goes_on_to_other_plies_is_parted_by_the_fasteners():
    """Three fasteners before the load, one after it: 3/4 of 4800 pass before, 1/4 after."""
    nails = {"station": [1900.0, 2000.0, 2200.0, 2700.0], "offset": 60.0}
    found = beside(_girder(), None, nails)
    assert found["L1.split.PV"].demand == pytest.approx(1440.0 + 3600.0)
    # a receiving ply has the shear of its own member alone
    assert found["L1.split.ply2.PV"].demand == pytest.approx(1440.0)


@pytest.mark.parametrize(("at", "node"), [(2400.0, 2395.0), (2390.0, 2395.0), (2395.0, 2395.0)])
def test_a_load_without_a_bracket_beside_a_node_has_both_sides_of_it(at, node):
    """A bearing 5 mm from the load, and the end of the chord hanging out beyond it.

    By hand, of each of three plies: 2400 N at the load, 2400 N at 5395 mm, bearings at 0 and 2395:
    before the bearing 2400 x (3000 + at - 2395) / 2395 N, after it 2400 N. At 2400 mm that is
    3011 N where the piece that the load stands on has 2400 N alone.
    """
    hung = (load(station=at, x=at), load("L2", 5395.0))
    plies = _girder(*hung, bearings=(BearingSpec(0.0, 100.0), BearingSpec(node, 100.0)))
    nails = {"station": [2300.0, 2500.0], "offset": 60.0}
    found = beside(plies, None, nails)
    expected = 2400.0 * (3000.0 + at - node) / node
    assert found["L1.split.ply2.PV"].demand == pytest.approx(expected, rel=1e-3)


def test_two_plies_reached_split_with_half_each():
    """3600 into each of two plies, 2400 stay: 1200 go on."""
    assert beside(_girder(plies_reached=2))["L1.split.PV"].demand == pytest.approx(2640.0)


def test_all_loads_of_the_combination_act():
    """A second load at 4 m: 0.6 x 2400 + 1/3 x 2400 = 2240 on the left of the first."""
    both = _girder(load(bracket=BRACKET), load("L2", 4000.0))
    assert beside(both)["L1.split.PV"].demand == pytest.approx(2240.0 + 4800.0)


@pytest.mark.parametrize("parts", [1, 2, 3])
def test_entries_of_one_place_act_as_one(parts):
    """The same force in one entry, two or three: the same utilisation (was 1.455, 0.727 each)."""
    whole = load(bracket=BRACKET)
    split = tuple(
        replace(whole, id=f"L{i}", permanent=2000.0 / parts, variable=3000.0 / parts)
        for i in range(parts)
    )
    found = beside(_girder(*split))
    for i in range(parts):
        assert found[f"L{i}.split.PV"].demand == pytest.approx(6240.0)


def test_brackets_that_overlap_act_as_one_and_those_apart_do_not():
    """100 wide: 90 apart they are one connection from 2350 to 2540; 110 apart they are two."""
    one, two = load(bracket=BRACKET), load("L2", 2490.0, bracket=BRACKET)
    plies = _girder(one, two)
    assert connected(plies, plies.loads[1]) == [0, 1]
    # left of both: 2400 x 0.6 + 2400 x (1 - 2490/6000) and 9600 that go on
    found = beside(plies)["L1.split.PV"].demand
    assert found == pytest.approx(1440.0 + 1404.0 + 9600.0)
    apart = _girder(one, replace(two, station=2510.0, x=2510.0))
    assert connected(apart, apart.loads[1]) == [1]
    behind = _girder(one, replace(two, face="back"))
    assert connected(behind, behind.loads[0]) == [0]


def test_over_a_bearing_what_really_passes_the_member_counts():
    """A bearing under the load: nothing passes its member but what goes on to other plies.

    With 6 nails about it half of 4800 on either side; the bearing takes each ply's own 2400.
    """
    three = (*ENDS, BearingSpec(2400.0, 100.0))
    station = [2200.0, 2250.0, 2300.0, 2500.0, 2550.0, 2600.0]
    found = beside(_girder(bearings=three), None, {"station": station, "offset": 60.0})
    assert found["L1.split.PV"].demand == pytest.approx(2400.0)
    assert found["L1.split.ply2.PV"].demand == pytest.approx(0.0, abs=1e-6)


def test_without_a_frame_the_whole_force_counts():
    check = beside(_girder(bearings=()))["L1.split.PV"]
    assert check.demand == pytest.approx(7200.0)


def test_uplift_is_measured_from_the_upper_edge():
    """Lowest nail, from the top: 97.5 + 20 + 60 - 20 = 157.5."""
    assert fixing_height(BRACKET, 195.0, downward=False) == pytest.approx(157.5)


def test_bolts_of_the_bracket_go_before_its_outline():
    bolts = (BracketBoltSpec(0.0, 15.0), BracketBoltSpec(0.0, -30.0))
    bracket = replace(BRACKET, bolts=bolts)
    assert fixing_height(bracket, 195.0, downward=True) == pytest.approx(97.5 - 20 + 15)
    assert fixing_height(bracket, 195.0, downward=False) == pytest.approx(97.5 + 20 + 30)


def test_bracket_as_deep_as_the_chord_cannot_split_it():
    plies = girder((load(bracket=BracketSpec(width=100.0, height=240.0)),))
    assert beside(plies) == {}


def test_bracket_below_the_chord_holds_nothing():
    low = BracketSpec(width=100.0, height=40.0, offset=-200.0)
    plies = girder((load(bracket=low),))
    check = beside(plies)["L1.split.P"]
    assert check.resistance == 0.0
    assert not check.ok


def test_nds_shear_at_a_connection_by_hand():
    """Ply 1 1/2 x 7 1/4 in of Spruce-Pine-Fir (F_v 135 psi), snow; bracket 120 mm, 20 mm low.

    d_e = 7.25 / 2 + (60 - 20 - 20) / 25.4 = 4.412 in; the end is 2400 mm = 94.5 in away, more than
    5 d = 36.25: V_r' = 2/3 x 135 x 1.15 x 1.5 x 4.412 = 685.0 lb [NDS 3.4.3.3, from memory].
    At 12 in from the end (4.412/7.25)^2 = 0.3704 besides: 253.7 lb.
    """
    basis = spec_of("NDS 2018", variable_duration="two months")
    plies = _girder(bearings=())
    member = replace(plies.members[0], depth=7.25 * 25.4)
    timber = {"ply_thickness": 38.1, "timber": "Spruce-Pine-Fir", "members": (member,)}
    plies = replace(plies, **timber)
    check = beside(plies, basis)["L1.split.PV"]
    assert check.resistance / 4.4482216152605 == pytest.approx(685.0, abs=0.2)
    assert check.clause == "NDS 2018, 3.4.3.3"
    near = replace(plies, loads=(replace(plies.loads[0], station=12 * 25.4),))
    check = beside(near, basis)["L1.split.PV"]
    assert check.resistance / 4.4482216152605 == pytest.approx(253.7, abs=0.2)


def test_sloping_chord_is_split_by_the_part_across_its_grain():
    """Slope 25 degrees: 7200 cos 25 = 6525 N; no frame, so all on one side."""
    member = chord(slope=math.radians(25.0))
    plies = girder((load(bracket=BRACKET),), members=(member,))
    check = beside(plies)["L1.split.PV"]
    assert check.demand == pytest.approx(6525.4, abs=0.1)


def test_the_far_side_governs_where_more_passes_there():
    """At 4 m of 6: 800 before and 1600 after; one fastener before, three after: 1600 + 3600."""
    nails = {"station": [3800.0, 4100.0, 4200.0, 4300.0], "offset": 60.0}
    found = beside(_girder(load("L1", 4000.0, bracket=BRACKET)), None, nails)
    assert found["L1.split.PV"].demand == pytest.approx(1600.0 + 3600.0)
