"""One line of the register, and the chain that the lines form."""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from girderply.errors import GirderplyError
from girderply.wording import DEFAULT

FIRST = "0" * 64  # what the first entry names as the hash before it


class RegisterError(GirderplyError, ValueError):
    """An issue that the register does not allow, or a register that cannot be trusted.

    `tip` is the next step for the person.
    """

    def __init__(self, message: str, tip: str = "") -> None:
        self.tip = tip
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Entry:
    """One issued pack.

    Attributes:
        job, mark, revision: as the job says them. date: of the job, ISO 8601.
        content_hash: of the schedule. quantity: girders to make. plies: of one girder.
        for_assembly: False when a check failed or a finding was an error.
        counts: spec -> fasteners in one girder.
        files: name in the pack -> sha256.
        changes: what changed since the revision before, in sentences.
        previous: sha256 of the line before, `FIRST` for none.
        language: of the sheets; a line says it only where it is not English.
    """

    job: str
    mark: str
    revision: str
    date: str
    content_hash: str
    quantity: int
    plies: int
    for_assembly: bool
    counts: Mapping[str, int]
    files: Mapping[str, str]
    changes: tuple[str, ...]
    previous: str
    language: str = DEFAULT

    @property
    def line(self) -> str:
        """The entry as one line of JSON, without its line end."""
        values = {f.name: getattr(self, f.name) for f in fields(self)}
        if self.language == DEFAULT:
            del values["language"]
        values |= {"counts": dict(self.counts), "files": dict(self.files)}
        return json.dumps(values, sort_keys=True, ensure_ascii=False, separators=(",", ":"))

    @property
    def hash(self) -> str:
        """The sha256 of the line; the next entry names it."""
        return hashlib.sha256(self.line.encode()).hexdigest()

    @property
    def girder(self) -> tuple[str, str]:
        """Job and mark without what a file system may not tell apart."""
        return folded(self.job), folded(self.mark)


def folded(text: str) -> str:
    """A name without case, compatibility forms and blanks around it: `A` and `a` are one."""
    return unicodedata.normalize("NFKC", text).strip().casefold()


def parse(text: str, where: str) -> list[Entry]:
    """Entries of a register's text, their chain followed from the first to the last.

    Args:
        text: of the whole file.
        where: the file's name, for messages.

    Raises:
        RegisterError: a line that is no entry, or that does not follow from the one before.
    """
    found: list[Entry] = []
    before = FIRST
    for number, line in enumerate(text.split("\n"), 1):
        if not line:
            continue
        entry = _entry(line, f"{where}, line {number}")
        if entry.previous != before:
            raise RegisterError(
                f"{where}, line {number} does not follow from the line before it: it names "
                f"{entry.previous[:12]}, that line is {before[:12]}; a line was changed or lost",
                "restore the register from a copy; nothing was written",
            )
        found.append(entry)
        before = entry.hash
    return found


def _entry(line: str, where: str) -> Entry:
    try:
        values: Any = json.loads(line)
        entry = Entry(**(values | {"changes": tuple(values["changes"])}))
        sound = all(_is(getattr(entry, name), kind) for name, kind in _KINDS.items())
        if not sound or entry.line != line:
            raise ValueError
    except (ValueError, TypeError, KeyError, RecursionError):
        raise RegisterError(
            f"{where} is no entry of a register",
            "restore the register from a copy; nothing was written",
        ) from None
    return entry


_KINDS: dict[str, type] = {
    **dict.fromkeys(
        ("job", "mark", "revision", "date", "content_hash", "previous", "language"), str
    ),
    **dict.fromkeys(("quantity", "plies"), int),
    **{"for_assembly": bool, "counts": dict, "files": dict, "changes": tuple},
}


def _is(value: object, kind: type) -> bool:
    return isinstance(value, kind) and (kind is not int or not isinstance(value, bool))
