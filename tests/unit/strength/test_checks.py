"""Checks per zone and interface: which fasteners count, once, and what an empty zone says."""

from __future__ import annotations

import math

import numpy as np
import pytest
from helpers_strength import RULES, bolt_choice, chord, columns, girder, job, load

from girderply.catalogue import Nail
from girderply.jobfile.job import FasteningSpec, Role
from girderply.strength.check_record import Check
from girderply.strength.checks import check_transfer, zone_of
from girderply.strength.stack_columns import transfer_fasteners
from girderply.strength.zones import zones
from girderply.wording import english

NAIL = Nail("4.0 x 130", 4.0, 130.0, 8.0, 600.0)
NAILS = {NAIL.key: NAIL}


def _found(checks: tuple[Check, ...]) -> dict[str, Check]:
    return {c.id: c for c in checks}


def test_an_interface_without_fasteners_fails_and_says_so():
    fasteners = columns({"spec": NAIL.key, "station": [2300.0, 2500.0]})
    found = _found(check_transfer(job(), girder((load(),)), RULES, fasteners, NAILS, {}))
    empty = found["L1.i2.PV"]
    assert empty.resistance == 0.0
    assert math.isinf(empty.utilisation)
    assert not empty.ok
    assert english(empty.mode) == "no transfer fastener crosses this interface in the zone"


def test_no_fastener_at_all_still_gives_every_check():
    checks = check_transfer(job(), girder((load(),)), RULES, columns(), NAILS, {})
    assert [c.id for c in checks] == ["L1.i1.P", "L1.i2.P", "L1.i1.PV", "L1.i2.PV"]
    assert not any(c.ok for c in checks)


def test_fastener_on_a_border_counts_once_for_the_zone_nearer_the_hook_end():
    footprint = np.zeros((4, 2))
    plies = girder((load("A", 1500.0, footprint=footprint), load("B", 2100.0)))
    own = zones(plies, 600.0)
    fasteners = columns({"spec": NAIL.key, "station": [1800.0, 1801.0, 850.0, 899.0, 2700.0]})
    index = transfer_fasteners(fasteners, "nail")
    assert zone_of(fasteners, index, [*own, *own]).tolist() == ["A", "B", "", "", "B"]


def test_other_kind_and_bracket_bolts_do_not_count():
    choice = bolt_choice("M12")
    base = {"kind": "bolt", "spec": choice.spec, "to_ply": 3, "drilled": 13.0}
    fasteners = columns(
        base | {"station": [2300.0]},
        base | {"station": [2400.0], "purpose": "assembly", "load": "L1"},
        base | {"station": [2500.0], "purpose": "assembly"},
        {"spec": NAIL.key, "station": [2350.0]},
    )
    assert transfer_fasteners(fasteners, "bolt").tolist() == [0, 2]
    assert transfer_fasteners(fasteners, "nail").tolist() == [3]


def test_two_lengths_of_nail_are_boxed_and_add_up():
    """Long nails through three plies and short ones through two: interface 1 gets both."""
    long = {"spec": NAIL.key, "to_ply": 3, "point_depth": 40.0, "station": [2300.0, 2500.0]}
    short = {"spec": NAIL.key, "to_ply": 2, "point_depth": 45.0, "station": [2350.0]}
    both = _found(check_transfer(job(), girder((load(),)), RULES, columns(long, short), NAILS, {}))
    alone = _found(check_transfer(job(), girder((load(),)), RULES, columns(short), NAILS, {}))
    one, two = both["L1.i1.PV"], both["L1.i2.PV"]
    assert one.resistance > alone["L1.i1.PV"].resistance > 0
    assert any("each interface alone or together" in english(s) for s in one.steps)
    assert len([s for s in two.steps if english(s).startswith("2 nails")]) == 1
    assert not any(english(s).startswith("1 nail ") for s in two.steps)


