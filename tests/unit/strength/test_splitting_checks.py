"""Splitting of the loaded chord, EN 1995-1-1, 8.1.4, worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from helpers_strength import RULES, chord, girder, job, load

from girderply.bases.registry import spec_of
from girderply.jobfile.job import BracketBoltSpec, BracketSpec
from girderply.model.girder import Joint
from girderply.strength.demand import demands
from girderply.strength.splitting import fixing_height, larger_side, splitting_checks

BRACKET = BracketSpec(width=100.0, height=120.0, offset=-20.0)


def _joints(*xs: float) -> tuple[Joint, ...]:
    return tuple(Joint(f"J{i}", x, 97.5, ("BC1",)) for i, x in enumerate(xs))


def _girder(**changes):
    member = replace(chord(), joints=("J0", "J1", "J2"))
    plies = girder((load(bracket=BRACKET, **changes),), members=(member,))
    return replace(plies, joints=_joints(50.0, 2000.0, 3600.0))


def test_splitting_by_hand():
    """Bracket 120 high, 20 below the middle of 195: top nail 97.5 - 20 + 60 - 20 = 117.5 = h_e.

    F_90,Rk = 14 x 45 sqrt(117.5 / (1 - 117.5/195)) = 630 x sqrt(295.65) = 630 x 17.194 = 10833 N
    [Eq. (8.4), from memory]; medium: 0.8 x 10833 / 1.3 = 6666 N.
    At 2400 between joints at 2000 and 3600: the larger side takes 1200/1600 = 0.75 of 7200 = 5400.
    """
    plies = _girder()
    checks = splitting_checks(job(), plies, demands(job(), plies, RULES))
    found = {c.id: c for c in checks}
    assert list(found) == ["L1.split.P", "L1.split.PV"]
    check = found["L1.split.PV"]
    assert check.inputs["h_e"][0] == pytest.approx(117.5)
    assert check.resistance == pytest.approx(6666.0, rel=2e-4)
    assert check.demand == pytest.approx(5400.0)


def test_two_plies_reached_split_with_half_each():
    plies = _girder(plies_reached=2)
    check = splitting_checks(job(), plies, demands(job(), plies, RULES))[1]
    assert check.demand == pytest.approx(2700.0)


def test_uplift_is_measured_from_the_upper_edge():
    """Lowest nail, from the top: 97.5 + 20 + 60 - 20 = 157.5."""
    assert fixing_height(BRACKET, 195.0, downward=False) == pytest.approx(157.5)


def test_bolts_of_the_bracket_go_before_its_outline():
    bolts = (BracketBoltSpec(0.0, 15.0), BracketBoltSpec(0.0, -30.0))
    bracket = replace(BRACKET, bolts=bolts)
    assert fixing_height(bracket, 195.0, downward=True) == pytest.approx(97.5 - 20 + 15)
    assert fixing_height(bracket, 195.0, downward=False) == pytest.approx(97.5 + 20 + 30)


def test_beside_the_last_joint_one_side_takes_all():
    member = replace(chord(), joints=("J0", "J1"))
    plies = replace(girder((), members=(member,)), joints=_joints(50.0, 2000.0))
    assert larger_side(plies, member, 2500.0) == 1.0
    assert larger_side(plies, member, 1025.0) == pytest.approx(0.5)


def test_bracket_as_deep_as_the_chord_cannot_split_it():
    plies = girder((load(bracket=BracketSpec(width=100.0, height=240.0)),))
    assert splitting_checks(job(), plies, demands(job(), plies, RULES)) == ()


def test_bracket_below_the_chord_holds_nothing():
    low = BracketSpec(width=100.0, height=40.0, offset=-200.0)
    plies = girder((load(bracket=low),))
    check = splitting_checks(job(), plies, demands(job(), plies, RULES))[0]
    assert check.resistance == 0.0
    assert not check.ok


def test_nds_shear_at_a_connection_by_hand():
    """Ply 1 1/2 x 7 1/4 in of Spruce-Pine-Fir (F_v 135 psi), snow; bracket 120 mm, 20 mm low.

    d_e = 7.25 / 2 + (60 - 20 - 20) / 25.4 = 4.412 in; the end is 2400 mm = 94.5 in away, more than
    5 d = 36.25: V_r' = 2/3 x 135 x 1.15 x 1.5 x 4.412 = 685.0 lb [NDS 3.4.3.3, from memory].
    At 12 in from the end (4.412/7.25)^2 = 0.3704 besides: 253.7 lb.
    """
    basis = spec_of("NDS 2018", variable_duration="two months")
    plies = _girder()
    member = replace(plies.members[0], depth=7.25 * 25.4)
    timber = {"ply_thickness": 38.1, "timber": "Spruce-Pine-Fir", "members": (member,)}
    plies = replace(plies, **timber)
    found = splitting_checks(job(basis), plies, demands(job(basis), plies, RULES))
    check = {c.id: c for c in found}["L1.split.PV"]
    assert check.resistance / 4.4482216152605 == pytest.approx(685.0, abs=0.2)
    assert check.clause == "NDS 2018, 3.4.3.3"
    near = replace(plies, loads=(replace(plies.loads[0], station=12 * 25.4),))
    found = splitting_checks(job(basis), near, demands(job(basis), near, RULES))
    check = {c.id: c for c in found}["L1.split.PV"]
    assert check.resistance / 4.4482216152605 == pytest.approx(253.7, abs=0.2)


def test_sloping_chord_is_split_by_the_part_across_its_grain():
    """Slope 25 degrees: 7200 cos 25 = 6525 N; no joints beside it, so all on one side."""
    member = chord(slope=math.radians(25.0))
    plies = girder((load(bracket=BRACKET),), members=(member,))
    check = splitting_checks(job(), plies, demands(job(), plies, RULES))[1]
    assert check.demand == pytest.approx(6525.4, abs=0.1)
