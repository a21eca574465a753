"""Girderply for programs: read a job, decide its fastening, write its pack, trace a drawing.

Everything is typed, nothing is printed, and nothing is kept between two calls, so that they may
run in threads. What is wrong with a job is a `JobError` with every finding in `findings`; a failed
check is no exception but part of the result.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from os import PathLike, fspath
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from girderply.errors import Finding
    from girderply.jobfile.job import Job
    from girderply.schedule.types import Check, Schedule
    from girderply.strength.sharing import SharingReport
    from girderply.tracing.file import Traced


@dataclass(frozen=True, slots=True)
class Verdict:
    """What `check` says.

    Attributes:
        good: no check failed and no finding is an error.
        findings: what a person must know, errors first.
        failed: the checks that failed.
    """

    good: bool
    findings: tuple[Finding, ...]
    failed: tuple[Check, ...]


def read(source: str | PathLike[str] | Mapping[str, Any]) -> Job:
    """Read a job.

    Args:
        source: path of a job file, its text (with line ends in it), or the same as a dictionary.

    Returns:
        The job in N, mm and rad.

    Raises:
        JobError: with every finding.
    """
    from girderply.jobfile.reader import parse_job, read_job  # noqa: PLC0415

    if isinstance(source, Mapping):
        import tomlkit  # noqa: PLC0415

        return parse_job(tomlkit.dumps(dict(source)))
    if isinstance(source, str) and "\n" in source:
        return parse_job(source)
    return read_job(fspath(source))


def schedule(job: Job | str | PathLike[str] | Mapping[str, Any]) -> Schedule:
    """Decide everything about one girder: fasteners, stages, checks, shares, what is assumed.

    Args:
        job: as `read` gives it, or whatever `read` takes.

    Raises:
        JobError: the girder cannot be built, or names something that is not known.
    """
    from girderply.jobfile.job import Job  # noqa: PLC0415
    from girderply.schedule.build_schedule import build_schedule  # noqa: PLC0415

    return build_schedule(job if isinstance(job, Job) else read(job))


def check(job: Job | Schedule | str | PathLike[str] | Mapping[str, Any]) -> Verdict:
    """Say whether a girder is good for assembly, and everything that a person must know.

    Raises:
        JobError: the job cannot be read or built.
    """
    from girderply.schedule.types import Schedule  # noqa: PLC0415

    made = job if isinstance(job, Schedule) else schedule(job)
    failed = tuple(c for c in made.checks if not c.ok)
    return Verdict(not made.failed, made.findings, failed)


def share(
    made: Schedule,
    *,
    state: Literal["ultimate", "serviceability"] = "ultimate",
    bolts: Literal["tight", "gap"] = "tight",
) -> SharingReport:
    """Ask how the plies really share the load when every fastener is a spring.

    Args:
        made: what `schedule` gave.
        state: design loads, or loads without factors.
        bolts: tight, or with the gap of their holes to take up before they bear.
    """
    from girderply.strength.sharing import sharing_of  # noqa: PLC0415

    return sharing_of(made, state=state, bolt_slip=bolts)


def pack(made: Schedule, folder: str | PathLike[str]) -> Path:
    """Write the whole pack of a girder into a folder, as a whole or not at all.

    Args:
        made: what `schedule` gave.
        folder: that the pack's own folder goes into; it is made where it is missing.

    Returns:
        The pack's folder.

    Raises:
        OutputError: it cannot be written; what was there before is untouched.
    """
    from girderply.cli.pack import pack_files  # noqa: PLC0415
    from girderply.exchange.pack_files import pack_name, put_pack  # noqa: PLC0415

    target = Path(folder) / pack_name(made)
    put_pack(target, made, pack_files(made))
    return target


def trace(path: str | PathLike[str], **options: Any) -> Traced:
    """Turn a drawing, a model or tables into the text of a job.

    Args:
        path: of the file.
        **options: fields of `girderply.tracing.drawing.Options`, such as `plies` or `unit`.

    Returns:
        The text, a picture (SVG), what was guessed and what was left out.

    Raises:
        TraceError: with every finding: unreadable, unclear, or no girder.
    """
    from girderply.tracing.drawing import Options  # noqa: PLC0415
    from girderply.tracing.file import trace_file  # noqa: PLC0415

    return trace_file(Path(path), Options(**options))