def test_resistance_is_the_sum_that_the_last_step_shows():
    fasteners = columns({"spec": NAIL.key, "station": [2100.0, 2300.0, 2500.0]})
    check = check_transfer(job(), girder((load(),)), RULES, fasteners, NAILS, {})[2]
    assert check.id == "L1.i1.PV"
    assert check.resistance == pytest.approx(3 * check.inputs["F_v_Rd"][0])
    assert english(check.steps[0]) == (
        "S_1 = |(7200) - 1/3 x 7200| = 4800 N (1.35 G + 1.5 Q; equal shares of 3 plies)"
    )
    assert english(check.steps[-1]).endswith(f"= {check.resistance:.0f} N")


def test_opposite_equal_loads_pass_nothing_together_but_each_alone():
    hung = (load("F"), load("B", face="back"))
    fasteners = columns({"spec": NAIL.key, "station": [2300.0]})
    found = _found(check_transfer(job(), girder(hung, plies=2), RULES, fasteners, NAILS, {}))
    assert "F+B.i1.PV" not in found
    assert found["F+B.i1.PV.front"].demand == pytest.approx(3600.0)
    assert found["F+B.i1.PV.back"].demand == pytest.approx(3600.0)


def test_bolts_of_a_sloping_chord_bear_at_its_angle():
    """Slope 30 degrees: the vertical force is 60 degrees to the grain."""
    choice = bolt_choice("M12")
    member = chord("TC1", Role.TOP_CHORD, slope=math.radians(30.0))
    fasteners = columns(
        {
            "kind": "bolt",
            "spec": choice.spec,
            "member": "TC1",
            "station": [2400.0],
            "to_ply": 3,
            "drilled": 13.0,
        }
    )
    plies = girder((load(chord="TC1"),), members=(member,))
    by_bolt = job(fastening=FasteningSpec(transfer_by="bolt"))
    check = check_transfer(by_bolt, plies, RULES, fasteners, {}, {choice.spec: choice})[0]
    assert check.inputs["alpha"][0] == pytest.approx(math.radians(60.0))


def test_load_that_needs_no_transfer_has_no_check():
    top = load(face="top")
    assert check_transfer(job(), girder((top,)), RULES, columns(), NAILS, {}) == ()


def test_fastener_before_the_only_zone_belongs_to_none():
    own = zones(girder((load(),)), 600.0)
    fasteners = columns({"spec": NAIL.key, "station": [100.0, 1799.0, 1800.0, 3001.0]})
    index = transfer_fasteners(fasteners, "nail")
    assert zone_of(fasteners, index, own).tolist() == ["", "", "L1", ""]
    assert zone_of(fasteners, index, ()).tolist() == ["", "", "", ""]


def test_short_points_make_a_class_of_their_own():
    """Long nails all nominally cross both interfaces; some points do not count: boxed."""
    long = {"spec": NAIL.key, "to_ply": 3, "point_depth": 40.0, "station": [2300.0, 2500.0]}
    short = {"spec": NAIL.key, "to_ply": 3, "point_depth": 20.0, "station": [2350.0]}
    mixed = _found(check_transfer(job(), girder((load(),)), RULES, columns(long, short), NAILS, {}))
    plain = _found(check_transfer(job(), girder((load(),)), RULES, columns(long), NAILS, {}))
    assert any("each interface alone or together" in english(s) for s in mixed["L1.i2.PV"].steps)
    assert any("all in the pattern of the load" in english(s) for s in plain["L1.i2.PV"].steps)
    assert any("which does not count: 32" in english(s) for s in mixed["L1.i1.PV"].steps)


@pytest.mark.parametrize(
    ("used", "said"),
    [
        (0.895, 90),
        (0.8949, 89),
        (0.905, 91),
        (1.0, 100),
        (1.0000005, 100),
        (1.001, 101),
        (2.5, 250),
    ],
)
def test_a_utilisation_is_said_in_one_way(used, said):
    assert Check("a", "", used * 1000.0, 1000.0, "N", "").percent == said
    assert Check("a", "", 1.0, 0.0, "N", "").percent is None
