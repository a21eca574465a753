"""schedule.json: the contract of a schedule as text."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any

from girderply.schedule.contract import to_contract
from girderply.schedule.types import Schedule


def schedule_json(schedule: Schedule) -> str:
    """The contract as JSON text, UTF-8 characters as they are, one line end at the end."""
    return indented(to_contract(schedule)) + "\n"


def indented(value: Any, line: str = "\n") -> str:
    """Plain data as `json.dumps(value, indent=2, ensure_ascii=False)` writes it, much sooner.

    The standard library writes indented text member by member in Python. Here whatever holds no
    further dictionary or list goes through its compiled encoder at once, told to begin a new line
    after each comma.

    Args:
        value: dictionaries with text as keys, lists, text, finite numbers, True, False and None.
        line: how a line begins at this depth.

    Raises:
        ValueError: a number that is not finite.
    """
    if not value or not isinstance(value, _NESTED):
        return _encoder("").encode(value)
    inner = line + "  "
    if isinstance(value, list):
        parts, ends = _list_parts(value, inner), "[]"
    else:
        parts, ends = _dict_parts(value, inner), "{}"
    return ends[0] + inner + ("," + inner).join(parts) + line + ends[1]


_NESTED = (dict, list)


@cache
def _encoder(line: str) -> json.JSONEncoder:
    return json.JSONEncoder(
        ensure_ascii=False, allow_nan=False, separators=("," + line, ": ") if line else None
    )


def _list_parts(value: list[Any], inner: str) -> list[str]:
    if any(isinstance(v, _NESTED) for v in value):
        return [indented(v, inner) for v in value]
    return [_encoder(inner).encode(value)[1:-1]]


def _dict_parts(value: dict[str, Any], inner: str) -> list[str]:
    """Members of a dictionary in their order; plain ones that follow each other go together."""
    parts: list[str] = []
    plain: dict[str, Any] = {}
    encode = _encoder(inner).encode
    for key, v in value.items():
        if not isinstance(v, _NESTED):
            plain[key] = v
            continue
        if plain:
            parts.append(encode(plain)[1:-1])
            plain = {}
        parts.append(f"{encode(key)}: {indented(v, inner)}")
    if plain:
        parts.append(encode(plain)[1:-1])
    return parts


def schedule_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of the contract's stable keys, for programs that read schedules."""
    text = files("girderply.exchange").joinpath("data/schedule-3.schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema
