"""schedule.json as text, and the schema that programs may check it with."""

from __future__ import annotations

import json

import pytest
from contract_keys import KEYS
from hand_girder import hand_schedule
from jsonschema import Draft202012Validator, ValidationError

from girderply.exchange.json_out import schedule_json, schedule_schema


def test_text_is_good_by_its_schema():
    contract = json.loads(schedule_json(hand_schedule()))
    Draft202012Validator(schedule_schema()).validate(contract)
    contract["fasteners"][1]["station_mm"] = "127"
    with pytest.raises(ValidationError, match="'127' is not of type 'number'"):
        Draft202012Validator(schedule_schema()).validate(contract)


@pytest.mark.parametrize("part", KEYS)
def test_schema_asks_for_every_stable_key(part):
    schema = schedule_schema()
    at = schema["properties"][part] if part else schema
    assert set(KEYS[part].split()) <= set(at.get("items", at)["required"])


def test_text_is_plain_json_with_one_line_end_at_the_end():
    text = schedule_json(hand_schedule())
    assert text.endswith("}\n")
    assert not text.endswith("\n\n")
    assert json.loads(text, parse_constant=pytest.fail)
