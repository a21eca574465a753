"""One line of the register, and the chain that the lines form."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from girderply.errors import GirderplyError
from girderply.exchange.names import folded
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
        supersedes: the revision that this one takes the place of; a line says it only where there
            is one.
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
    supersedes: str = ""

    @property
    def line(self) -> str:
        """The entry as one line of JSON, without its line end."""
        values = {f.name: getattr(self, f.name) for f in fields(self)}
        if self.language == DEFAULT:
            del values["language"]
        if not self.supersedes:
            del values["supersedes"]
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


@dataclass(frozen=True, slots=True)
class Papers:
    """The files of one delivery beside its packs: note, labels, workbook, drawings.

    Attributes:
        packs: folder names of the delivery's packs.
        files: name in the delivery's folder -> sha256.
        previous: sha256 of the line before.
    """

    packs: tuple[str, ...]
    files: Mapping[str, str]
    previous: str

    @property
    def line(self) -> str:
        """The papers as one line of JSON, without its line end."""
        values = {"packs": list(self.packs), "papers": dict(self.files), "previous": self.previous}
        return json.dumps(values, sort_keys=True, ensure_ascii=False, separators=(",", ":"))

    @property
    def hash(self) -> str:
        """The sha256 of the line; the next line names it."""
        return hashlib.sha256(self.line.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Chain:
    """The lines of a register, each naming the one before it."""

    lines: tuple[Entry | Papers, ...] = ()

    @property
    def entries(self) -> list[Entry]:
        """The issued packs, in the order of their issue."""
        return [line for line in self.lines if isinstance(line, Entry)]

    @property
    def head(self) -> str:
        """The sha256 of the last line; it stands for the whole register."""
        return self.lines[-1].hash if self.lines else FIRST

    @property
    def text(self) -> str:
        """The register's file."""
        return "".join(f"{line.line}\n" for line in self.lines)

    def then(self, line: Entry | Papers) -> Chain:
        """The chain with one line more."""
        return Chain((*self.lines, line))

    def number(self, entry: Entry) -> int:
        """The line number of an entry, 1-based."""
        return self.lines.index(entry) + 1


def parse(text: str, where: str) -> Chain:
    """A register's text, its chain followed from the first line to the last.

    Args:
        text: of the whole file.
        where: the file's name, for messages.

    Raises:
        RegisterError: a line that is no entry, or that does not follow from the one before.
    """
    found = Chain()
    for number, line in enumerate(text.split("\n"), 1):
        if not line:
            continue
        entry = _entry(line, f"{where}, line {number}")
        if entry.previous != found.head:
            raise RegisterError(
                f"{where}, line {number} does not follow from the line before it: it names "
                f"{entry.previous[:12]}, that line is {found.head[:12]}; a line was changed or "
                "lost",
                RESTORE,
            )
        found = found.then(entry)
    return found


def _entry(line: str, where: str) -> Entry | Papers:
    entry: Entry | Papers
    try:
        values: Any = json.loads(line)
        if "papers" in values:
            entry = Papers(tuple(values["packs"]), values["papers"], values["previous"])
            kinds = _PAPERS
        else:
            entry = Entry(**(values | {"changes": tuple(values["changes"])}))
            kinds = _KINDS
        sound = all(_is(getattr(entry, name), kind) for name, kind in kinds.items())
        if not sound or entry.line != line:
            raise ValueError
    except (ValueError, TypeError, KeyError, RecursionError):
        raise RegisterError(f"{where} is no entry of a register", RESTORE) from None
    return entry


RESTORE = "restore the register from a copy; nothing was written"
_PAPERS: dict[str, type] = {"packs": tuple, "files": dict, "previous": str}
_KINDS: dict[str, type] = {
    **dict.fromkeys(
        ("job", "mark", "revision", "date", "content_hash", "previous", "language", "supersedes"),
        str,
    ),
    **dict.fromkeys(("quantity", "plies"), int),
    **{"for_assembly": bool, "counts": dict, "files": dict, "changes": tuple},
}


def _is(value: object, kind: type) -> bool:
    return isinstance(value, kind) and (kind is not int or not isinstance(value, bool))
