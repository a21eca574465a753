"""Load cases and combinations as they are told, and what a job has changed of its basis."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from girderply.bases.combining import Combination
from girderply.bases.registry import basis_of
from girderply.bases.spec import BasisSpec
from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.strength.load_sets import load_cases
from girderply.wording import Said, Words, joined, numeral, said
from girderply.wording.words import duration_words

Plain = dict[str, Any]
_DURATIONS = ("permanent", "variable", "uplift")


def combinations(job: Job, girder: Girder) -> tuple[Combination, ...]:
    """Every combination that is taken for this girder, each once, in order."""
    made = {case.combination.code: case.combination for case in load_cases(job.basis, girder)}
    return tuple(made.values())


def cases_part(basis: BasisSpec) -> list[Plain]:
    """The job's load cases for the contract; empty where loads give parts."""
    return [
        {
            "id": case.id,
            "kind": case.kind,
            "permanent": case.permanent,
            "duration": case.duration,
            "factor": case.factor if basis_of(basis).case_factors else None,
            "group": case.group or None,
            "what": case.what,
        }
        for case in basis.cases
    ]


def combinations_part(job: Job, girder: Girder) -> list[Plain]:
    """Every combination for the contract: factors by part or case, uplift written positive."""
    return [
        {
            "code": c.code,
            "text": c.text,
            "factors": {term.part: term.factor for term in c.terms},
            "duration": c.duration,
            "modification": c.modification,
            "clause": c.clause,
        }
        for c in combinations(job, girder)
    ]


def changed_findings(job: Job) -> Iterator[Finding]:
    """A note, for the cover too, where the job has changed factors or durations of its basis."""
    changed = list(_changed(job.basis))
    if changed:
        name = basis_of(job.basis).name
        text = said("finding.basis_changed", basis=name, what=joined("; ", changed))
        yield Finding("basis-changed", Severity.NOTE, "basis", text)


def _changed(spec: BasisSpec) -> Iterator[Said]:
    basis = basis_of(spec)
    for option, value in spec.changed(basis.options):
        yield said(
            "finding.basis_value", key=option.key, value=_value(value), usual=_value(option.default)
        )
    if spec.cases:
        return
    for part, usual in zip(_DURATIONS, basis.usual_durations, strict=True):
        own = getattr(spec, f"{part}_duration")
        if own != usual:
            yield said(
                f"finding.duration_of_{part}",
                value=duration_words(own), usual=duration_words(usual),
            )  # fmt: skip


def _value(value: bool | int | float | str) -> Words:
    if isinstance(value, bool):
        return said("calculation.in_force" if value else "calculation.not_in_force")
    return numeral(value) if isinstance(value, int | float) else value
