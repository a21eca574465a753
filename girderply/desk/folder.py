"""The one folder whose jobs are on the desk: nothing outside it is read or written.

A job is named by its file name alone. Names with a separator, hidden names, links and whatever is
no plain file are not there, whatever they point at.
"""

from __future__ import annotations

import hashlib
import os
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from girderply.errors import GirderplyError, OutputError
from girderply.exchange.atomic import write_bytes
from girderply.exchange.names import safe_name
from girderply.jobfile.reader import MOST_BYTES

ENDING: Final = ".toml"
FIRM: Final = "firm.toml"  # is no job
MOST_JOBS: Final = 500  # a folder with more is shown in part, and says so
MOST_NAMES: Final = 999  # tried for a new file before giving up


class NotOnDeskError(GirderplyError, LookupError):
    """A name that is no job file of the folder."""


class OpenedElsewhereError(GirderplyError):
    """The file is not what it was when the change was begun; `now` is what it holds."""

    def __init__(self, now: str) -> None:
        super().__init__("the file was changed elsewhere")
        self.now = now


def version_of(text: str) -> str:
    """What tells one state of a file from another: 16 hex digits."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Folder:
    """A folder of job files.

    Attributes:
        root: real path, no link in it.
    """

    root: Path

    @classmethod
    def at(cls, path: Path) -> Folder:
        """The folder at a path.

        Raises:
            OutputError: there is none.
        """
        real = path.resolve()
        if not real.is_dir():
            raise OutputError(f"{path} is no folder")
        return cls(real)

    def names(self) -> tuple[str, ...]:
        """Names of the job files, sorted as people count; at most `MOST_JOBS`."""
        with os.scandir(self.root) as entries:
            found = [e.name for e in entries if e.name != FIRM and _allowed(e.name) and _plain(e)]
        return tuple(sorted(found, key=_natural)[:MOST_JOBS])

    def path(self, name: str) -> Path:
        """Where a job file of this name is.

        Raises:
            NotOnDeskError: it could lie anywhere else, or is no plain file.
        """
        if not _allowed(name):
            raise NotOnDeskError(f"{name!r} is no name of a job file")
        path = self.root / name
        try:
            mode = path.lstat().st_mode
        except (OSError, ValueError):
            raise NotOnDeskError(f"{name} is not in this folder") from None
        if not stat.S_ISREG(mode):
            raise NotOnDeskError(f"{name} is no plain file")
        return path

    def read(self, name: str) -> str:
        """The text of a job file, line ends as they are.

        Raises:
            NotOnDeskError: no such file, too large, or not UTF-8.
        """
        path = self.path(name)
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
        try:
            with os.fdopen(os.open(path, flags), "rb") as file:
                data = file.read(MOST_BYTES + 1)
            text = data.decode("utf-8")
        except OSError as fault:
            raise NotOnDeskError(f"{name} cannot be read: {fault.strerror}") from fault
        except UnicodeDecodeError:
            raise NotOnDeskError(f"{name} is not text in UTF-8") from None
        if len(data) > MOST_BYTES:
            raise NotOnDeskError(f"{name} is larger than 5 MB; a job file has a few kB")
        return text

    def write(self, name: str, text: str, before: str) -> None:
        """Put a text in the place of another, whole.

        Raises:
            OpenedElsewhereError: the file is not `before` any more.
            NotOnDeskError: no such file. OutputError: it cannot be written.
        """
        now = self.read(name)
        if now != before:
            raise OpenedElsewhereError(now)
        data = text.encode("utf-8")
        if len(data) > MOST_BYTES:
            raise OutputError(f"{name} would be larger than 5 MB; a job file has a few kB")
        write_bytes(self.path(name), data)

    def create(self, wish: str, text: str) -> str:
        """Write a new job file under a name that is free; the name that it got.

        Raises:
            OutputError: it cannot be written.
        """
        stem = safe_name(wish)
        for number in range(1, MOST_NAMES):
            name = f"{stem}{ENDING}" if number == 1 else f"{stem}-{number}{ENDING}"
            path = self.root / name
            try:
                with path.open("xb") as file:  # never over a file that is there
                    file.write(text.encode("utf-8"))
            except FileExistsError:
                continue
            except OSError as fault:
                raise OutputError(f"cannot write {name}: {fault.strerror}") from fault
            return name
        raise OutputError(f"no name is free for {stem}")

    def inner(self, *parts: str) -> Path:
        """A folder of the desk's own inside, made where it is missing.

        Raises:
            OutputError: one of the parts is a link or no folder.
        """
        path = self.root
        for part in parts:
            path = path / safe_name(part)
            if path.is_symlink() or (path.exists() and not path.is_dir()):
                raise OutputError(f"{path.name} is no folder of its own; move it elsewhere")
            path.mkdir(exist_ok=True)
        return path


def _allowed(name: str) -> bool:
    plain = name == os.path.basename(name) and "/" not in name and "\\" not in name
    printable = name.isprintable() and len(name) <= 200
    return plain and printable and name.endswith(ENDING) and not name.startswith(".")


def _plain(entry: os.DirEntry[str]) -> bool:
    return entry.is_file(follow_symlinks=False)


def _natural(name: str) -> tuple[tuple[int, int, str], ...]:
    parts: list[tuple[int, int, str]] = []
    digits = ""
    for char in [*name.casefold(), ""]:
        if char.isascii() and char.isdigit():
            digits += char
            continue
        if digits:
            parts.append((0, int(digits), ""))
            digits = ""
        parts.append((1, 0, char))
    return tuple(parts)
