"""girderply inspect."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, say, say_findings, working
from girderply.cli.work import JobPath, deliver, make_schedule
from girderply.errors import OutputError

if TYPE_CHECKING:
    from girderply.inspection.result import Inspection
    from girderply.schedule.types import Schedule


class ResultFormat(StrEnum):
    """How the result is given."""

    TEXT = "text"
    JSON = "json"
    PDF = "pdf"


def inspect(
    job: JobPath,
    record: Annotated[
        Path,
        typer.Argument(
            metavar="RECORD", help="The tablet's record (JSON) or the filled tick-off table (CSV)."
        ),
    ],
    form: Annotated[
        ResultFormat,
        typer.Option("--format", help="text to read, json for programs, pdf to print."),
    ] = ResultFormat.TEXT,
    before: Annotated[
        list[Path] | None,
        typer.Option(
            "--before",
            help="An earlier record of the same girder; once for each, oldest first. What it had "
            "added may be marked in this one.",
        ),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write to this file instead of the terminal.")
    ] = None,
) -> None:
    """Judge what an inspector found: accept, add exactly these, or ask the engineer.

    A girder that was not looked at to the end is never accepted. Exit 0 accepted; 1 something is
    to be added, looked at or decided; 2 the record cannot be read or is of another girder.

    The PDF has the result on A4 and, where something is to be added, the drawing of it on A3; it
    needs --out.

    Example: girderply inspect two-ply-howe.toml G1-1.json
    """
    if form is ResultFormat.PDF and out is None:
        raise OutputError("pdf is nothing for a terminal: name a file with --out")
    from girderply.inspection.history import History
    from girderply.inspection.record import RecordError
    from girderply.inspection.words import in_words

    history = History(make_schedule(job))
    try:
        for path in (*(before or ()), record):
            result = history.take_file(path)
    except RecordError as fault:
        say_findings(fault.findings)
        raise typer.Exit(Exit.UNREADABLE) from fault
    if form is ResultFormat.PDF and out is not None:
        _write_pdf(history.schedule, result, out)
        raise typer.Exit(Exit.GOOD if result.accepted else Exit.FAILED)
    if form is ResultFormat.JSON:
        text = json.dumps(result.as_data(), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    else:
        text = in_words(result, history.schedule)
    deliver(text, out)
    raise typer.Exit(Exit.GOOD if result.accepted else Exit.FAILED)


def _write_pdf(schedule: Schedule, result: Inspection, out: Path) -> None:
    """Write the sheets, and say the verdict, which a file does not say by itself."""
    from girderply.documents.inspection_sheet import inspection_pdf
    from girderply.exchange.atomic import write_bytes
    from girderply.inspection.words import HEADLINE

    with working("Laying out the result"):
        data = inspection_pdf(schedule, result)
    write_bytes(out, data)
    say(HEADLINE[result.verdict])
