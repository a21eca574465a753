"""Checks across the values of `[basis]`: words and keys of the basis in force, and no other's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from girderply.bases import registry
from girderply.bases.protocol import Basis
from girderply.errors import Finding, UnansweredError
from girderply.jobfile.paths import error, table
from girderply.jobfile.schema_basis import durations, owners
from girderply.units.short_text import did_you_mean, one_of, shown


def basis_in(data: Mapping[str, Any], system: str) -> Basis | None:
    """The basis that a job file names or leaves to its units; None for a name that is unknown."""
    name = table(data, "basis").get("standard", registry.usual(system))
    known = isinstance(name, str) and name in registry.names()
    return registry.basis(name) if known else None


def basis_findings(data: Mapping[str, Any], system: str) -> Iterator[Finding]:
    """What a job says to its basis must be that basis' own words and keys."""
    basis = basis_in(data, system)
    if basis is None:
        return
    try:
        yield from _durations(table(data, "basis"), basis)
        yield from _foreign(data, basis)
    except UnansweredError as silent:
        yield error("basis-unanswered", ("basis", "standard"), str(silent))


def _durations(given: Mapping[str, Any], basis: Basis) -> Iterator[Finding]:
    words = basis.durations
    for key in ("permanent_duration", "variable_duration", "uplift_duration"):
        value = given.get(key)
        if isinstance(value, str) and value in durations() and value not in words:
            message = f"{shown(value)} is no load duration of {basis.name}; allowed: "
            tip = did_you_mean(value, words)
            yield error("unknown-choice", ("basis", key), message + one_of(words), tip)


def _foreign(data: Mapping[str, Any], basis: Basis) -> Iterator[Finding]:
    """Keys that another basis reads and this one does not."""
    own = {option.key for option in basis.options}
    for key, names in owners().items():
        if key in table(data, "basis") and key not in own:
            yield _not_read(("basis", key), basis, names)
    readers = registry.said(lambda one: one.girder_keys)
    for key in dict.fromkeys(key for keys in readers.values() for key in keys):
        if key in table(data, "girder") and key not in basis.girder_keys:
            names = tuple(name for name, keys in readers.items() if key in keys)
            yield _not_read(("girder", key), basis, names)


def _not_read(loc: tuple[str, str], basis: Basis, names: tuple[str, ...]) -> Finding:
    message = f"{basis.name} does not read {loc[1]}, which is a key of {one_of(names)}"
    return error("other-basis-key", loc, message, "take it out, or name the other basis")
