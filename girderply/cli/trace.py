"""girderply trace."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from girderply.cli.talk import clean, say, working
from girderply.cli.work import deliver_job
from girderply.wording import english

if TYPE_CHECKING:
    from girderply.tracing.file import Traced

Text = str | None


def _option(name: str, words: str) -> Any:
    return typer.Option(name, help=words)


def trace(
    ctx: typer.Context,
    drawing: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="A drawing, a model, tables or a job."),
    ],
    members: Annotated[
        str,
        _option(
            "--members", "Layer of the members' outlines; in a model the assembly, or members."
        ),
    ] = "",
    plates: Annotated[str, _option("--plates", "Layer of the nail plates.")] = "",
    unit: Annotated[str, _option("--unit", "Of the drawing: mm, cm, m, in, ft.")] = "",
    scale: Annotated[float, _option("--scale", "Of the drawing: 20 for 1:20.")] = 1.0,
    rotation: Annotated[
        float | None, _option("--rotation", "Turns it, degrees counter-clockwise.")
    ] = None,
    tolerance: Annotated[
        float, _option("--tolerance", "How far a panel point may be off its members, mm.")
    ] = 5.0,
    plies: Annotated[int | None, _option("--plies", "Number of plies, 2 to 6.")] = None,
    ply_thickness: Annotated[str, _option("--ply-thickness", "Of one ply: '38 mm'.")] = "",
    timber: Annotated[str, _option("--timber", "As girderply catalogue timber names it.")] = "",
    units: Annotated[str, _option("--units", "metric or imperial; for all of the job.")] = "metric",
    number: Annotated[str, _option("--number", "Job number.")] = "",
    mark: Annotated[str, _option("--mark", "The girder's mark.")] = "",
    loads: Annotated[
        Path | None,
        _option("--loads", "Table of the loads: .csv, a workbook's sheet loads, or - to paste it."),
    ] = None,
    picture: Annotated[
        Path | None, _option("--picture", "Draw what was taken for what (SVG).")
    ] = None,
    out: Annotated[Path | None, _option("--out", "Write the job to this file.")] = None,
) -> None:
    """Turn a drawing of a truss into a job file, and say what was guessed.

    Members are closed outlines, or lines that close together, as the truss designer drew them, or
    the members of a building model (IFC, with girderply[ifc]) or of a saw's file (BTLx); they are
    kept as drawn. Panel points, roles and names are found. What is unclear is refused,
    with what to say; what was guessed stands in the job under assumed, until somebody confirms it.

    Tables are a workbook with sheets nodes, members, plates, bearings and loads, or a folder with
    nodes.csv, members.csv and so on; columns are named as the job file names its keys.

    A job whose girder is a shape becomes the same job by nodes and members, so that one web may be
    deeper or panels unequal.

    Example: girderply trace G1.dxf --plies 3 --picture G1.svg --out G1.toml
    """
    from girderply.exchange.atomic import write_text
    from girderply.tracing.drawing import Options
    from girderply.tracing.file import trace_file
    from girderply.tracing.tables_in import read_loads

    own = ("drawing", "loads", "picture", "out")
    options = Options(**{k: v for k, v in ctx.params.items() if k not in own and v is not None})
    if loads is not None:
        options = replace(options, loads=read_loads(loads))
    with working(f"Tracing {drawing.name}"):
        made = trace_file(drawing, options)
    deliver_job(made.text, out)
    if picture is not None:
        write_text(picture, made.picture)
    _say(made)


def _say(made: Traced) -> None:
    from girderply.cli.terminal_tables import Column, table_text

    columns = (Column("guessed"), Column("value"), Column("why"))
    rows = [(g.key, english(g.value), english(g.why)) for g in made.guesses]
    table = table_text("", columns, rows, terminal=sys.stderr.isatty())
    for line in table.splitlines() if rows else ():
        print(clean(line), file=sys.stderr)
    for note in made.notes:
        say(f"NOTE    {english(note)}")
    say("TIP     Look at each guess and the picture, put in the loads, then: girderply check JOB")
