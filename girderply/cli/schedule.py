"""girderply schedule."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from girderply.cli.work import JobPath, deliver, exit_code, make_schedule, say_result


class Form(StrEnum):
    """How a schedule is written."""

    TABLE = "table"
    JSON = "json"
    CSV = "csv"


def schedule(
    job: JobPath,
    form: Annotated[
        Form, typer.Option("--format", help="table to read, json for programs, csv for sheets.")
    ] = Form.TABLE,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write to this file instead of the terminal.")
    ] = None,
) -> None:
    """List the fasteners: per member for reading, or every one as JSON or CSV.

    Example: girderply schedule two-ply-howe.toml --format json --out schedule.json
    """
    made = make_schedule(job)
    say_result(made, scope=form is not Form.TABLE)
    if form is Form.JSON:
        from girderply.exchange.json_out import schedule_json

        text = schedule_json(made)
    elif form is Form.CSV:
        from girderply.exchange.csv_out import fasteners_csv

        text = fasteners_csv(made)
    else:
        from girderply.cli.tables import schedule_text

        text = schedule_text(made, terminal=out is None and sys.stdout.isatty())
    deliver(text, out)
    raise typer.Exit(exit_code(made))
