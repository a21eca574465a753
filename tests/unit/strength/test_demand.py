"""What must pass between plies: sharing, faces, combinations."""

from __future__ import annotations

import pytest
from helpers_strength import RULES, girder, job, load

from girderply.bases.registry import spec_of
from girderply.strength.demand import demands, entering, interface_shears
from girderply.wording import english


def test_one_face_passes_what_the_plies_behind_keep():
    """S_k = P (n - k)/n (design note, section 6), P = 8 kN on four plies."""
    assert interface_shears((8000.0, 0.0, 0.0, 0.0)) == pytest.approx((6000.0, 4000.0, 2000.0))


def test_published_sharing_of_a_three_ply_beam():
    """Two thirds cross the first interface, one third the second: 400 and 200 of 600 lb/ft."""
    assert interface_shears((600.0, 0.0, 0.0)) == pytest.approx((400.0, 200.0))


def test_bracket_that_reaches_two_plies_puts_half_into_each():
    got = entering(load(plies_reached=2), 9000.0, 3)
    assert got == pytest.approx((4500.0, 4500.0, 0.0))
    assert interface_shears(got) == pytest.approx((1500.0, 3000.0))


def test_back_face_enters_from_the_last_ply():
    got = entering(load(face="back", plies_reached=2), 9000.0, 4)
    assert got == pytest.approx((0.0, 0.0, 4500.0, 4500.0))
    assert interface_shears(got) == pytest.approx((-2250.0, -4500.0, -2250.0))


def test_top_load_enters_all_alike_and_passes_nothing():
    got = entering(load(face="top"), 9000.0, 4)
    assert interface_shears(got) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


def test_permanent_and_variable_by_eurocode():
    """1.35 x 2 + 1.5 x 3 = 7.2 kN, medium term 0.80; permanent alone 2.7 kN, 0.60."""
    first, second = demands(job(), girder((load(),)), RULES)
    assert (first.id, first.P) == ("L1.P", pytest.approx(2700.0))
    assert first.combination.modification == pytest.approx(0.60)
    assert (second.id, second.P) == ("L1.PV", pytest.approx(7200.0))
    assert second.combination.modification == pytest.approx(0.80)
    assert pytest.approx((4800.0, 2400.0)) == second.S
    assert english(second.text) == "1.35 G + 1.5 Q, medium"


def test_uplift_is_the_helpful_permanent_less_the_factored_uplift():
    """1.0 x 2 - 1.5 x 4 = -4 kN, short term 0.90."""
    found = {d.id: d for d in demands(job(), girder((load(uplift=4000.0),)), RULES)}
    up = found["L1.U"]
    assert pytest.approx(-4000.0) == up.P
    assert up.shear == pytest.approx((-8000.0 / 3, -4000.0 / 3))
    assert up.combination.modification == pytest.approx(0.90)
    assert english(up.text) == "1 G - 1.5 U, short"


def test_both_faces_are_also_taken_with_either_absent():
    """Front 7.2 kN, back 1.35 x 1 + 1.5 x 2 = 4.35 kN on two plies: half the difference passes."""
    loads = (load("A"), load("B", face="back", permanent=1000.0, variable=2000.0))
    found = {d.id: d for d in demands(job(), girder(loads, plies=2), RULES)}
    assert list(found) == [
        "A+B.P",
        "A+B.P.front",
        "A+B.P.back",
        "A+B.PV",
        "A+B.PV.front",
        "A+B.PV.back",
    ]
    assert pytest.approx(((7200.0 - 4350.0) / 2,)) == found["A+B.PV"].S
    assert pytest.approx((3600.0,)) == found["A+B.PV.front"].S
    assert found["A+B.PV.back"].shear == pytest.approx((-4350.0 / 2,))
    assert english(found["A+B.PV.back"].text) == "1.35 G + 1.5 Q, medium, back face only"


