"""One run at a time: a lock on a file that the system frees when the run ends, however it ends."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from girderply.exchange.atomic import as_output_error
from girderply.exchange.register.entry import RegisterError

WAIT = 5.0  # s; an issue takes a fraction of it
_PAUSE = 0.05


@contextmanager
def locked(register: Path, wait: float = WAIT) -> Iterator[None]:
    """Hold the register's lock; the file stays behind, the lock does not.

    Args:
        register: the file that is to be written.
        wait: how long to wait for another run, s.

    Raises:
        RegisterError: another run holds it still after that time.
        OutputError: the lock file cannot be made there.
    """
    path = register.with_name(f".{register.name}.lock")
    with as_output_error(register):
        register.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    try:
        until = time.monotonic() + wait
        while not _taken(handle):
            if time.monotonic() >= until:
                raise RegisterError(
                    f"{register} is held by another run (process {_holder(handle)})",
                    "wait until that run has ended, then issue again; nothing was written",
                )
            time.sleep(_PAUSE)
        os.ftruncate(handle, 0)
        os.pwrite(handle, f"{os.getpid()}\n".encode(), 0) if hasattr(os, "pwrite") else None
        yield
    finally:
        os.close(handle)  # frees the lock


def _holder(handle: int) -> str:
    os.lseek(handle, 0, os.SEEK_SET)
    words = os.read(handle, 32).decode("ascii", "replace").strip()
    return words if words.isdigit() else "not known"


def _taken(handle: int) -> bool:
    """Try to take the lock; False when somebody else has it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(handle, 1 << 20, os.SEEK_SET)  # beyond the text that others read
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
