"""Where a job lies: a job file, a pack (its folder, or the schedule.json in it), or the input."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import Final

from girderply.errors import JobError
from girderply.jobfile.job import Job
from girderply.jobfile.logo import pack_name_of
from girderply.jobfile.paths import error
from girderply.jobfile.reader import MOST_BYTES, decoded, parse_job, read_job
from girderply.units.short_text import printable

JOB, RULES, SCHEDULE = "job.toml", "rules.toml", "schedule.json"
STDIN: Final = Path("-")


def open_job(path: Path) -> Job:
    """Read a job from wherever it lies.

    Args:
        path: a job file; the folder of a pack, or its schedule.json; "-": what is piped in.

    Raises:
        JobError: with every finding, as `read_job`; or there is no job in the folder.
    """
    if path == STDIN:
        content = sys.stdin.buffer.read(MOST_BYTES + 1)
        return parse_job(decoded(content, "what was piped in"), folder=".")
    pack = pack_of(path)
    if pack is None:
        return read_job(path)
    if not (pack / JOB).exists():
        message = f"{printable(str(pack))} holds no {JOB}: it is no pack, or one made before packs"
        tip = "name the job file that it was made from"
        raise JobError([error("no-file", (), f"{message} carried their job", tip)])
    job = read_job(pack / JOB)
    if job.fastening.rules_file is not None and (pack / RULES).exists():
        job = replace(job, fastening=replace(job.fastening, rules_file=RULES))
    if job.info.logo and (pack / pack_name_of(job.info.logo)).exists():
        job = replace(job, info=replace(job.info, logo=pack_name_of(job.info.logo)))
    return job


def pack_of(path: Path) -> Path | None:
    """The folder of the pack that a path names, or None for a job file."""
    if path == STDIN:
        return None
    if path.is_dir():
        return path
    return path.parent if path.name == SCHEDULE else None