def test_two_brackets_on_one_face_add_up():
    loads = (load("A"), load("B", 2410.0, permanent=1000.0, variable=None))
    found = {d.id: d for d in demands(job(), girder(loads, plies=2), RULES)}
    assert list(found) == ["A+B.P", "A+B.PV"]
    assert pytest.approx(7200.0 + 1350.0) == found["A+B.PV"].P


def test_design_value_passes_through_with_the_class_of_the_variable_load():
    basis = spec_of(variable_duration="short", service_class=3)
    (only,) = demands(
        job(basis), girder((load(permanent=None, variable=None, design=-5200.0),)), RULES
    )
    assert (only.id, only.P) == ("L1.D", pytest.approx(-5200.0))
    assert only.combination.modification == pytest.approx(0.70)
    assert english(only.text) == "given design value, short"


def test_shortest_class_of_the_loads_present_counts():
    basis = spec_of(variable_duration="long", permanent_duration="permanent")
    found = demands(job(basis), girder((load(),)), RULES)
    assert [d.combination.duration for d in found] == ["permanent", "long"]


def test_allowable_stress_adds_loads_up_as_they_are():
    """D + L with C_D of two months (1.15), D alone 0.9; uplift 0.6 D - U (value from memory)."""
    basis = spec_of("NDS 2018", variable_duration="two months", uplift_duration="ten minutes")
    found = {d.id: d for d in demands(job(basis), girder((load(uplift=4000.0),)), RULES)}
    assert pytest.approx(2000.0) == found["L1.P"].P
    assert found["L1.P"].combination.modification == pytest.approx(0.9)
    assert pytest.approx(5000.0) == found["L1.PV"].P
    assert found["L1.PV"].combination.modification == pytest.approx(1.15)
    assert pytest.approx(0.6 * 2000.0 - 4000.0) == found["L1.U"].P
    assert found["L1.U"].combination.modification == pytest.approx(1.6)


def test_reach_of_the_job_goes_before_the_rule_set():
    basis = spec_of(reach=300.0)
    zone = demands(job(basis), girder((load(),)), RULES)[0].zone
    assert (zone.start, zone.end) == (pytest.approx(2100.0), pytest.approx(2700.0))


def test_nothing_hung_nothing_asked():
    assert demands(job(), girder(()), RULES) == ()


def test_design_value_beside_a_load_with_parts_counts_with_the_variable_part():
    """Front 7.2 kN by its parts, back a given 5 kN: permanent alone 2.7, both 12.2 kN."""
    given = load("B", face="back", permanent=None, variable=None, design=5000.0)
    found = {d.id: d for d in demands(job(), girder((load("A"), given), plies=2), RULES)}
    assert pytest.approx(2700.0) == found["A+B.P"].P
    assert pytest.approx(12200.0) == found["A+B.PV"].P
    assert pytest.approx(5000.0) == found["A+B.PV.back"].P
    assert "A+B.P.back" not in found


def test_permanent_part_beside_a_given_value_still_makes_the_full_combination():
    parts = load("A", variable=None)
    given = load("B", face="back", permanent=None, variable=None, design=5000.0)
    found = {d.id: d for d in demands(job(), girder((parts, given), plies=2), RULES)}
    assert pytest.approx(2700.0 + 5000.0) == found["A+B.PV"].P
    assert english(found["A+B.PV"].text) == "1.35 G + 1.5 Q + given design value, medium"


def test_one_face_pressed_while_the_other_is_lifted_each_with_its_own_factors():
    """Front 1.35 x 2 + 1.5 x 3 = 7.2 kN down, back 1.0 x 1 - 1.5 x 4 = -5.0 kN: half of 12.2."""
    loads = (
        load("A"),
        load("B", face="back", permanent=1000.0, variable=2000.0, uplift=4000.0),
    )
    found = {d.id: d for d in demands(job(), girder(loads, plies=2), RULES)}
    both = next(d for name, d in found.items() if name.startswith("A+B.PVU"))
    assert both.values == pytest.approx((7200.0, -5000.0))
    assert pytest.approx((6100.0,)) == both.S
    assert both.combination.modification == pytest.approx(0.90)
