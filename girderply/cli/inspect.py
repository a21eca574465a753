"""girderply inspect."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, say, say_findings, working
from girderply.cli.work import JobPath, LanguageOption, deliver, make_schedule
from girderply.errors import OutputError
from girderply.wording import english

if TYPE_CHECKING:
    from girderply.inspection.history import History
    from girderply.inspection.result import Inspection
    from girderply.schedule.types import Schedule


class ResultFormat(StrEnum):
    """How the result is given."""

    TEXT = "text"
    JSON = "json"
    PDF = "pdf"
    HTML = "html"


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
        typer.Option(
            "--format",
            help="text to read, json for programs, pdf to print, html: the next tablet page.",
        ),
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
    language: LanguageOption = None,
) -> None:
    """Judge what an inspector found: accept, add exactly these, or ask the engineer.

    A girder that was not looked at to the end is never accepted. Exit 0 accepted; 1 something is
    to be added, looked at or decided; 2 the record cannot be read or is of another girder.

    The PDF has the result on A4 and, where something is to be added, the drawing of it on A3. The
    HTML is the tick-off page for the next visit: it starts from what was seen, and has what is to
    be added as marks of their own; judge its record with this one as --before. Both need --out,
    and both speak the language of the job or of --language; text and JSON are English.

    Example: girderply inspect two-ply-howe.toml G1-1.json
    """
    if form in {ResultFormat.PDF, ResultFormat.HTML} and out is None:
        raise OutputError(f"{form} is nothing for a terminal: name a file with --out")
    from girderply.inspection.history import History
    from girderply.inspection.record import RecordError

    history = History(make_schedule(job, language))
    try:
        for path in (*(before or ()), record):
            result = history.take_file(path)
    except RecordError as fault:
        say_findings(fault.findings)
        raise typer.Exit(Exit.UNREADABLE) from fault
    if form is ResultFormat.PDF and out is not None:
        _write_pdf(history.schedule, result, out)
    elif form is ResultFormat.HTML and out is not None:
        _write_page(history, result, out)
    else:
        deliver(_text(history, result, form), out)
    raise typer.Exit(Exit.GOOD if result.accepted else Exit.FAILED)


def _text(history: History, result: Inspection, form: ResultFormat) -> str:
    from girderply.inspection.result_words import in_words

    if form is ResultFormat.JSON:
        return json.dumps(result.as_data(), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    return in_words(result, history.schedule)


def _write_page(history: History, result: Inspection, out: Path) -> None:
    """Write the tablet page of the next visit, and say the verdict and what is to be added."""
    from girderply.exchange.atomic import write_text
    from girderply.inspection.result_words import headline
    from girderply.papers.tablet.after import after
    from girderply.papers.tablet.page_file import render_html

    write_text(out, render_html(history.schedule, after(history)))
    say(english(headline(result.verdict)))
    say(f"{len(result.make_good)} to be added are marks of their own on the page")


def _write_pdf(schedule: Schedule, result: Inspection, out: Path) -> None:
    """Write the sheets, and say the verdict, which a file does not say by itself."""
    from girderply.exchange.atomic import write_bytes
    from girderply.inspection.result_words import headline
    from girderply.papers.inspector.inspection_sheet import inspection_pdf

    with working("Laying out the result"):
        data = inspection_pdf(schedule, result)
    write_bytes(out, data)
    say(english(headline(result.verdict)))
