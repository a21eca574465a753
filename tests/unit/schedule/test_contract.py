"""The contract of schedule.json, on a schedule put together by hand.

Expected values: read off the hand-made girder; keys: the documented contract.
"""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from contract_keys import KEYS, missing_keys
from hand_girder import hand_schedule, with_revision

from girderply.bases.registry import spec_of
from girderply.schedule.contract import content_hash, tidy, to_contract
from girderply.schedule.design_value import design_value
from girderply.wording import english


def test_every_part_has_its_stable_keys():
    contract = to_contract(hand_schedule())
    assert missing_keys(contract) == set()
    assert all(contract[part] for part in KEYS if part), "a list with nothing in it proves nothing"
    del contract["totals"]["nuts"]
    assert missing_keys(contract) == {("totals", "nuts")}


def test_stable_keys_come_first_and_in_order():
    stable = KEYS[""].split()
    assert [key for key in to_contract(hand_schedule()) if key in stable] == stable


def test_fastener_positions_and_interfaces():
    nail, back_nail, bolt = to_contract(hand_schedule())["fasteners"]
    assert (nail["x_mm"], nail["station_mm"], nail["offset_mm"]) == (127.0, 127.0, -20.0)
    assert nail["interfaces"] == [1]
    assert back_nail["interfaces"] == [2], "driven from ply 3 into ply 2"
    assert bolt["interfaces"] == [1, 2]
    assert (bolt["joint"], nail["joint"]) == ("J2", None)
    assert bolt["y_mm"] == 333.333


def test_counts_per_stage_add_up_to_the_totals():
    contract = to_contract(hand_schedule())
    assert contract["stages"][0]["counts"] == {"BC1": {"nail": 2}}
    assert contract["stages"][1]["counts"] == {"W1": {"bolt": 1}}
    totals = contract["totals"]
    assert (totals["nails"], totals["bolts"], totals["washers"], totals["nuts"]) == (2, 1, 2, 1)


def test_threaded_rod_has_two_nuts():
    totals = to_contract(hand_schedule(rod=True))["totals"]
    assert (totals["washers"], totals["nuts"]) == (2, 2)


def test_unresisted_demand_fails_and_has_no_number():
    good, bad = to_contract(hand_schedule())["checks"]
    assert (good["utilisation"], good["ok"]) == (0.75, True)
    assert (bad["utilisation"], bad["ok"]) == (None, False)
    assert to_contract(hand_schedule())["for_assembly"] is False


def test_girder_extents():
    girder = to_contract(hand_schedule())["girder"]
    assert (girder["length_mm"], girder["height_mm"]) == (3000.0, 900.0)
    assert girder["mass_kg"] == {"ply": 20.0, "total": 60.5}


def test_hash_is_stable_and_leaves_out_folder_and_itself():
    made = hand_schedule()
    moved = replace(made, job=replace(made.job, folder="/elsewhere"))
    assert content_hash(made) == content_hash(moved)
    assert content_hash(replace(made, content_hash="0" * 64)) == content_hash(made)
    assert to_contract(made)["content_hash"] == content_hash(made)
    assert len(content_hash(made)) == 64


def test_hash_changes_with_revision_and_with_one_nail():
    made = hand_schedule()
    nails = made.fasteners
    moved = replace(made, fasteners=replace(nails, x=np.add(nails.x, (0.0, 5.0, 0.0))))
    assert len({content_hash(s) for s in (made, moved, with_revision(made, "C"))}) == 3


def test_nothing_private_in_the_text():
    assert "private" not in json.dumps(to_contract(hand_schedule()), allow_nan=False)


def test_design_value_by_partial_factors():
    """[EN 1990:2002, 6.4.3.2, Eq. (6.10)]: 1.35 x 1000 + 1.5 x 2000 = 4350 N."""
    load = hand_schedule().girder.loads[0]
    value, words = design_value(load, spec_of())
    assert value == pytest.approx(4350.0, abs=1e-9)
    assert english(words) == "1.35 G + 1.5 Q"
    nds = spec_of("NDS 2018", variable_duration="two months")
    assert design_value(load, nds)[0] == 3000.0
    given = replace(load, permanent=None, variable=None, design=6200.0)
    value, words = design_value(given, spec_of())
    assert (value, english(words)) == (6200.0, "given design value")
    only = replace(load, variable=None)
    value, words = design_value(only, spec_of())
    assert (value, english(words)) == (1350.0, "1.35 G")
    lifted = replace(load, permanent=None, variable=None, uplift=400.0)
    assert design_value(lifted, spec_of())[0] == -600.0


@pytest.mark.parametrize(
    ("value", "expected"),
    [(-0.0, 0.0), (1234.56789, 1234.568), (0.00123456, 0.001235), (float("inf"), None)],
    ids=["minus zero", "large", "small", "infinite"],
)
def test_tidy(value, expected):
    result = tidy({"a": [value]})["a"][0]
    assert result == expected
    assert str(result) == str(expected)
