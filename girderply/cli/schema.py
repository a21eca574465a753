"""girderply schema."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from girderply.cli.talk import product


class Of(StrEnum):
    """Which file a schema is of."""

    JOB = "job"
    SCHEDULE = "schedule"


def schema(
    of: Annotated[
        Of, typer.Argument(help="job: the file you write; schedule: the JSON that comes out.")
    ] = Of.JOB,
    text: Annotated[
        bool, typer.Option("--text", help="Every key of a job file in words, to be read.")
    ] = False,
) -> None:
    """Print the JSON Schema of a job file, so that an editor completes and checks it.

    With --text every key of a job file in words: meaning, unit, default and an example, by table.

    Example: girderply schema > girderply-job.schema.json
    """
    import json

    from girderply.exchange.job_schema import job_schema, job_schema_text
    from girderply.exchange.json_out import schedule_schema

    if text:
        product(job_schema_text())
        return
    made = job_schema() if of is Of.JOB else schedule_schema()
    product(json.dumps(made, indent=2, ensure_ascii=False) + "\n")
