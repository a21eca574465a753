"""One job of a batch, in a process of its own: from a job that is read to a pack on disk."""

from __future__ import annotations

import os
import signal
import threading
from multiprocessing import parent_process
from pathlib import Path
from typing import TYPE_CHECKING

from girderply.errors import GirderplyError, JobError
from girderply.wording import english

if TYPE_CHECKING:
    from girderply.jobfile.job import Job
    from girderply.papers.supplier.batch_summary import Line


def start_worker() -> None:
    """Leave Ctrl-C to the parent, and end with it should it be killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.join,), daemon=True).start()


def _end_with(join: object) -> None:
    if callable(join):
        join()
        os._exit(1)


def work(name: str, job: Job, out: Path, resume: bool) -> Line:
    """Make the pack of one job, or keep the one that is there.

    Args:
        name: of the job file, as it was given.
        job: as read.
        out: folder that the pack goes into.
        resume: keep a pack that is whole and unchanged.

    Returns:
        The job's line of the summary; whatever goes wrong is in it and never raised.
    """
    try:
        return _packed(name, job, out, resume)
    except (GirderplyError, OSError) as fault:
        return failed(name, reason(fault))
    except Exception as fault:  # noqa: BLE001 - reason: what a worker raises ends the batch
        # Why everything: it would have to be pickled back to the parent and would end the whole
        # batch; here it becomes this job's line, told as a fault of the tool.
        return failed(name, bug(fault))


def _packed(name: str, job: Job, out: Path, resume: bool) -> Line:
    from girderply.cli.pack import pack_files
    from girderply.exchange.batch_kept import is_unchanged
    from girderply.exchange.pack_files import pack_name, put_pack
    from girderply.exchange.second_opinion import seconded
    from girderply.papers.supplier.batch_summary import line_of
    from girderply.schedule.build_schedule import build_schedule

    schedule = seconded(build_schedule(job))
    folder = pack_name(schedule)
    kept = resume and is_unchanged(out / folder, schedule)
    if not kept:
        put_pack(out / folder, schedule, pack_files(schedule))
    return line_of(name, schedule, folder, redone=not kept)


def failed(name: str, why: str) -> Line:
    """The line of a job without a pack."""
    from girderply.papers.supplier.batch_summary import Line

    return Line(name, "failed", why)


def reason(fault: GirderplyError | OSError) -> str:
    """Why a job has no pack, in one line; of many findings the first and their number."""
    if not isinstance(fault, JobError) or not fault.findings:
        return str(fault)
    first, *others = fault.findings
    more = f" (and {len(others)} more)" if others else ""
    return f"{english(first.where)}: {english(first.message)}{more}"


def bug(fault: BaseException) -> str:
    """A fault of the tool itself, said as such."""
    return f"girderply itself is at fault: {type(fault).__name__}: {fault}"
