"""A girder's records one after the other: what was seen before still holds, what was added too.

The first record is judged by the schedule. Where fasteners were to be added, the next record is
judged by the schedule with those, and may mark or count them under their own ids. A fastener that
the later record does not mark keeps its earlier mark.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import TypeVar

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding
from girderply.inspection.counts import parse_counts
from girderply.inspection.judge import inspect
from girderply.inspection.record import (
    Record,
    RecordError,
    Signature,
    fault_at,
    file_text,
    follows,
    parse_record,
)
from girderply.inspection.result import Inspection
from girderply.layout.records import Fasteners, Stage
from girderply.schedule.types import Schedule
from girderply.wording import Words, said

T = TypeVar("T")


@dataclass
class History:
    """Takes the records of one girder, oldest first.

    Attributes:
        schedule: as it stands, with what was to be added so far.
        records, results: one each per record taken.
        merged: all that was seen so far as one record; None before the first.
        stands_for: id of a make-good fastener -> id of the one that it was added for.
        added: numbers of the stages that hold what was to be added.
    """

    schedule: Schedule
    records: list[Record] = field(default_factory=list)
    results: list[Inspection] = field(default_factory=list)
    merged: Record | None = None
    stands_for: dict[str, str] = field(default_factory=dict)
    added: list[int] = field(default_factory=list)

    def take_file(self, path: Path) -> Inspection:
        """Read and judge the next record: a .csv is a tick-off table, all else JSON.

        Raises:
            RecordError: it cannot be read, is of another girder, or does not follow.
        """
        text = file_text(path)
        if path.suffix.lower() == ".csv":
            record = parse_counts(text, self.schedule)
            if self.records:  # a table does not name the record before it
                record = replace(record, previous=self.records[-1].hash)
            return self.take(record)
        return self.take(parse_record(text, self.schedule))

    def take(self, record: Record) -> Inspection:
        """Judge the next record, read for `self.schedule`.

        Raises:
            RecordError: it does not name the one before it, or is of another piece.
        """
        if self.records:
            self._same_piece(record)
            follows([self.records[-1], record])
        merged = _merge(self.merged, record)
        result = inspect(self.schedule, merged, self.stands_for, self._waiting())
        self.records.append(record)
        self.results.append(result)
        self.merged = merged
        if result.verdict == "add":
            self.schedule = with_make_good(self.schedule, result)
            self.added.append(self.schedule.stages[-1].number)
            added = zip(result.make_good.id.tolist(), result.instead_of, strict=True)
            self.stands_for |= {new: old for new, old in added if old}
        return result

    def _waiting(self) -> list[Words]:
        """What the last result asked an engineer, and none has decided."""
        last = self.results[-1].asks if self.results else ()
        return [q.text for q in last if q.needs == "engineer" and q.decided is None]

    def _same_piece(self, record: Record) -> None:
        before = self.records[-1].piece
        if record.piece != before:
            text = f"is of piece {record.piece}, the record before it of piece {before}"
            found: list[Finding] = [fault_at("other-piece", "piece", text)]
            raise RecordError(found)


def _merge(before: Record | None, record: Record) -> Record:
    """The later record with the marks and counts of the earlier ones that it does not repeat."""
    if before is None:
        return record
    marked = {m.id for m in record.marks}
    counted = {(c.member, c.stage, c.kind) for c in record.counts}
    marks = (*(m for m in before.marks if m.id not in marked), *record.marks)
    kept = (c for c in before.counts if (c.member, c.stage, c.kind) not in counted)
    return replace(
        record,
        marks=marks,
        counts=(*kept, *record.counts),
        gap_mm=before.gap_mm if record.gap_mm is None else record.gap_mm,
        alignment_mm=before.alignment_mm if record.alignment_mm is None else record.alignment_mm,
        signatures=_signed(before, record),
        shifts=_later(before.shifts, record.shifts, lambda x: (x.member, x.stage, x.row)),
        stages=_later(before.stages, record.stages, lambda x: x.stage),
        decisions=(*before.decisions, *record.decisions),
        photos=(*before.photos, *(x for x in record.photos if x not in before.photos)),
        told=(*before.told, *record.told),
        on_paper=(*before.on_paper, *record.on_paper),
    )


def _later(before: Iterable[T], after: tuple[T, ...], key: Callable[[T], object]) -> tuple[T, ...]:
    """Both, what is of the same thing as the later one said it."""
    said = {key(x) for x in after}
    return (*(x for x in before if key(x) not in said), *after)


def _signed(before: Record, record: Record) -> tuple[Signature, ...]:
    """Signatures of both; the page of a second visit repeats those of the first."""
    return (*before.signatures, *(x for x in record.signatures if x not in before.signatures))


def with_make_good(schedule: Schedule, result: Inspection) -> Schedule:
    """The schedule with one more stage: what an inspection found was to be added.

    Its content hash stays: the design is the same, and so are its sheets.
    """
    if not len(result.make_good):
        return schedule
    added = _serving(schedule.fasteners, result)
    joined = Fasteners(
        **{
            c.name: np.concatenate([getattr(schedule.fasteners, c.name), getattr(added, c.name)])
            for c in fields(Fasteners)
        }
    )
    stage = Stage(
        number=len(schedule.stages) + 1,
        title=said("inspection.stage_title"),
        action=(),
        plies=tuple(range(1, schedule.girder.plies + 1)),
        face_up="front",
        upright=schedule.job.assembly.upright,
        kinds=tuple(sorted(set(result.make_good.kind.tolist()))),
    )
    return replace(
        schedule,
        fasteners=joined,
        stages=(*schedule.stages, stage),
        nails=result.nails,
        bolts=result.bolts,
    )


def _serving(f: Fasteners, result: Inspection) -> Fasteners:
    """What was added; a bolt that stands in for a bolt has that one's purpose."""
    index = {name: i for i, name in enumerate(f.id.tolist())}
    purpose = result.make_good.purpose.tolist()
    for i, old in enumerate(result.instead_of):
        if old and f.kind[index[old]] == FastenerKind.BOLT:
            purpose[i] = str(f.purpose[index[old]])
    return replace(result.make_good, purpose=np.array(purpose, dtype=np.str_))
