"""girderply pack."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say, say_fault, working
from girderply.cli.work import LanguageOption, exit_code, make_schedule, say_result
from girderply.errors import GirderplyError, OutputError

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule


def pack(
    jobs: Annotated[
        list[Path], typer.Argument(metavar="JOB", help="One job file (TOML), or several.")
    ],
    out: Annotated[Path, typer.Option("--out", help="Folder that the packs go into.")] = Path("."),
    language: LanguageOption = None,
) -> None:
    """Make the whole pack of a girder: PDF, tablet page, drawings, schedule and order list.

    Each girder gets a folder named after job number, mark and revision. It is put in place as a
    whole; files that people laid into an earlier one stay.

    Example: girderply pack two-ply-howe.toml --out out
    """
    done: dict[Path, Path] = {}
    worst = Exit.GOOD
    for job in jobs:
        if len(jobs) > 1:
            say(f"--- {job}")
        worst = max(worst, _pack_one(job, out, done, language))
    raise typer.Exit(worst)


def _pack_one(job: Path, out: Path, done: dict[Path, Path], language: str | None) -> Exit:
    from girderply.exchange.pack import pack_name, put_pack

    try:
        schedule = make_schedule(job, language)
        target = out / pack_name(schedule)
        if target in done:
            raise OutputError(f"{job} and {done[target]} would both be {target}")
        with working(f"Drawing {target.name}"):
            files = pack_files(schedule)
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


def pack_files(schedule: Schedule) -> dict[str, bytes]:
    """Path inside the pack -> content; nothing is written and nothing said.

    Raises:
        OutputError: the sheets could not be laid out.
    """
    from girderply.exchange.btlx.out import btlx_bytes
    from girderply.exchange.dxf_out import dxf_bytes
    from girderply.exchange.ifc.out import ifc_bytes
    from girderply.exchange.pack import data_files, svg_files
    from girderply.exchange.xlsx_out import xlsx_bytes
    from girderply.inspection.counts import blank_csv
    from girderply.papers.page.typeset import render_made, svg_pages
    from girderply.papers.sheets import make_sheets
    from girderply.papers.tablet.page_file import render_html

    sheets = make_sheets(schedule)
    svgs = svg_files(svg_pages(schedule, sheets))
    return {
        "pack.pdf": render_made(schedule, sheets),
        "tick-off.html": render_html(schedule).encode(),
        "schedule.xlsx": xlsx_bytes([schedule]),
        "girder.dxf": dxf_bytes(schedule),
        "exchange/girder.ifc": ifc_bytes(schedule),
        "exchange/girder.btlx": btlx_bytes(schedule),
        "tick-off.csv": blank_csv(schedule).encode("utf-8-sig"),
        **data_files(schedule),
        **{f"drawings/{name}": data for name, data in svgs.items()},
    }
