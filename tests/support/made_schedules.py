"""Schedules of the sample jobs, made once per run."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule

SAMPLES = Path(__file__).parents[2] / "sample_jobs"


@cache
def sample(name: str) -> Schedule:
    """The schedule of a sample job, by the name of its file without the ending."""
    return build_schedule(read_job(SAMPLES / f"{name}.toml"))
