"""What a job file says, key by key, and the keys that it calls assumed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from girderply.errors import Finding
from girderply.jobfile.paths import error, table, tables
from girderply.units.short_text import did_you_mean, shown

_WHOLE: Final = ("nodes", "members", "plates", "bearings", "screws", "prescribed")
"""Lists of tables that are one value: nobody confirms them line by line."""
_MOST: Final = 200  # characters of a value in words


def given_values(data: Mapping[str, Any]) -> dict[str, str]:
    """Every key that stands in a job file, with its value in words.

    Keys are written as a person says them: `basis.service_class`, and of a load by its name,
    `loads.T1.bracket`; a bracket has its parts too.
    """
    found = dict(_walk({k: v for k, v in data.items() if k != "loads"}, ""))
    for i, load in tables(data, "loads"):
        name = load.get("id", f"L{i + 1}")
        found |= dict(_walk(load, f"loads.{name}"))
    return found


def _walk(values: Mapping[str, Any], path: str) -> Iterator[tuple[str, str]]:
    for key, value in values.items():
        here = f"{path}.{key}" if path else key
        yield here, in_words(value)[:_MOST]
        if isinstance(value, Mapping) and key not in _WHOLE:
            yield from _walk(value, here)


def in_words(value: object) -> str:
    """A value of a job file on one line, as a person reads it."""
    if isinstance(value, Mapping):
        return ", ".join(f"{k} {in_words(v)}" for k, v in value.items())
    if isinstance(value, list):
        return "; ".join(map(in_words, value))
    return value if isinstance(value, str) else str(value)


def assumed_findings(data: Mapping[str, Any]) -> Iterator[Finding]:
    """Keys that `[job] assumed` names must be values that stand in the file."""
    named = table(data, "job").get("assumed")
    if not isinstance(named, list) or not named:
        return
    known = [k for k in given_values(data) if "." in k]
    for i, key in enumerate(named):
        if isinstance(key, str) and key not in known:
            message = f"{shown(key)} stands nowhere in this file; a key of a value in it is needed"
            tip = did_you_mean(key, known) or "strike it out here when its value is gone"
            yield error("unknown-key", ("job", "assumed", i), message, tip)
