"""What is wrong with a quantity, in the language of the page: what was typed, and what is allowed.

Messages about a job file are English, as its keys are; this one is read most, by whoever types.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from girderply.desk.forms import dimension_of
from girderply.errors import Finding
from girderply.units.parse import BARE_UNIT, allowed
from girderply.units.pint_units import UNITS
from girderply.wording import DEFAULT, Voice


def message_of(
    voice: Voice, finding: Finding, path: Sequence[str | int], data: Mapping[str, Any]
) -> str:
    """The message of a finding, in the language of the page.

    Args:
        voice: that tells it.
        finding: of a job file.
        path: of the field that it means, empty for none.
        data: tables of the file.
    """
    written = voice.told(finding.message)
    dimension = dimension_of(path) if path else None
    system = "imperial" if _typed(("job", "units"), data) == "imperial" else "metric"
    english = voice.language.partition("-")[0] == DEFAULT
    if english or dimension is None or allowed(dimension, system) not in written:
        return written
    return voice.phrase(
        "desk.wrong_quantity",
        typed=str(_typed(path, data))[:40],
        what=voice.phrase(f"desk.quantity_{dimension}"),
        units=", ".join(UNITS[dimension]),
        bare=BARE_UNIT[system][dimension],
    )


def _typed(path: Sequence[str | int], data: Any) -> object:
    for part in path:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return ""
    return data
