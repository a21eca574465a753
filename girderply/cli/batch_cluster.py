"""A batch on a Dask cluster: the same work, handed to machines beyond this one.

Dask keeps the queue, moves what a lost worker had to another, and knows who is there. The folder
of the packs must be one that every worker reaches under the same name.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Generator
from pathlib import Path
from typing import Any, Final

from girderply.cli.batch_run import AHEAD, DIED, Batch, Task, read_task
from girderply.cli.batch_work import failed, work
from girderply.errors import GirderplyError
from girderply.papers.supplier.batch_summary import Line

WAIT: Final = "10s"  # for the scheduler to answer
TRIES: Final = 2  # of a job whose worker died, on another worker each time


def cluster_results(batch: Batch, scheduler: str) -> Generator[Line, None, None]:
    """One line per job, in the order of the jobs, from the workers of a Dask scheduler.

    Args:
        batch: what is to be done; its number of processes does not count here.
        scheduler: address, such as tcp://host:8786.

    Raises:
        GirderplyError: distributed is not installed, or no scheduler with workers answers.
    """
    client = _client(scheduler)
    try:
        ahead = AHEAD * max(1, sum(client.nthreads().values()))
        waiting: deque[tuple[Task, Any]] = deque()
        for file in batch.files:
            if len(waiting) >= ahead:
                yield _line(*waiting.popleft())
            task = read_task(batch, file)
            waiting.append((task, _future(client, batch, task)))
        while waiting:
            yield _line(*waiting.popleft())
    finally:
        client.close()


def _client(scheduler: str) -> Any:
    try:
        import distributed
    except ImportError as fault:
        message = "a cluster needs Dask: pip install 'girderply[cluster]'"
        raise GirderplyError(message) from fault
    try:
        dask: Any = distributed
        client = dask.Client(scheduler, timeout=WAIT, set_as_default=False)
    except (OSError, ValueError) as fault:
        raise GirderplyError(f"no scheduler answers at {scheduler}: {fault}") from fault
    if not client.nthreads():
        client.close()
        raise GirderplyError(f"the scheduler at {scheduler} has no workers")
    return client


def _future(client: Any, batch: Batch, task: Task) -> Any:
    if task.job is None:
        return None
    out = Path(batch.out).absolute()
    return client.submit(
        work, task.name, task.job, out, batch.resume, pure=False, retries=TRIES, key=None
    )


def _line(task: Task, future: Any) -> Line:
    """Wait for a job; one whose workers died again and again is told as such."""
    from distributed import KilledWorker

    if task.line is not None:
        return task.line
    try:
        line: Line = future.result()
    except KilledWorker:
        return failed(task.name, DIED)
    return line
