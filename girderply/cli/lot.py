"""girderply lot."""

from __future__ import annotations

import json
import shlex
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from girderply.cli.talk import Exit, clean, product, say, say_findings, working
from girderply.cli.work import JobPath, deliver, make_schedule
from girderply.errors import GirderplyError, OutputError, RangeError
from girderply.wording import english

if TYPE_CHECKING:
    from girderply.inspection.lot_history import EarlierLot
    from girderply.inspection.lot_verdict import Lot, Piece
    from girderply.inspection.sampling import SamplePlan
    from girderply.schedule.types import Schedule

REGISTER = "register.jsonl"
CAUTION = (
    "Only where the contract agrees on sampling. Every girder found wanting is made good or goes "
    "to the engineer, whatever becomes of the lot."
)


class LotFormat(StrEnum):
    """How the answer is given."""

    TEXT = "text"
    JSON = "json"
    PDF = "pdf"


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
            metavar="[RECORD]...",
            help="Records of the tablet (JSON), in any order, every one of a piece; filled "
            "tick-off tables (CSV) that name their piece.",
        ),
    ] = None,
    aql: Annotated[
        float, typer.Option(help="Acceptance quality limit: girders found wanting in 100.")
    ] = 4.0,
    level: Annotated[LotLevel, typer.Option(help="Inspection level.")] = LotLevel.II,
    mode: Annotated[
        LotMode | None,
        typer.Option(
            help="Left out: as the lots before ask for (2 of 5 rejected: tightened), normal "
            "where nobody knows them.",
        ),
    ] = None,
    seed: Annotated[
        str,
        typer.Option(
            help="What the sample is drawn from, made when the girders stand and written down: "
            "a coin thrown ten times, the date, a count of sheets.",
        ),
    ] = "",
    form: Annotated[
        LotFormat, typer.Option("--format", help="text, json, or pdf: a page with every girder.")
    ] = LotFormat.TEXT,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write to this file instead of the terminal.")
    ] = None,
    deliveries: Annotated[
        list[Path] | None,
        typer.Option(
            "--delivery",
            help="Folder of the delivery: the page of the lot goes there, its register names it "
            "and knows the lots before. More than once for earlier deliveries, oldest first.",
        ),
    ] = None,
) -> None:
    """Say which girders of a lot to inspect, and accept or reject the lot by their records.

    The lot is the number of girders to make of the job. The sample is drawn from --seed, when the
    girders stand; without it only its size is said. A girder counts as it was found, also when it
    was made good since; a rejected lot is closed when every girder was looked at and is good.

    Exit 0 the lot is accepted or closed and every girder looked at is good now, or nothing was to
    be judged; 1 rejected, still open, something is left to do on a girder, or the design itself
    fails a check; 2 a record is of another girder, cannot be read, or one before it is missing.

    Example: girderply lot two-ply-howe.toml G1-1.json G1-2.json --aql 4 --seed HTTHHHTTHT
    """
    from girderply.inspection.lot_history import mode_after
    from girderply.inspection.lot_verdict import judge_records
    from girderply.inspection.record import RecordError
    from girderply.inspection.sampling import sample_plan

    if form is LotFormat.PDF and out is None and not deliveries:
        raise OutputError("pdf is nothing for a terminal: name a file with --out")
    schedule = make_schedule(job)
    if schedule.failed:
        say(
            f"ERROR   the design of {schedule.girder.mark} itself fails: no girder of it can be "
            "accepted; girderply check says why"
        )
        raise typer.Exit(Exit.FAILED)
    size = schedule.girder.quantity
    if size < 2:
        raise GirderplyError("a lot has at least 2 girders; girder.quantity of this job is 1")
    delivery = deliveries[-1] if deliveries else None
    try:
        before = _before(schedule, deliveries or [], aql, level.value)
        mode_due = mode_after(mode.value if mode else None, before)
        plan = sample_plan(size, aql, mode=mode_due, level=level.value)
    except RangeError as fault:
        raise typer.BadParameter(str(fault)) from fault
    try:
        found = judge_records(schedule, plan, records or [], seed.strip())
    except RecordError as fault:
        say_findings(fault.findings)
        raise typer.Exit(Exit.UNREADABLE) from fault
    if delivery is not None or (form is LotFormat.PDF and out is not None):
        _write_pdf(schedule, found, seed.strip(), before, delivery or out or Path())
        raise typer.Exit(Exit.GOOD if not records or found.settled else Exit.FAILED)
    if form is LotFormat.JSON:
        text = (
            json.dumps(as_data(schedule, found, seed.strip()), indent=2, ensure_ascii=False) + "\n"
        )
    else:
        said = lines(schedule, found, job, judged=bool(records), seed=seed.strip(), before=before)
        text = "".join(clean(line) + "\n" for line in said)
    deliver(text, out)
    say(f"CAUTION {CAUTION}")
    raise typer.Exit(Exit.GOOD if not records or found.settled else Exit.FAILED)


def _before(
    schedule: Schedule, folders: list[Path], aql: float, level: str
) -> list[EarlierLot] | None:
    """The lots of the series before this one; None where nobody said where they are."""
    from girderply.cli.lot_pages import earlier_lots
    from girderply.inspection.lot_history import series

    if not folders:
        return None
    known = [lot for folder in folders for lot in earlier_lots(folder / REGISTER)]
    return series(known, schedule.content_hash, aql, level)


