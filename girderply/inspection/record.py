"""What an inspector found on one girder: the record, its hash, and how it is read.

The record is a JSON file of the schema `girderply.record/2`; one of `/1`, which lacks what a
signature needs, is read too. It is refused, with every reason at once, when it is not such a file,
or when it is of another job, girder, revision or content.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any, Final, Literal

from girderply.errors import Finding, GirderplyError, Severity
from girderply.schedule.types import Schedule
from girderply.units.short_text import printable, shown
from girderply.wording import Words, english

SCHEMA: Final = "girderply.record/2"
FIRST_SCHEMA: Final = "girderply.record/1"
MOST_BYTES: Final = 20_000_000  # with photos
MOST_FINDINGS: Final = 200

State = Literal["good", "missing", "misplaced", "overdriven", "split", "wrong-size", "loose"]
Plain = dict[str, Any]


class RecordError(GirderplyError, ValueError):
    """A record that cannot be read or belongs to something else; carries every finding."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings: tuple[Finding, ...] = tuple(findings)
        super().__init__(
            "; ".join(f"{english(f.where)}: {english(f.message)}" for f in self.findings)
        )


@dataclass(frozen=True, slots=True)
class Mark:
    """What was seen of one fastener; `by_mm` is how far off a misplaced one is, mm."""

    id: str
    state: State
    by_mm: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Count:
    """How many were due and found in one row (None: all rows) of a member in a stage."""

    member: str
    stage: int
    row: int | None
    kind: str
    due: int
    found: int


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signed a stage, and when."""

    stage: int
    name: str
    date: str


@dataclass(frozen=True, slots=True)
class Shift:
    """A row, or all rows (None), of a member in a stage that stands off its marks as a whole, mm.

    `along` from the hook end on, `across` as offsets count: from the centreline.
    """

    member: str
    stage: int
    row: int | None
    along_mm: float
    across_mm: float


@dataclass(frozen=True, slots=True)
class NailSeen:
    """A nail's size as it was read from its box or measured on a nail, mm."""

    d_mm: float
    length_mm: float
    read_from: Literal["box", "nail"]


@dataclass(frozen=True, slots=True)
class StageSeen:
    """What was seen of a stage besides its counts; None or empty where nobody said.

    Attributes:
        nails: every size that went in. finish: of nails and bolts, as on the box.
        washers: under head and nut as drawn, or not. clenched: points that are bent over.
    """

    stage: int
    nails: tuple[NailSeen, ...] = ()
    finish: str = ""
    washers: Literal["as drawn", "other"] | None = None
    clenched: int | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """What a person decided about a question of an earlier result, by its key."""

    about: str
    kind: Literal["none", "measured", "engineer"]
    name: str
    date: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as JPEG in base64: of a stage ("stage 2") or of a fastener, by its id."""

    of: str
    taken: str
    width: int
    height: int
    jpeg: str


@dataclass(frozen=True, slots=True)
class Record:
    """One record, read.

    Attributes:
        piece: which of the equal girders, 1-based.
        previous: hash of the record before this one, or None for the first.
        marks: fasteners that were looked at; any other was not.
        counts: what was counted without being marked one by one.
        gap_mm, alignment_mm: widest gap between plies and their worst misalignment, mm, or None.
        hash: sha256 of the record's canonical JSON (64 hex digits).
        shifts, stages, decisions, photos: see there.
        unsaid: of its identity, what a table does not say.
        on_paper: what was signed or found on paper, in the words of a photo ("stage 2", an id).
        told: (name, date, note) of this record and of those before it, oldest first.
    """

    job: str
    mark: str
    piece: int
    revision: str
    content_hash: str
    inspector: str
    date: str
    previous: str | None
    marks: tuple[Mark, ...]
    counts: tuple[Count, ...]
    gap_mm: float | None
    alignment_mm: float | None
    signatures: tuple[Signature, ...]
    note: str
    hash: str
    shifts: tuple[Shift, ...] = ()
    stages: tuple[StageSeen, ...] = ()
    decisions: tuple[Decision, ...] = ()
    photos: tuple[Photo, ...] = ()
    told: tuple[tuple[str, str, str], ...] = ()
    unsaid: tuple[str, ...] = ()
    on_paper: tuple[str, ...] = ()


def canonical(data: Plain) -> bytes:
    """Canonical JSON of a record: keys sorted, no spaces, UTF-8, whole numbers without a point.

    [RFC 8785, 3.2], for the numbers that a record can hold.
    """
    return json.dumps(
        _whole(data), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    ).encode()


def record_hash(data: Plain) -> str:
    """The sha256 of a record's canonical JSON, 64 hex digits."""
    return hashlib.sha256(canonical(data)).hexdigest()


