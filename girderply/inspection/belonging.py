"""Does a record belong to this girder as it is scheduled? Every way in which it does not."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np

from girderply.errors import Finding
from girderply.inspection.photo import jpeg_size
from girderply.inspection.record import Count, Plain, Record, Shift, fault_at
from girderply.layout.records import Bools, Fasteners
from girderply.schedule.types import Schedule
from girderply.units.short_text import did_you_mean, printable, shown


def identity_findings(data: Plain, schedule: Schedule) -> list[Finding]:
    """One finding for each of job, mark, revision and content hash that is another one's."""
    info = schedule.job.info
    own = {
        "job": info.number,
        "mark": schedule.girder.mark,
        "revision": info.revision,
        "content_hash": schedule.content_hash,
    }
    return [
        fault_at(
            "other-girder",
            key,
            f"the record is of {_quoted(data[key])}, the job file gives {_quoted(value)}",
            "take the record of this issue, or inspect again with the sheets that hold now",
        )
        for key, value in own.items()
        if isinstance(data.get(key), str) and data[key] != value
    ]


def _quoted(text: str) -> str:
    """Text in quotes, long enough for a whole hash."""
    return f'"{printable(text[:80])}"'


def content_findings(record: Record, schedule: Schedule) -> list[Finding]:
    """Unknown and doubled ids, counts that this girder does not have, a piece beyond its number."""
    return [
        *_piece(record, schedule),
        *_marks(record, schedule.fasteners),
        *_counts(record, schedule.fasteners),
        *_signatures(record, schedule),
        *_stages(record, schedule),
        *_photos(record, schedule),
    ]


def _piece(record: Record, schedule: Schedule) -> Iterator[Finding]:
    most = schedule.girder.quantity
    if record.piece > most:
        text = f"{record.piece} is not allowed: the job has {most} of this girder"
        yield fault_at("no-such-piece", "piece", text)


def _marks(record: Record, fasteners: Fasteners) -> Iterator[Finding]:
    known = set(fasteners.id.tolist())
    for i, mark in enumerate(record.marks, 1):
        if mark.id not in known:
            yield fault_at(
                "unknown-id",
                f"marks[{i}].id",
                f"{shown(mark.id)} is no fastener of this girder",
                did_you_mean(mark.id, known),
            )
    for name, times in sorted(Counter(m.id for m in record.marks).items()):
        if times > 1:
            yield fault_at("doubled-id", "marks", f"{shown(name)} is marked {times} times")


def group_mask(fasteners: Fasteners, count: Count) -> Bools:
    """(n,) the fasteners that a count is about."""
    mask = (fasteners.member == count.member) & (fasteners.kind == count.kind)
    mask &= fasteners.stage == count.stage
    if count.row is not None:
        mask &= fasteners.row == count.row
    return np.asarray(mask, bool)


def _counts(record: Record, fasteners: Fasteners) -> Iterator[Finding]:
    counted = np.zeros(len(fasteners), np.int64)
    for i, count in enumerate(record.counts, 1):
        where, mask = f"counts[{i}]", group_mask(fasteners, count)
        due = int(mask.sum())
        what = f"{shown(count.member)} stage {count.stage}, {count.kind}s"
        if not due:
            yield fault_at("unknown-count", where, f"{what}: this girder has none there")
        elif due != count.due:
            text = f"{what}: the record says {count.due} are required, the schedule has {due}"
            yield fault_at("other-count-due", where, text)
        if np.any(counted[mask] > 0):
            yield fault_at("doubled-count", where, f"{what} is counted twice")
        counted += mask


def _signatures(record: Record, schedule: Schedule) -> Iterator[Finding]:
    known = {s.number for s in schedule.stages}
    for i, signature in enumerate(record.signatures, 1):
        if signature.stage not in known:
            text = f"there is no stage {signature.stage}; the girder has {len(known)}"
            yield fault_at("unknown-stage", f"signatures[{i}].stage", text)


def _stages(record: Record, schedule: Schedule) -> Iterator[Finding]:
    """Stages and shifts that this girder does not have, or that are told twice."""
    known = {s.number for s in schedule.stages}
    for number, times in sorted(Counter(s.stage for s in record.stages).items()):
        if number not in known or times > 1:
            text = f"stage {number} is told {times} times; the girder has {len(known)} stages"
            yield fault_at("unknown-stage", "stages", text)
    for i, shift in enumerate(record.shifts, 1):
        if not np.any(shift_mask(schedule.fasteners, shift)):
            text = f"{shown(shift.member)} stage {shift.stage}: this girder has none there"
            yield fault_at("unknown-count", f"shifts[{i}]", text)


def _photos(record: Record, schedule: Schedule) -> Iterator[Finding]:
    """Photos that are of nothing here, or are no JPEG of the size that is said."""
    known = {f"stage {s.number}" for s in schedule.stages} | set(schedule.fasteners.id.tolist())
    for i, photo in enumerate(record.photos, 1):
        if photo.of not in known:
            text = f"{shown(photo.of)} is neither a stage nor a fastener of this girder"
            yield fault_at("unknown-id", f"photos[{i}].of", text, did_you_mean(photo.of, known))
        size = jpeg_size(photo.jpeg)
        if size != (photo.width, photo.height):
            told = "no JPEG" if size is None else f"a JPEG of {size[0]} x {size[1]}"
            text = f"is {told}; the record says {photo.width} x {photo.height}"
            yield fault_at("bad-photo", f"photos[{i}].jpeg", text)


def shift_mask(fasteners: Fasteners, shift: Shift) -> Bools:
    """(n,) the fasteners that stand off their marks together."""
    mask = (fasteners.member == shift.member) & (fasteners.stage == shift.stage)
    return np.asarray(mask & ((fasteners.row == shift.row) | (shift.row is None)), bool)
