"""Girders of the samples, and words that try to be more than words."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule

SAMPLES = Path(__file__).parents[2] / "sample_jobs"

FORMULA = '=HYPERLINK("http://x.invalid","y")'
MARKUP = "#strong[x] $a$ <b>&amp;</b> @ref *b*"
CODES = "%%c%%%u \\U+000A\\M+1 ^J"
LINES = "a\n  0\nLINE\r\n"


@cache
def sample(stem: str) -> Schedule:
    """The schedule of a sample job."""
    return build_schedule(read_job(SAMPLES / f"{stem}.toml"))


def reworded(schedule: Schedule, *, mark: str = "", quantity: int = 0, **info: Any) -> Schedule:
    """The schedule with another mark, quantity or words of the job."""
    girder = replace(
        schedule.girder,
        mark=mark or schedule.girder.mark,
        quantity=quantity or schedule.girder.quantity,
    )
    spec = replace(schedule.job.girder, mark=girder.mark, quantity=girder.quantity)
    job = replace(schedule.job, girder=spec, info=replace(schedule.job.info, **info))
    return replace(schedule, girder=girder, job=job)


def hostile(schedule: Schedule) -> Schedule:
    """The schedule with such words wherever a job can put its own."""
    made = reworded(
        schedule, mark=MARKUP, number=FORMULA, title=CODES, revision="-1+2", client=MARKUP,
        site=LINES, truss_designer=FORMULA, prepared_by=CODES,
    )  # fmt: skip
    loads = tuple(replace(load, what=LINES + CODES) for load in made.girder.loads)
    words = np.array([FORMULA] * len(made.fasteners), np.str_)
    findings = tuple(replace(f, message=FORMULA, tip=LINES) for f in made.findings)
    order = tuple(replace(line, note="@SUM(A1)") for line in made.order)
    return replace(
        made,
        girder=replace(made.girder, loads=loads),
        fasteners=replace(made.fasteners, load=words),
        findings=findings,
        order=order,
    )
