"""Many jobs over several processes: results in the order of the jobs, whatever happens to one.

Jobs are read here, in order, and handed over as data; so it is settled before any work starts
which of two jobs of one name gets the folder. Processes are renewed now and then, so that memory
stays flat, and replaced when one dies.
"""

from __future__ import annotations

import itertools
import signal
from collections import deque
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING

from girderply.cli.batch_work import bug, failed, reason, start_worker, work
from girderply.errors import GirderplyError

if TYPE_CHECKING:
    from girderply.jobfile.job import Job
    from girderply.papers.supplier.batch_summary import Line

RENEWED_AFTER = 60  # jobs per process
AHEAD = 2  # jobs handed over per process before the first is asked for
DIED = "the process that worked on it died (out of memory, or ended from outside)"


@dataclass(slots=True)
class Batch:
    """What is to be done.

    Attributes:
        files: job files. out: folder of the packs. workers: processes. resume: keep what is
            unchanged. language: of the packs, instead of each job's own. taken: pack folder, case
            folded -> job file that has it.
    """

    files: Sequence[Path]
    out: Path
    workers: int
    resume: bool
    language: str | None = None
    taken: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Task:
    """A job that is being worked on, or one that could not be read (`line`)."""

    name: str
    job: Job | None = None
    future: Future[Line] | None = None
    line: Line | None = None


def results(batch: Batch) -> Generator[Line, None, None]:
    """One line per job, in the order of the jobs, as soon as it and all before it are done.

    Closing the iterator early waits for the jobs at hand, starts no more, and leaves only whole
    packs.
    """
    files = iter(batch.files)
    while part := list(itertools.islice(files, RENEWED_AFTER * batch.workers)):
        yield from _with_new_processes(batch, part)


def _with_new_processes(batch: Batch, files: Sequence[Path]) -> Iterator[Line]:
    waiting: deque[Task] = deque()
    crew = _Crew(batch)
    try:
        for file in files:
            if len(waiting) >= AHEAD * batch.workers:
                yield crew.result(waiting.popleft())
            waiting.append(crew.start(read_task(batch, file)))
        while waiting:
            yield crew.result(waiting.popleft())
    finally:
        crew.pool.shutdown(wait=True, cancel_futures=True)


def read_task(batch: Batch, file: Path) -> Task:
    """Read a job and take its folder; what is wrong is a line of the summary."""
    from girderply.cli.work import in_language
    from girderply.exchange.pack_files import folder_name
    from girderply.jobfile.reader import read_job

    name = file.as_posix()
    try:
        job = in_language(read_job(file), batch.language)
        folder = folder_name(job)
    except (GirderplyError, OSError) as fault:
        return Task(name, line=failed(name, reason(fault)))
    except Exception as fault:  # noqa: BLE001 - reason: a job spoils only itself, by a bug too
        # Why everything: one job out of a thousand must not end the batch, even by a bug of ours
        # that its text brings out; the line of the summary says that the tool is at fault.
        return Task(name, line=failed(name, bug(fault)))
    first = batch.taken.setdefault(folder.casefold(), name)
    if first != name:
        return Task(name, line=failed(name, f"its pack would be {folder}, as that of {first}"))
    return Task(name, job)


class _Crew:
    """Processes that work on jobs; a process that dies spoils no job but its own."""

    def __init__(self, batch: Batch) -> None:
        self.batch = batch
        self.pool = _pool(batch.workers)

    def start(self, task: Task) -> Task:
        """Hand a job over."""
        if task.job is None:
            return task
        try:
            return Task(task.name, task.job, self._submit(task))
        except BrokenProcessPool:
            self.pool.shutdown(wait=True)
            self.pool = _pool(self.batch.workers)
            return Task(task.name, task.job, self._submit(task))

    def _submit(self, task: Task) -> Future[Line]:
        with _no_interrupt():  # a process that starts takes this over
            return _submitted(self.pool, self.batch, task)

    def result(self, task: Task) -> Line:
        """Wait for a job; one whose process died, or stood beside one, is tried once more alone."""
        if task.line is not None:
            return task.line
        try:
            return _waited(task)
        except (BrokenProcessPool, CancelledError):
            pass
        with _pool(1) as alone:
            try:
                with _no_interrupt():
                    future = _submitted(alone, self.batch, task)
                return _waited(Task(task.name, task.job, future))
            except BrokenProcessPool:
                return failed(task.name, DIED)


def _submitted(pool: ProcessPoolExecutor, batch: Batch, task: Task) -> Future[Line]:
    if task.job is None:
        raise ValueError("a job that was not read cannot be worked on")
    return pool.submit(work, task.name, task.job, batch.out, batch.resume)


def _waited(task: Task) -> Line:
    if task.future is None:
        raise ValueError("a job that was not handed over has no result")
    return task.future.result()


def _pool(workers: int) -> ProcessPoolExecutor:
    """Processes that start afresh: nothing of this one's state, the same on every system."""
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=start_worker)


@contextmanager
def _no_interrupt() -> Iterator[None]:
    """Hold Ctrl-C back; it comes through afterwards."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
