"""girderply lot."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from girderply.cli.talk import Exit, clean, product, say, say_findings
from girderply.cli.work import JobPath, make_schedule
from girderply.errors import GirderplyError, RangeError

if TYPE_CHECKING:
    from girderply.inspection.lot import Lot
    from girderply.schedule.types import Schedule

CAUTION = (
    "Only where the contract agrees on sampling. Every girder found wanting is made good or goes "
    "to the engineer, whatever becomes of the lot."
)


class LotFormat(StrEnum):
    """How the answer is given."""

    TEXT = "text"
    JSON = "json"


class LotLevel(StrEnum):
    """Inspection levels of the standard."""

    I = "I"  # noqa: E741 - the standard's own word
    II = "II"
    III = "III"


class LotMode(StrEnum):
    """Normal, or tightened after rejected lots."""

    NORMAL = "normal"
    TIGHTENED = "tightened"


def lot(
    job: JobPath,
    records: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[RECORD]...", help="Records of the tablet (JSON); of one piece oldest first."
        ),
    ] = None,
    aql: Annotated[
        float, typer.Option(help="Acceptance quality limit: girders found wanting in 100.")
    ] = 4.0,
    level: Annotated[LotLevel, typer.Option(help="Inspection level.")] = LotLevel.II,
    mode: Annotated[LotMode, typer.Option(help="Tightened after rejected lots.")] = LotMode.NORMAL,
    form: Annotated[LotFormat, typer.Option("--format", help="text or json.")] = LotFormat.TEXT,
) -> None:
    """Say which girders of a lot to inspect, and accept or reject the lot by their records.

    The lot is the number of girders to make of the job. Without records only the sample is said.
    Exit 0 accepted, or nothing was to be judged; 1 rejected or still open; 2 a record is of
    another girder or cannot be read.

    Example: girderply lot two-ply-howe.toml G1-1.json G1-2.json --aql 4
    """
    from girderply.inspection.lot import judge_records
    from girderply.inspection.record import RecordError
    from girderply.inspection.sampling import sample_plan

    schedule = make_schedule(job)
    size = schedule.girder.quantity
    if size < 2:
        raise GirderplyError("a lot has at least 2 girders; girder.quantity of this job is 1")
    try:
        plan = sample_plan(size, aql, mode=mode.value, level=level.value)
    except RangeError as fault:
        raise typer.BadParameter(str(fault)) from fault
    try:
        found = judge_records(schedule, plan, records or [])
    except RecordError as fault:
        say_findings(fault.findings)
        raise typer.Exit(Exit.UNREADABLE) from fault
    if form is LotFormat.JSON:
        product(json.dumps(as_data(schedule, found), indent=2, ensure_ascii=False) + "\n")
    else:
        product("".join(clean(line) + "\n" for line in lines(schedule, found, bool(records))))
    say(f"CAUTION {CAUTION}")
    good = not records or found.result.verdict == "accepted"
    raise typer.Exit(Exit.GOOD if good else Exit.FAILED)


def as_data(schedule: Schedule, lot: Lot) -> dict[str, Any]:
    """The lot as plain data."""
    plan = lot.plan
    return {
        "schema": "girderply.lot/1",
        "job": schedule.job.info.number,
        "mark": schedule.girder.mark,
        "revision": schedule.job.info.revision,
        "content_hash": schedule.content_hash,
        "lot_size": plan.lot_size,
        "aql": plan.aql,
        "level": plan.level,
        "mode": plan.mode,
        "code_letter": plan.code_letter,
        "plan_letter": plan.plan_letter,
        "sample": list(lot.sample),
        "accept": plan.accept,
        "reject": plan.reject,
        "pieces": [
            {"piece": n, "sampled": n in lot.sample, "verdict": r.verdict, "record": r.record_hash}
            for n, r in lot.found.items()
        ],
        "nonconforming": list(lot.result.nonconforming),
        "open": list(lot.result.open_pieces),
        "verdict": lot.result.verdict,
        "reason": lot.result.reason,
        "caution": CAUTION,
    }


def lines(schedule: Schedule, lot: Lot, judged: bool) -> list[str]:
    """The lot as a person reads it."""
    from girderply.inspection.sampling import SOURCE

    plan, mark = lot.plan, schedule.girder.mark
    whole = " (the whole lot)" if plan.whole_lot else ""
    out = [
        f"Lot of {plan.lot_size} girders {mark}, AQL {plan.aql:g}, level {plan.level}, {plan.mode} "
        f"inspection: letter {plan.code_letter}, plan {plan.plan_letter} ({SOURCE})",
        f"Inspect {plan.size}{whole}: girders no. {', '.join(map(str, lot.sample))}",
        f"Accepted with up to {plan.accept} found wanting, rejected from {plan.reject} on",
    ]
    for piece, result in lot.found.items():
        aside = "" if piece in lot.sample else " (not in the sample, not counted)"
        out.append(f"no. {piece}: {result.verdict}{aside}; {result.reasons[0]}")
    if judged:
        out.append(f"{lot.result.verdict.upper()}: {lot.result.reason}")
    return out
