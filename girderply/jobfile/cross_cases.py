"""Load cases: known to the basis, each once, and a value of every load that has a value at all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from girderply.bases.protocol import Basis
from girderply.errors import Finding, UnansweredError
from girderply.jobfile.cross_basis import basis_in
from girderply.jobfile.paths import Loc, error, table, tables
from girderply.jobfile.schema_basis import kinds
from girderply.units.short_text import did_you_mean, one_of, shown

_SHORT = ("permanent", "variable", "uplift", "design")


def case_findings(data: Mapping[str, Any], system: str) -> Iterator[Finding]:
    """What [[basis.cases]] and the loads say of load cases must agree.

    Args:
        data: the job file as read, before anything is known to be right.
        system: "metric" or "imperial".
    """
    cases = tables(data, "basis", "cases")
    ids = [case.get("id") for _, case in cases]
    for i, case in cases:
        if ids.count(case.get("id")) > 1:
            message = f"{shown(case.get('id'))} is declared more than once"
            yield error("twice", ("basis", "cases", i, "id"), message)
    basis = basis_in(data, system)
    if basis is not None and cases:
        try:
            yield from _words(cases, basis)
        except UnansweredError as silent:
            yield error("basis-unanswered", ("basis", "standard"), str(silent))
    for key in ("permanent_duration", "variable_duration", "uplift_duration"):
        if cases and key in table(data, "basis"):
            message = f"{key} is of loads that give parts; a load case has a duration of its own"
            yield error("cases-or-parts", ("basis", key), message, "take it out")
    known = [name for name in ids if isinstance(name, str)]
    for i, load in tables(data, "loads"):
        yield from _of_load(load, ("loads", i), known)
    yield from _unused(data, cases)


def _words(cases: Any, basis: Basis) -> Iterator[Finding]:
    """Kinds and durations of the basis in force; a combination factor where it has a use."""
    own = [kind.name for kind in basis.kinds]
    for i, case in cases:
        loc: Loc = ("basis", "cases", i)
        kind, duration = case.get("kind"), case.get("duration")
        if kind in kinds() and kind not in own:
            message = f"{shown(kind)} is no kind of action of {basis.name}; allowed: {one_of(own)}"
            yield error("unknown-choice", (*loc, "kind"), message, did_you_mean(kind, own))
        if isinstance(duration, str) and duration not in basis.durations:
            words = basis.durations
            message = f"{shown(duration)} is no load duration of {basis.name}; allowed: "
            tip = did_you_mean(duration, words)
            yield error("unknown-choice", (*loc, "duration"), message + one_of(words), tip)
        if "factor" in case and not basis.case_factors:
            message = f"{basis.name} does not read factor: it has factors of its own"
            yield error("other-basis-key", (*loc, "factor"), message, "take it out")


def _of_load(load: Mapping[str, Any], loc: Loc, known: list[str]) -> Iterator[Finding]:
    given = load.get("cases")
    short = [part for part in _SHORT if part in load]
    if known and short:
        message = f"{' and '.join(short)} beside [[basis.cases]]; a load gives its value per case"
        yield error("cases-or-parts", (*loc, short[0]), message, "write it under cases = { ... }")
    if known and not short and not given:
        message = f"this load has no value; a value for one of {one_of(known)} is needed"
        yield error("missing-key", (*loc, "cases"), message)
    for name in given if isinstance(given, Mapping) else ():
        if name not in known:
            told = f"declared are {one_of(known)}" if known else "no [[basis.cases]] is declared"
            message = f"{shown(name)} is no load case of this job; {told}"
            yield error("unknown-choice", (*loc, "cases", name), message, did_you_mean(name, known))


def _unused(data: Mapping[str, Any], cases: Any) -> Iterator[Finding]:
    """A case that no load has a value for does nothing."""
    used = {name for _, load in tables(data, "loads") for name in table(load, "cases")}
    for i, case in cases:
        if isinstance(case.get("id"), str) and case["id"] not in used:
            message = f"no load has a value for {shown(case['id'])}"
            yield error("unused-case", ("basis", "cases", i), message, "take it out")
