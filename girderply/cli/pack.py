"""girderply pack."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.carried import MODEL, carried, carried_files
from girderply.cli.talk import Exit, clean, product, say, say_fault, working
from girderply.cli.work import (
    LanguageOption,
    PaperName,
    PaperOption,
    exit_code,
    make_schedule,
    paper_of,
    say_result,
)
from girderply.errors import GirderplyError, OutputError

if TYPE_CHECKING:
    from girderply.papers.page.attached import Attached
    from girderply.schedule.types import Schedule


class Reader(StrEnum):
    """Whose document it is."""

    YARD = "yard"
    INSPECTION = "inspection"
    DELIVERY = "delivery"
    ENGINEER = "engineer"


def pack(
    jobs: Annotated[
        list[Path], typer.Argument(metavar="JOB", help="One job file (TOML), or several.")
    ],
    out: Annotated[Path, typer.Option("--out", help="Folder that the packs go into.")] = Path("."),
    reader: Annotated[
        Reader | None,
        typer.Option("--for", help="Only this reader's document, as one PDF beside the packs."),
    ] = None,
    join: Annotated[
        bool, typer.Option("--join", help="Also all documents in one PDF, pack.pdf.")
    ] = False,
    paper: PaperOption = None,
    language: LanguageOption = None,
) -> None:
    """Make the whole pack of a girder: a document per reader, tablet page, drawings and data.

    yard.pdf for the yard hand, inspection.pdf for the inspector, delivery.pdf for the supplier,
    engineer.pdf for the engineer. Each girder gets a folder named after job number, mark and
    revision. It is put in place as a whole; files that people laid into an earlier one stay.

    Example: girderply pack two-ply-howe.toml --out out
    """
    done: dict[Path, Path] = {}
    worst = Exit.GOOD
    for job in jobs:
        if len(jobs) > 1:
            say(f"--- {job}")
        wanted = Wanted(language, paper, join)
        if reader is not None:
            worst = max(worst, _one_document(job, out, reader, wanted))
        else:
            worst = max(worst, _pack_one(job, out, done, wanted))
    raise typer.Exit(worst)


@dataclass(frozen=True, slots=True)
class Wanted:
    """How the papers are wanted: language and paper (None: the job's), and all in one PDF too."""

    language: str | None = None
    paper: PaperName | None = None
    join: bool = False


def _one_document(job: Path, out: Path, reader: Reader, wanted: Wanted) -> Exit:
    """One reader's document of one girder, named after the girder."""
    from girderply.exchange.atomic import as_output_error, write_bytes
    from girderply.exchange.pack_files import pack_name
    from girderply.papers import render_document

    inside: tuple[Attached, ...] = ()
    try:
        schedule = make_schedule(job, wanted.language)
        target = out / f"{pack_name(schedule)}-{reader}.pdf"
        with working(f"Drawing {target.name}"):
            if reader is Reader.DELIVERY:
                inside = carried(schedule, carried_files(schedule))
            pdf = render_document(schedule, str(reader), paper_of(wanted.paper), inside)
        with as_output_error(target):
            out.mkdir(parents=True, exist_ok=True)
        write_bytes(target, pdf)
    except GirderplyError as fault:
        say_fault(fault)
        return Exit.UNREADABLE
    say_result(schedule)
    product(clean(str(target)) + "\n")
    return exit_code(schedule)


def _pack_one(job: Path, out: Path, done: dict[Path, Path], wanted: Wanted) -> Exit:
    from girderply.exchange.pack_files import pack_name, put_pack

    try:
        schedule = make_schedule(job, wanted.language)
        target = out / pack_name(schedule)
        if target in done:
            raise OutputError(f"{job} and {done[target]} would both be {target}")
        with working(f"Drawing {target.name}"):
            files = pack_files(schedule, wanted)
        put = put_pack(target, schedule, files)
    except GirderplyError as fault:
        say_fault(fault)
        return Exit.UNREADABLE
    done[target] = job
    say_result(schedule)
    for words in put.words:
        say(f"NOTE    {target.name}: {words}.")
    product(clean(str(target)) + "\n")
    return exit_code(schedule)


def pack_files(schedule: Schedule, wanted: Wanted | None = None) -> dict[str, bytes]:
    """Path inside the pack -> content; nothing is written and nothing said.

    Raises:
        OutputError: the sheets could not be laid out.
    """
    from girderply.exchange.btlx.btlx_file import btlx_bytes
    from girderply.exchange.dxf_out import dxf_bytes
    from girderply.exchange.ifc.ifc_file import ifc_bytes
    from girderply.exchange.pack_files import data_files, svg_files
    from girderply.exchange.xlsx_out import xlsx_bytes
    from girderply.inspection.counts import blank_csv
    from girderply.papers.sheets import render_documents
    from girderply.papers.tablet.page_file import render_html

    wanted = wanted or Wanted()
    data = {**data_files(schedule), MODEL: ifc_bytes(schedule)}
    inside = carried(schedule, data)
    pdfs, pages = render_documents(schedule, paper_of(wanted.paper), wanted.join, inside)
    svgs = svg_files(pages)
    return {
        **pdfs,
        "tick-off.html": render_html(schedule).encode(),
        "schedule.xlsx": xlsx_bytes([schedule]),
        "girder.dxf": dxf_bytes(schedule),
        "exchange/girder.btlx": btlx_bytes(schedule),
        "tick-off.csv": blank_csv(schedule).encode("utf-8-sig"),
        **data,
        **{f"drawings/{name}": data for name, data in svgs.items()},
    }
