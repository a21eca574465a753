"""The process beside the pages, and which answer belongs to which state of a file."""

from __future__ import annotations

import multiprocessing
import os
import threading
from collections.abc import Callable, Hashable
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures import TimeoutError as TooLongError
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from typing import Any, Final

from girderply.errors import OutputError, words_of
from girderply.wording import said

MOST_KEPT: Final = 60  # answers of one girder
LONGEST: Final = 180.0  # s
GIVES_WAY: Final = 10  # of 19: whoever types is answered first

Key = tuple[Hashable, ...]


@dataclass(slots=True)
class Workers:
    """Tasks under way, by girder.

    What was begun for an earlier text is dropped as soon as a later one is asked for: it is never
    shown, and where it has not begun it never does.
    """

    _pool: ProcessPoolExecutor | None = None
    _texts: dict[str, str] = field(default_factory=dict)
    _tasks: dict[str, dict[Key, Future[Any]]] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def ask(
        self, name: str, text: str, key: Key, task: Callable[..., Any], *args: Any
    ) -> Future[Any]:
        """The answer to a task for a text of a girder, begun now if it is not under way.

        Args:
            name: of the girder.
            text: that the answer is for; the first argument of the task.
            key: tells tasks of one text apart.
            task: a function of a module.
            *args: its other arguments.
        """
        with self._lock:
            if self._texts.get(name) != text:
                for old in self._tasks.pop(name, {}).values():
                    old.cancel()
                self._texts[name] = text
            tasks = self._tasks.setdefault(name, {})
            found = tasks.get(key)
            if found is None or found.cancelled() or _broken(found):
                found = tasks[key] = self._begin(task, text, *args)
            while len(tasks) > MOST_KEPT:
                tasks.pop(next(iter(tasks))).cancel()
            return found

    def _begin(self, task: Callable[..., Any], *args: Any) -> Future[Any]:
        if self._pool is None:
            context = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(1, mp_context=context, initializer=_alone)
        try:
            return self._pool.submit(task, *args)
        except BrokenProcessPool:
            self._pool = None
            return self._begin(task, *args)

    def close(self) -> None:
        """End the process, whatever it is at."""
        with self._lock:
            pool, self._pool = self._pool, None
            if pool is None:
                return
            processes = list((getattr(pool, "_processes", None) or {}).values())
            pool.shutdown(wait=False, cancel_futures=True)
            for process in processes:
                process.terminate()


def _broken(task: Future[Any]) -> bool:
    return task.done() and not task.cancelled() and isinstance(task.exception(), BrokenProcessPool)


def _alone() -> None:
    """Leave Ctrl-C to the process that serves, give way to it, and end with it, however it ends."""
    import signal

    if hasattr(os, "nice"):
        os.nice(GIVES_WAY)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)


def outcome(task: Future[Any]) -> dict[str, Any] | None:
    """`{"value": ...}` or `{"fault": words}`, in no language yet; None while it is under way."""
    if not task.done():
        return None
    try:
        return {"value": task.result()}
    except CancelledError:
        return None
    except Exception as fault:  # noqa: BLE001 - reason: a task may fail in any way; the page says so
        return {"fault": words_of(fault)}


def waited(task: Future[Any]) -> Any:
    """The answer, once it is there.

    Raises:
        OutputError: it took too long.
    """
    try:
        return task.result(LONGEST)
    except TooLongError as fault:
        raise OutputError(said("desk.too_long")) from fault
