"""schedule.json: the contract of a schedule as text."""

from __future__ import annotations

import json

from girderply.schedule.contract import to_contract
from girderply.schedule.types import Schedule


def schedule_json(schedule: Schedule) -> str:
    """The contract as JSON text, UTF-8 characters as they are, one line end at the end."""
    return json.dumps(to_contract(schedule), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
