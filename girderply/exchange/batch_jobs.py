"""Which job files a batch means: files, folders and patterns, each file once, in a fixed order."""

from __future__ import annotations

import glob
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from girderply.errors import GirderplyError

ENDING = ".toml"


class BatchError(GirderplyError, ValueError):
    """A batch that names no job, or a place that is not there; `tip` is what to do next."""

    def __init__(self, message: str, tip: str = "") -> None:
        super().__init__(message)
        self.tip = tip


def job_files(words: Iterable[str]) -> list[Path]:
    """The job files that these words mean, in the order given, each one once.

    Args:
        words: paths of files, paths of folders (every `.toml` file in and below them, sorted), or
            patterns with `*`, `?`, `[...]` and `**`.

    Raises:
        BatchError: a word that means no job file.
    """
    found: dict[str, Path] = {}
    for word in words:
        files = list(_meant(word))
        if not files:
            raise BatchError(
                f"{word}: no job file there",
                f"name files ending in {ENDING}, a folder of them, or a pattern in quotes",
            )
        for file in files:
            found.setdefault(os.path.realpath(file), file)  # bears a link that leads to itself
    return list(found.values())


def _meant(word: str) -> Iterator[Path]:
    path = Path(word)
    if path.is_dir():
        below = path.rglob(f"*{ENDING}")
        yield from sorted(p for p in below if _is_job(p) and not _hidden(p.relative_to(path)))
    elif path.is_file() or not glob.has_magic(word):
        yield path  # a file that is not there is told as such when it is read
    else:
        yield from sorted(p for p in map(Path, glob.glob(word, recursive=True)) if _is_job(p))


def _is_job(path: Path) -> bool:
    """A file, or a link to one that is gone: that is told when it is read, not passed over."""
    return path.is_file() or (path.is_symlink() and not path.exists())


def _hidden(path: Path) -> bool:
    return any(part.startswith(".") for part in path.parts)
