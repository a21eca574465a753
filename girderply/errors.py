"""Errors that stop a command, and findings that a person must read.

An error means that the work could not be done at all. A finding is a result: it says where
something is wrong or worth knowing, and the work goes on.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from girderply.wording import Said, Words, english, joined


class GirderplyError(Exception):
    """Root of every error that Girderply raises on purpose; what it says may be in no language."""

    def __str__(self) -> str:
        """What it says, in English."""
        first = self.args[0] if self.args else ""
        return english(first) if isinstance(first, Said) else super().__str__()


def words_of(fault: Exception) -> Words:
    """What an error says, to be told in a language where it has words for it."""
    first = fault.args[0] if fault.args else ""
    return first if isinstance(first, Said) else str(fault) or type(fault).__name__


class RangeError(GirderplyError, ValueError):
    """A number outside the range that a formula or a table is valid for."""


class CheckError(GirderplyError, ValueError):
    """A demand or a resistance that cannot be one; girderply itself is at fault."""


class CatalogueError(GirderplyError, LookupError):
    """A nail, bolt, washer, timber or rule set that is not known."""


class UnansweredError(GirderplyError, LookupError):
    """A question that the design basis of a job does not answer."""


class RuleSetError(GirderplyError, ValueError):
    """A rule set file that cannot be used."""


class OutputError(GirderplyError, OSError):
    """An output file that could not be written; what was there before is untouched."""


class Severity(StrEnum):
    """How much a finding matters: an error stops the assembly, a note does not."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a person must know about a job or its design.

    Attributes:
        code: stable short name, lower case with hyphens, such as `nail-too-short`.
        severity: error, warning or note.
        where: what it is about: a key path of the job file or a member, joint or fastener.
        message: whole sentence with the value found and what is allowed.
        clause: document and clause that asks for it, or an empty string.
        tip: next step for the person, or an empty string.
    """

    code: str
    severity: Severity
    where: Words
    message: Words
    clause: str = ""
    tip: Words = ""


class JobError(GirderplyError, ValueError):
    """A job that cannot be read; carries every finding at once."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings: tuple[Finding, ...] = tuple(findings)
        super().__init__(
            "; ".join(f"{english(f.where)}: {english(f.message)}" for f in self.findings)
        )


class TraceError(JobError):
    """A drawing or model that cannot be traced; carries every finding at once."""


def alike_as_one(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in their order; warnings and notes that differ in their place alone are one.

    An error stays alone: each is mended by itself.
    """
    groups: dict[object, list[Finding]] = {}
    for i, one in enumerate(findings):
        alone = i if one.severity is Severity.ERROR else None
        key = (alone, one.code, one.severity, one.message, one.clause, one.tip)
        groups.setdefault(key, []).append(one)
    return [_at_all(group) for group in groups.values()]


def _at_all(group: list[Finding]) -> Finding:
    places = dict.fromkeys(one.where for one in group if one.where)
    return replace(group[0], where=joined(", ", places)) if len(places) > 1 else group[0]


def has_errors(findings: Iterable[Finding]) -> bool:
    """Tell whether any finding has the severity error."""
    return any(f.severity is Severity.ERROR for f in findings)
