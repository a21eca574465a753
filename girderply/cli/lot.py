"""girderply lot."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say, say_findings, working
from girderply.cli.work import JobPath, deliver, make_schedule
from girderply.errors import GirderplyError, OutputError, RangeError

if TYPE_CHECKING:
    from girderply.inspection.lot_history import EarlierLot
    from girderply.inspection.lot_verdict import Lot
    from girderply.schedule.types import Schedule

REGISTER = "register.jsonl"


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
    from girderply.inspection.lot_report import CAUTION, lot_data, lot_lines
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
            json.dumps(lot_data(schedule, found, seed.strip()), indent=2, ensure_ascii=False) + "\n"
        )
    else:
        said = lot_lines(
            schedule, found, job, judged=bool(records), seed=seed.strip(), before=before
        )
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
    from girderply.inspection.lot_report import CAUTION, lot_data
    from girderply.papers.inspector.lot_sheet import lot_pdf

    data = json.dumps(lot_data(schedule, found, seed), indent=2, ensure_ascii=False) + "\n"
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
