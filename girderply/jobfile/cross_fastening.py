"""Checks across the values of `[basis]` and `[fastening]`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from girderply.errors import Finding
from girderply.jobfile.cross_girder import member_ids, unknown
from girderply.jobfile.paths import Loc, error, table, tables
from girderply.jobfile.schema import DURATIONS
from girderply.units.parse import QuantityError, parse_quantity
from girderply.units.words import did_you_mean, one_of, shown

STANDARD_OF: Final = {"metric": "EN 1995-1-1", "imperial": "NDS 2018"}
"""The standard that judges a job which names none."""

_LENGTH_ENDS: Final = (
    "pitch",
    "centres",
    "gauge",
    "reach",
    "clearance",
    "step",
    "hole",
    "tolerance",
    "edge_min",
    "end_min",
    "depth_up_to",
    "clench_min",
    "clench_max",
)


def is_length(name: str) -> bool:
    """Tell whether a value of a rule set is a length, by the last word of its name.

    Multiples of a diameter end in `_d`, multiples of a thickness in `_thickness`.
    """
    return name.endswith(_LENGTH_ENDS)


def basis_findings(data: Mapping[str, Any], system: str) -> Iterator[Finding]:
    """Load durations must be words of the standard in force."""
    basis = table(data, "basis")
    standard = basis.get("standard", STANDARD_OF[system])
    words = DURATIONS.get(standard) if isinstance(standard, str) else None
    every = {word for known in DURATIONS.values() for word in known}
    for key in ("permanent_duration", "variable_duration", "uplift_duration"):
        value = basis.get(key)
        if words and isinstance(value, str) and value in every and value not in words:
            message = f"{shown(value)} is no load duration of {standard}; allowed: {one_of(words)}"
            yield error("unknown-choice", ("basis", key), message, did_you_mean(value, words))


def fastening_findings(data: Mapping[str, Any], system: str) -> Iterator[Finding]:
    """One rule set; each prescribed pattern for a role or for members; lengths that are lengths."""
    fastening = table(data, "fastening")
    if "rules" in fastening and "rules_file" in fastening:
        message = "rules and rules_file are both given; one of the two is allowed"
        yield error("rules-or-file", ("fastening",), message)
    for name, value in table(fastening, "overrides").items():
        yield from _override(name, value, system)
    members = member_ids(data)
    for i, entry in tables(fastening, "prescribed"):
        yield from _prescribed(entry, ("fastening", "prescribed", i), members)


def _override(name: str, value: object, system: str) -> Iterator[Finding]:
    if not is_length(name):
        return
    try:
        negative = parse_quantity(value, "length", system) < 0
    except QuantityError as problem:
        yield error("quantity", ("fastening", "overrides", name), str(problem))
        return
    if negative:
        message = f"{shown(value)} is negative; a length of 0 or more is needed"
        yield error("bad-value", ("fastening", "overrides", name), message)


def _prescribed(entry: Mapping[str, Any], loc: Loc, members: tuple[str, ...]) -> Iterator[Finding]:
    if ("role" in entry) == bool(entry.get("members")):
        message = "a prescribed pattern is for a role or for members; exactly one is needed"
        yield error("role-or-members", loc, message)
    named = entry.get("members")
    if members and isinstance(named, list):
        words = [n for n in named if isinstance(n, str)]
        yield from unknown(words, members, (*loc, "members"), "a member's id")
