"""schedule.json as text, and the schema that programs may check it with."""

from __future__ import annotations

import json

import pytest
from contract_keys import KEYS
from hand_girder import hand_schedule
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator, ValidationError

from girderply.exchange.json_out import indented, schedule_json, schedule_schema


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


LEAF = st.none() | st.booleans() | st.integers() | st.text(max_size=8)
LEAF |= st.floats(allow_nan=False, allow_infinity=False)
PLAIN = st.recursive(
    LEAF,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=20,
)


@given(PLAIN)
def test_text_is_what_the_standard_library_writes(value):
    assert indented(value) == json.dumps(value, indent=2, ensure_ascii=False)


@pytest.mark.parametrize("value", [[float("nan")], {"a": {"b": float("inf")}}, [{"c": -1e999}]])
def test_a_number_that_is_not_finite_is_refused(value):
    with pytest.raises(ValueError, match="not JSON compliant"):
        indented(value)
