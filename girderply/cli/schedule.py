"""girderply schedule."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.work import (
    JobPath,
    LanguageOption,
    deliver,
    exit_code,
    make_schedule,
    say_result,
)
from girderply.errors import OutputError

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule


class Form(StrEnum):
    """How a schedule is written."""

    TABLE = "table"
    JSON = "json"
    CSV = "csv"
    XLSX = "xlsx"
    DXF = "dxf"
    IFC = "ifc"
    BTLX = "btlx"


FILES = (Form.XLSX, Form.DXF, Form.IFC, Form.BTLX)


def schedule(
    job: JobPath,
    form: Annotated[
        Form,
        typer.Option(
            "--format",
            help="table to read, json for programs, csv or xlsx for sheets, dxf for drawings, "
            "ifc for building models, btlx for the saw.",
        ),
    ] = Form.TABLE,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write to this file instead of the terminal.")
    ] = None,
    language: LanguageOption = None,
) -> None:
    """List the fasteners: per member for reading, or every one as a file for other programs.

    XLSX holds order list, tick-off and checks too, in the language of the job or of --language;
    everything else is English. XLSX, DXF, IFC and BTLX need --out.

    Example: girderply schedule two-ply-howe.toml --format ifc --out G1.ifc
    """
    if form in FILES and out is None:
        raise OutputError(f"{form} is nothing for a terminal: name a file with --out")
    made = make_schedule(job, language)
    say_result(made, scope=form is not Form.TABLE)
    if out is not None and form in FILES:
        from girderply.exchange.atomic import write_bytes

        write_bytes(out, _binary(made, form))
        raise typer.Exit(exit_code(made))
    if form is Form.JSON:
        from girderply.exchange.json_out import schedule_json

        text = schedule_json(made)
    elif form is Form.CSV:
        from girderply.exchange.csv_out import fasteners_csv

        text = fasteners_csv(made)
    else:
        from girderply.cli.terminal_tables import schedule_text

        text = schedule_text(made, terminal=out is None and sys.stdout.isatty())
    deliver(text, out)
    raise typer.Exit(exit_code(made))


def _binary(made: Schedule, form: Form) -> bytes:
    if form is Form.XLSX:
        from girderply.exchange.xlsx_out import xlsx_bytes

        return xlsx_bytes([made])
    if form is Form.IFC:
        from girderply.exchange.ifc.ifc_file import ifc_bytes

        return ifc_bytes(made)
    if form is Form.BTLX:
        from girderply.exchange.btlx.btlx_file import btlx_bytes

        return btlx_bytes(made)
    from girderply.exchange.dxf_out import dxf_bytes

    return dxf_bytes(made)
