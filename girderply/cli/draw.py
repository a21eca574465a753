"""girderply draw."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import say, working
from girderply.cli.work import JobPath, LanguageOption, exit_code, make_schedule, say_result
from girderply.errors import GirderplyError, OutputError

if TYPE_CHECKING:
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
            help="File (pdf, or .svg for one sheet) or folder (svg). Default: named after the job.",
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
    svg = form is Form.SVG or (form is None and ending == ".svg")
    with working(f"Drawing {', '.join(sheets)}"):
        target = (
            _draw_svg(made, sheets, out) if svg else _draw_pdf(made, sheets if sheet else None, out)
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


def _draw_pdf(schedule: Schedule, sheets: list[str] | None, out: Path | None) -> Path:
    from girderply.exchange.atomic import write_bytes
    from girderply.exchange.pack_files import pack_name
    from girderply.papers import render_pdf

    target = out or Path(f"{pack_name(schedule)}.pdf")
    _refuse_pack(target.parent)
    write_bytes(target, render_pdf(schedule, sheets))
    return target


def _draw_svg(schedule: Schedule, sheets: list[str], out: Path | None) -> Path:
    from girderply.exchange.atomic import as_output_error, write_bytes
    from girderply.exchange.pack_files import pack_name, svg_files
    from girderply.papers import render_svg

    drawings: dict[str, str] = {}
    for name in sheets:
        drawings |= render_svg(schedule, name)
    target = out or Path(f"{pack_name(schedule)}-drawings")
    if target.suffix.lower() == ".svg":
        return _draw_one_svg(drawings, target)
    _refuse_pack(target)
    with as_output_error(target):
        target.mkdir(parents=True, exist_ok=True)
    for name, data in svg_files(drawings).items():
        write_bytes(target / name, data)
    return target


def _draw_one_svg(drawings: dict[str, str], target: Path) -> Path:
    """One drawing as one file."""
    from girderply.exchange.atomic import write_text

    if len(drawings) != 1:
        raise GirderplyError(
            f"{target} is one file and {len(drawings)} drawings are asked for "
            f"({', '.join(drawings)}); name one with --sheet, or give a folder"
        )
    _refuse_pack(target.parent)
    write_text(target, *drawings.values())
    return target


def _refuse_pack(folder: Path) -> None:
    """Nothing is drawn into a pack: its sheets are those that its list of contents names."""
    from girderply.exchange.atomic import CONTENTS

    for place in (folder, *folder.absolute().parents):
        if (place / CONTENTS).is_file():
            raise OutputError(f"{place} is a pack; draw into another folder with --out")
