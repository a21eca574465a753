"""schedule.json: the contract of a schedule as text."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from girderply.schedule.contract import to_contract
from girderply.schedule.types import Schedule


def schedule_json(schedule: Schedule) -> str:
    """The contract as JSON text, UTF-8 characters as they are, one line end at the end."""
    return json.dumps(to_contract(schedule), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def schedule_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of the contract's stable keys, for programs that read schedules."""
    text = files("girderply.exchange").joinpath("data/schedule-1.schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema
