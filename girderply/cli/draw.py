"""girderply draw."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import say, working
from girderply.cli.work import JobPath, LanguageOption, exit_code, make_schedule, say_result
from girderply.errors import GirderplyError

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
        Form, typer.Option("--format", help="pdf: one file; svg: a folder of files.")
    ] = Form.PDF,
    out: Annotated[
        Path | None,
        typer.Option("--out", help="File (pdf) or folder (svg). Default: named after the job."),
    ] = None,
    language: LanguageOption = None,
) -> None:
    """Draw chosen sheets of a girder, true to scale.

    Example: girderply draw two-ply-howe.toml --sheet elevation --format svg --out drawings
    """
    made = make_schedule(job, language)
    sheets = chosen_sheets(made, sheet or [])
    with working(f"Drawing {', '.join(sheets)}"):
        target = _draw_pdf(made, sheets, out) if form is Form.PDF else _draw_svg(made, sheets, out)
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


def _draw_pdf(schedule: Schedule, sheets: list[str], out: Path | None) -> Path:
    from girderply.exchange.atomic import write_bytes
    from girderply.exchange.pack import pack_name
    from girderply.papers import render_pdf

    target = out or Path(f"{pack_name(schedule)}.pdf")
    write_bytes(target, render_pdf(schedule, sheets))
    return target


def _draw_svg(schedule: Schedule, sheets: list[str], out: Path | None) -> Path:
    from girderply.exchange.atomic import as_output_error, write_bytes
    from girderply.exchange.pack import pack_name, svg_files
    from girderply.papers import render_svg

    drawings: dict[str, str] = {}
    for name in sheets:
        drawings |= render_svg(schedule, name)
    if not drawings:
        raise GirderplyError(f"{', '.join(sheets)}: a list has no drawing; take --format pdf")
    target = out or Path(pack_name(schedule))
    with as_output_error(target):
        target.mkdir(parents=True, exist_ok=True)
    for name, data in svg_files(drawings).items():
        write_bytes(target / name, data)
    return target
