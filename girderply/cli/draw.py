"""girderply draw."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import say, working
from girderply.cli.work import (
    JobPath,
    LanguageOption,
    PaperName,
    exit_code,
    make_schedule,
    paper_of,
    say_result,
)
from girderply.errors import GirderplyError, OutputError

if TYPE_CHECKING:
    from girderply.papers.page.paper import Paper
    from girderply.schedule.types import Schedule


class Form(StrEnum):
    """What a drawing is written as."""

    PDF = "pdf"
    SVG = "svg"


def draw(
    job: JobPath,
    sheet: Annotated[
        list[str] | None,
        typer.Option(
            "--sheet",
            help="A sheet to draw; give it again for more. Default: all of the pack. stick-BC1 "
            "is that member's stations at 1:1: pdf for A4, svg whole for a plotter.",
        ),
    ] = None,
    form: Annotated[
        Form | None,
        typer.Option(
            "--format",
            help="pdf: one file; svg: a folder of files. Default: as --out ends, or pdf.",
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            help="File (pdf or .svg; several svg get -1, -2 and so on in their names) or folder "
            "(svg). Default: named after the job.",
        ),
    ] = None,
    paper: Annotated[
        PaperName | None,
        typer.Option(
            "--paper",
            help="Size of the sheets of the pack. Left out: each has its own. Sheets that no "
            "document carries (elevation, sticks) keep theirs.",
            case_sensitive=False,
        ),
    ] = None,
    language: LanguageOption = None,
) -> None:
    """Draw chosen sheets of a girder, true to scale.

    Example: girderply draw two-ply-howe.toml --sheet elevation --format svg --out drawings
    """
    ending = out.suffix.lower() if out else ""
    if form is Form.PDF and ending == ".svg":
        raise GirderplyError(f"{out} ends in .svg and --format says pdf; leave one of them out")
    made = make_schedule(job, language)
    sheets = chosen_sheets(made, sheet or [])
    if paper is not None:
        _refuse_paper(made, sheets)
    size = paper_of(paper)
    svg = form is Form.SVG or (form is None and ending == ".svg")
    with working(f"Drawing {', '.join(sheets)}"):
        target = (
            _draw_svg(made, sheets, out, size)
            if svg
            else _draw_pdf(made, sheets if sheet else None, out, size)
        )
    say_result(made)
    say(f"Written: {target}")
    raise typer.Exit(exit_code(made))


def chosen_sheets(schedule: Schedule, wanted: list[str]) -> list[str]:
    """The wanted sheets in the order of the pack; all of them when none is named.

    Raises:
        GirderplyError: a sheet that this girder does not have.
    """
    from difflib import get_close_matches

    from girderply.papers.sheets import makers, on_demand

    pack = list(makers(schedule))
    known = [*pack, *on_demand(schedule)]
    for name in wanted:
        if name not in known:
            near = get_close_matches(name, known, 1)
            hint = f"; did you mean {near[0]!r}?" if near else ""
            raise GirderplyError(f"no sheet {name!r}{hint} (sheets: {', '.join(known)})")
    return [name for name in known if name in wanted] if wanted else pack


def _refuse_paper(schedule: Schedule, sheets: list[str]) -> None:
    """A size of paper that none of the sheets would have."""
    from girderply.papers.sheets import makers

    if not set(sheets) & set(makers(schedule)):
        raise GirderplyError(f"--paper: {', '.join(sheets)} has a size of its own; leave it out")


def _draw_pdf(
    schedule: Schedule, sheets: list[str] | None, out: Path | None, paper: Paper | None
) -> Path:
    from girderply.exchange.atomic import write_bytes
    from girderply.exchange.pack_files import pack_name
    from girderply.papers import render_pdf

    target = out or Path(f"{pack_name(schedule)}.pdf")
    _refuse_pack(target.parent)
    write_bytes(target, render_pdf(schedule, sheets, paper))
    return target


def _draw_svg(schedule: Schedule, sheets: list[str], out: Path | None, paper: Paper | None) -> Path:
    from girderply.exchange.atomic import as_output_error, write_bytes
    from girderply.exchange.pack_files import pack_name, svg_files
    from girderply.papers import render_svg

    drawings: dict[str, str] = {}
    for name in sheets:
        drawings |= render_svg(schedule, name, paper)
    target = out or Path(f"{pack_name(schedule)}-drawings")
    if target.suffix.lower() == ".svg":
        return _draw_svg_files(list(drawings.values()), target)
    _refuse_pack(target)
    with as_output_error(target):
        target.mkdir(parents=True, exist_ok=True)
    for name, data in svg_files(drawings).items():
        write_bytes(target / name, data)
    return target


def _draw_svg_files(drawings: list[str], target: Path) -> Path:
    """One drawing as this file, several as a numbered series; the first of them is named."""
    from girderply.exchange.atomic import write_text

    _refuse_pack(target.parent)
    if len(drawings) == 1:
        write_text(target, drawings[0])
        return target
    series = [
        target.with_name(f"{target.stem}-{i}{target.suffix}") for i, _ in enumerate(drawings, 1)
    ]
    for place, drawing in zip(series, drawings, strict=True):
        write_text(place, drawing)
    say(f"{len(series)} drawings, one file each")
    return series[0]


def _refuse_pack(folder: Path) -> None:
    """Nothing is drawn into a pack: its sheets are those that its list of contents names."""
    from girderply.exchange.atomic import CONTENTS

    for place in (folder, *folder.absolute().parents):
        if (place / CONTENTS).is_file():
            raise OutputError(f"{place} is a pack; draw into another folder with --out")