def _whole(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _whole(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_whole(v) for v in value]
    return int(value) if isinstance(value, float) and value.is_integer() else value


def file_text(path: Path) -> str:
    """The text of a file, UTF-8 with or without its mark.

    Raises:
        RecordError: no such file, a folder, too large, or not UTF-8.
    """
    name = printable(str(path))
    try:
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "the name is not allowed"
        raise RecordError([fault_at("no-file", name, f"cannot be read: {reason}")]) from fault
    if len(content) > MOST_BYTES:
        raise RecordError(
            [fault_at("too-big", name, "is larger than 20 MB; photos are kept small")]
        )
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        text = f"is not text in UTF-8 (byte {fault.start + 1})"
        raise RecordError([fault_at("not-utf8", name, text)]) from None


def parse_record(text: str, schedule: Schedule) -> Record:
    """Read a record from its text and make sure that it is of this girder as it is scheduled.

    Raises:
        RecordError: with every finding: not JSON, values that are not allowed, another job, mark,
            revision or content hash (both values are named), unknown or doubled ids.
    """
    from girderply.inspection.belonging import content_findings, identity_findings
    from girderply.inspection.record_form import to_record

    data = _json(text)
    found = identity_findings(data, schedule)
    record, faults = to_record(data)
    found = [*found, *faults]
    if record is not None and not found:
        found = content_findings(record, schedule)
    if found or record is None:
        raise RecordError(_shortened(found))
    return record


def follows(records: Sequence[Record]) -> None:
    """Make sure that each record names the one before it.

    Args:
        records: of one girder, oldest first.

    Raises:
        RecordError: a record names another one, saying both hashes.
    """
    found = [
        fault_at(
            "history-broken",
            f"record {i + 2}",
            f"names {shown(after.previous or 'none')} as the record before it; that one is "
            f"{before.hash}",
            "a record is missing, or was changed after the next one was made",
        )
        for i, (before, after) in enumerate(pairwise(records))
        if after.previous != before.hash
    ]
    if found:
        raise RecordError(found)


def fault_at(code: str, where: str, message: Words, tip: Words = "") -> Finding:
    """A finding that makes a record unreadable."""
    return Finding(code, Severity.ERROR, where, message, tip=tip)


def _json(text: str) -> Plain:
    try:
        data = json.loads(text, parse_constant=_no_constant, object_pairs_hook=_no_doubles)
    except RecursionError:
        raise RecordError([fault_at("too-deep", "record", "is nested too deeply")]) from None
    except ValueError as fault:
        reason = printable(str(fault))[:200]
        raise RecordError([fault_at("not-json", "record", f"is not JSON: {reason}")]) from None
    if not isinstance(data, dict):
        raise RecordError([fault_at("not-a-record", "record", "is JSON, but no record")])
    return data


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number")


def _no_doubles(pairs: list[tuple[str, Any]]) -> Plain:
    data = dict(pairs)
    if len(data) != len(pairs):
        keys = [k for k, _ in pairs]
        doubled = sorted({k for k in keys if keys.count(k) > 1})
        raise ValueError(f"the key {doubled[0]!r} stands there twice")
    return data


def _shortened(found: Sequence[Finding]) -> list[Finding]:
    if len(found) <= MOST_FINDINGS:
        return list(found)
    more = f"{len(found) - MOST_FINDINGS} more findings are left out; mend these first"
    return [*found[:MOST_FINDINGS], fault_at("more", "record", more)]