def _write_pdf(
    schedule: Schedule, found: Lot, seed: str, before: list[EarlierLot] | None, out: Path
) -> None:
    """Write the page, and say the verdict, which a file does not say by itself.

    Into the folder of a delivery it goes under its own name, and the register names it.
    """
    from girderply.cli.lot_pages import page_name
    from girderply.exchange.atomic import write_bytes
    from girderply.exchange.certificates import put_certificate
    from girderply.exchange.pack_files import pack_name
    from girderply.inspection.lot_history import switched
    from girderply.papers.inspector.lot_sheet import lot_pdf

    data = json.dumps(as_data(schedule, found, seed), indent=2, ensure_ascii=False) + "\n"
    known = switched(before) if before is not None else None
    with working("Laying out the lot"):
        pdf = lot_pdf(schedule, found, seed, data, (known.lots, known.rejected) if known else None)
    if out.suffix.lower() == ".pdf" and not out.is_dir():
        write_bytes(out, pdf)
    else:
        path, named = put_certificate(out, page_name(schedule), pdf, pack_name(schedule), REGISTER)
        product(clean(f"{path}{', named by the register' if named else ''}") + "\n")
    say(f"{found.result.verdict.upper()}: {found.result.reason}")
    say(f"CAUTION {CAUTION}")


def as_data(schedule: Schedule, lot: Lot, seed: str = "") -> dict[str, Any]:
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
        "seed": seed or None,
        "sample_size": plan.size,
        "sample": list(lot.sample),
        "accept": plan.accept,
        "reject": plan.reject,
        "pieces": [
            {
                "piece": n,
                "sampled": n in lot.sample,
                "found": p.found,
                "now": p.now.verdict,
                "to_add": len(p.now.make_good) if p.now.verdict == "add" else 0,
                "to_tighten": list(p.now.tighten),
                "reasons": list(map(english, p.now.reasons)),
                "files": [f.name for f in p.records],
                "record": p.now.record_hash,
            }
            for n, p in lot.pieces.items()
        ],
        "nonconforming": list(lot.result.nonconforming),
        "open": list(lot.result.open_pieces),
        "verdict": lot.result.verdict,
        "reason": lot.result.reason,
        "settled": lot.settled,
        "caution": CAUTION,
    }


def lines(
    schedule: Schedule,
    lot: Lot,
    job: Path,
    *,
    judged: bool,
    seed: str = "",
    before: list[EarlierLot] | None = None,
) -> list[str]:
    """The lot as a person reads it: the sample, each girder with what to do, the verdict."""
    from girderply.inspection.sampling import ISOLATED, SOURCE

    plan, mark = lot.plan, schedule.girder.mark
    whole = " (the whole lot)" if plan.whole_lot else ""
    out = [
        f"Lot of {plan.lot_size} girders {mark}, AQL {plan.aql:g}, level {plan.level}, {plan.mode} "
        f"inspection: letter {plan.code_letter}, plan {plan.plan_letter} ({SOURCE})",
        f"{ISOLATED}. {_risks(plan)}.",
        _series_words(before),
        f"Inspect {plan.size}{whole}: {_drawn(lot, seed)}",
        f"Accepted with up to {plan.accept} found wanting, rejected from {plan.reject} on",
    ]
    for number, piece in lot.pieces.items():
        aside = "" if number in lot.sample or not lot.sample else " (not in the sample)"
        out.append(f"no. {number}{aside}: {_piece_words(piece, job)}")
    if judged:
        missing = [str(n) for n in lot.sample if n not in lot.pieces]
        if missing:
            out.append(f"No record yet of no. {', '.join(missing)}")
        out.append(f"{lot.result.verdict.upper()}: {lot.result.reason}")
    return out


def _series_words(before: list[EarlierLot] | None) -> str:
    from girderply.inspection.lot_history import switched

    if before is None:
        return (
            "Lots before it: not given (--delivery), so that nobody can say whether "
            "inspection is to be tightened (2 of 5)"
        )
    due = switched(before)
    if not before:
        return "Lots before it: none in the register; inspection begins as normal"
    return (
        f"Lots before it: {due.lots}, of the last five {due.rejected} not accepted: "
        f"{due.mode} inspection (2 of 5, ISO 2859-1:1999, 9.3, from memory)"
    )


def _drawn(lot: Lot, seed: str) -> str:
    if not lot.sample:
        return "drawn with --seed once the girders stand"
    numbers = ", ".join(map(str, lot.sample))
    return f"girders no. {numbers}" + (f", drawn from the seed {seed!r}" if seed else "")


def _risks(plan: SamplePlan) -> str:
    """What this plan lets through, worked out for this lot."""
    share = [max(1, round(plan.lot_size * part)) for part in (0.1, 0.25)]
    told = [f"{100 * plan.risk(bad):.0f} % with {bad} bad" for bad in dict.fromkeys(share)]
    return f"This plan accepts a lot of {plan.lot_size} with a chance of {' and '.join(told)}"


_NOW = {
    "add": "to be made good",
    "engineer": "the engineer decides",
    "partial": "not looked at to the end",
}


def _piece_words(piece: Piece, job: Path) -> str:
    """How a girder stands, and the command that says what to do with it."""
    now = piece.now.verdict
    if now == "accepted":
        since = piece.found != "accepted"
        return "good now, found wanting and counted as such" if since else "good"
    todo = ""
    if now == "add":
        parts = [f"{len(piece.now.make_good)} to add"] if len(piece.now.make_good) else []
        parts += [f"tighten {', '.join(piece.now.tighten)}"] if piece.now.tighten else []
        todo = f" ({', '.join(parts)})"
    before = [word for path in piece.records[:-1] for word in ("--before", str(path))]
    command = shlex.join(["girderply", "inspect", str(job), str(piece.records[-1]), *before])
    return f"{_NOW[now]}{todo}: {english(piece.now.reasons[0])} See {command}"
