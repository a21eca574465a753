"""From the text of a job file to everything that is decided about its girder, or why not."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from girderply.errors import Finding, GirderplyError, JobError, Severity
from girderply.jobfile.job import Job
from girderply.jobfile.reader import parse_job
from girderply.schedule.shared import PENDING
from girderply.schedule.solutions import Solutions
from girderply.schedule.types import Schedule
from girderply.wording import said


@dataclass(frozen=True, slots=True)
class Decided:
    """One state of a job file.

    Attributes:
        text: of the file. data: its tables as they stand, or empty where it is no TOML.
        job, schedule: None where the text does not make one; the findings say why.
        findings: of the schedule, or those that stopped it.
    """

    text: str
    data: Mapping[str, Any]
    job: Job | None
    schedule: Schedule | None
    findings: tuple[Finding, ...]

    @property
    def good(self) -> bool:
        """Whether the girder may be assembled; never before the shares of its plies are in."""
        return self.schedule is not None and not self.schedule.failed

    @property
    def whole(self) -> bool:
        """False while the shares of the plies, and what rests on them, are not worked out."""
        return all(f.code != PENDING for f in self.findings)


def decide(
    text: str, folder: Path, *, springs: bool = True, known: Solutions | None = None
) -> Decided:
    """Read and decide, as `girderply check` does; what is wrong is in the findings.

    Args:
        text: of the job file.
        folder: that it lies in.
        springs: False leaves the shares of the plies for later, and a finding says so.
        known: earlier layouts of the girder.

    Returns:
        Everything in no language yet.
    """
    from girderply.schedule.build_schedule import build_schedule

    data = tables(text)
    job = None
    try:
        job = parse_job(text, folder=str(folder))
        _refuse_outside(job, folder)
        schedule = build_schedule(job, springs=springs, known=known)
    except JobError as fault:
        return Decided(text, data, job, None, fault.findings)
    except GirderplyError as fault:
        why = str(fault.args[0]) if fault.args else str(fault)
        found = Finding("refused", Severity.ERROR, "", why)
        return Decided(text, data, job, None, (found,))
    return Decided(text, data, job, schedule, schedule.findings)


def tables(text: str) -> Mapping[str, Any]:
    """The tables of a job file; empty where it is no TOML."""
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError):
        return {}


def _refuse_outside(job: Job, folder: Path) -> None:
    """Refuse a rule file that lies anywhere else than beside the job.

    Raises:
        JobError: it does.
    """
    name = job.fastening.rules_file
    if name is None:
        return
    path = folder / name
    plain = Path(name).name == name and "\\" not in name and not path.is_symlink()
    if not plain or path.resolve().parent != folder.resolve():
        message = said("desk.finding_outside", name=name)
        where = "fastening.rules_file"
        raise JobError([Finding("outside-folder", Severity.ERROR, where, message)])
