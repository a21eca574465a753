"""girderply check."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.cli.talk import Exit, clean, product, say, say_fault
from girderply.cli.work import JOB_HELP, exit_code, make_schedule, say_result
from girderply.errors import Finding, GirderplyError, JobError
from girderply.units.show import Printed
from girderply.wording import ENGLISH, english

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule


class CheckFormat(StrEnum):
    """How the result is given."""

    TEXT = "text"
    JSON = "json"


def check(
    jobs: Annotated[list[Path], typer.Argument(metavar="JOB", help=f"{JOB_HELP} One, or several.")],
    form: Annotated[
        CheckFormat, typer.Option("--format", help="text to read, json for programs.")
    ] = CheckFormat.TEXT,
    back: Annotated[
        bool,
        typer.Option("--read-back", help="Say the job in plain sentences, for a second person."),
    ] = False,
) -> None:
    """Read a job and say everything that is wrong with it or worth knowing.

    Nothing is written. Of several jobs the worst decides the exit code.

    --read-back says what the job holds, in sentences to be held against the truss designer's
    drawing: loads and their sums, from which end, on which face, what the supports carry; then
    what is unusual, what is assumed, and what nobody has checked.

    Example: girderply check two-ply-howe.toml --read-back
    """
    worst, told = Exit.GOOD, []
    for job in jobs:
        if len(jobs) > 1 and form is CheckFormat.TEXT:
            say(f"-- {job}")
        try:
            made = make_schedule(job)
        except (GirderplyError, OSError) as fault:
            worst = Exit.UNREADABLE
            told.append(_refused(job, fault))
            if form is CheckFormat.TEXT:
                say_fault(fault)
            continue
        worst = max(worst, exit_code(made))
        told.append(_data(job, made))
        if form is CheckFormat.TEXT:
            _say(made, back=back)
    if form is CheckFormat.JSON:
        whole = {"schema": "girderply.check/1", "jobs": told}
        product(json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n")
    raise typer.Exit(worst)


def _say(made: Schedule, *, back: bool) -> None:
    """Findings to stderr, the verdict and the sums to stdout."""
    say_result(made)
    lines = [_verdict(made), *_sums(made)]
    if made.shares is not None:
        lines.append(f"{english(made.shares.words())}.")
    if back:
        lines += ["", *_read_back(made)]
    product("".join(clean(line) + "\n" for line in lines))


def _verdict(made: Schedule) -> str:
    info, girder = made.job.info, made.girder
    judged = "NOT FOR ASSEMBLY" if made.failed else "good"
    if not made.failed and made.unconfirmed:
        judged += ", with ASSUMED VALUES"
    counts = ", ".join(f"{kind}s: {count}" for kind, count in _counts(made).items())
    return (
        f"{info.number} {girder.mark} rev {info.revision}: {judged}; {girder.plies} plies, "
        f"{counts}, checks: {len(made.checks)}, findings: {len(made.findings)}"
    )


def _counts(made: Schedule) -> dict[str, int]:
    """How many of each kind there are: what is driven, and bolts."""
    kinds = made.fasteners.kind.tolist()
    return {kind: kinds.count(kind) for kind in (made.driven, FastenerKind.BOLT)}


def _sums(made: Schedule) -> list[str]:
    """Loads together, what they give at the bearings, and the mass."""
    sums, show = made.sums, Printed(made.job.info.units, ENGLISH)
    mass = f"mass: {show.mass(made.masses.total)}"
    if sums is None or not sums.count:
        return [f"loads: none; {mass}"]
    total = sums.total
    parts = [
        f"{name} {show.force(value)}"
        for name, value in (
            ("permanent", total.permanent),
            ("variable", total.variable),
            ("uplift", total.uplift),
            ("given as design", total.given),
        )
        if value
    ]
    lines = [f"loads: {sums.count}, {', '.join(parts)}; design {show.force(total.design)}; {mass}"]
    if sums.reactions:
        at = (
            f"{show.force(r.unfactored)} at {show.span(b.x)}"
            for b, r in zip(made.girder.bearings, sums.reactions, strict=True)
        )
        lines.append(f"reactions of the loads without factors: {', '.join(at)}")
    return lines


def _read_back(made: Schedule) -> list[str]:
    from girderply.schedule.read_back import read_back

    told = read_back(made)
    assumed = [
        f"{'[x]' if one.confirmed else '[ ]'} {one.key}: {english(one.what)}: "
        f"{english(one.value)}; {english(one.where)}"
        for one in made.assumed
    ]
    parts = (
        ("What the job says", told.said),
        ("What is unusual", told.unusual or ("nothing that was looked for",)),
        ("What is assumed ([x]: confirmed in the job)", assumed or ("nothing",)),
        ("What was not checked", told.not_checked),
    )
    return [
        line
        for head, lines in parts
        for line in (f"{head}:", *(f"  {english(x)}" for x in lines), "")
    ]


def _data(job: Path, made: Schedule) -> dict[str, Any]:
    from girderply.schedule.contract import tidy
    from girderply.schedule.parts import plain_fields
    from girderply.schedule.sums import sums_part

    hardest = max(made.checks, key=lambda c: c.utilisation, default=None)
    found: dict[str, Any] = tidy(
        {
            "file": str(job),
            "state": "not for assembly" if made.failed else "good",
            "exit_code": int(exit_code(made)),
            "number": made.job.info.number,
            "mark": made.girder.mark,
            "revision": made.job.info.revision,
            "plies": made.girder.plies,
            "counts": _counts(made),
            "mass_kg": made.masses.total,
            "sums": sums_part(made.sums) if made.sums else None,
            "checks": {
                "count": len(made.checks),
                "failed": [c.id for c in made.checks if not c.ok],
                "hardest": hardest.id if hardest else None,
                "utilisation": hardest.utilisation if hardest else None,
            },
            "assumed": [plain_fields(one) for one in made.assumed],
            "findings": [_finding(f) for f in made.findings],
            "content_hash": made.content_hash,
        }
    )
    return found


def _refused(job: Path, fault: GirderplyError | OSError) -> dict[str, Any]:
    """A job that could not be read, with everything that is wrong with it."""
    findings = (
        [_finding(f) for f in fault.findings]
        if isinstance(fault, JobError)
        else [{"code": "unreadable", "severity": "error", "where": "", "message": str(fault)}]
    )
    code = int(Exit.UNREADABLE)
    return {"file": str(job), "state": "unreadable", "exit_code": code, "findings": findings}


def _finding(finding: Finding) -> dict[str, Any]:
    from girderply.schedule.parts import plain_fields

    return plain_fields(finding) | {"severity": str(finding.severity)}
