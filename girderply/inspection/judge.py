"""The verdict on one girder: accept, add exactly these, ask the engineer, or look at the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from girderply.inspection.as_built import AsBuilt, as_built, tally
from girderply.inspection.bench import Bench
from girderply.inspection.doubt import worst_case
from girderply.inspection.make_good import MakeGood, make_good
from girderply.inspection.record import Record
from girderply.inspection.result import Inspection, MemberCount, Remark, Verdict
from girderply.layout.records import Fasteners
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import joined, phrase

GAP_MOST: Final = 3.0  # mm between plies; common practice, no source
NOT_GOOD: Final = ("missing", "misplaced", "overdriven", "split", "wrong-size", "loose")
MOST_IDS: Final = 20  # of one state, in a note


def inspect(
    schedule: Schedule, record: Record, stands_for: Mapping[str, str] | None = None
) -> Inspection:
    """Judge what was built by the schedule that it should be built by.

    Args:
        schedule: the girder's.
        record: read for this schedule (see `girderply.inspection.record`).
        stands_for: id of a fastener added after an earlier record -> id of the one it was for.

    Returns:
        The verdict with its reasons; nothing is added before the engineer has decided, nor to
        what was only looked at in part.
    """
    bench, built = Bench.of(schedule), as_built(schedule, record, stands_for)
    for_engineer = list(_for_engineer(bench, built, record))
    open_points = list(_open_points(schedule, built))
    notes = list(_notes(schedule, built, record))
    if schedule.failed or open_points:
        verdict: Verdict = "engineer" if schedule.failed else "partial"
        return _result(bench, built, record, verdict, (*open_points, *for_engineer), notes, None)
    mended = make_good(bench, built)
    for_engineer += [phrase("inspection.no_mending", text=s.text) for s in mended.left]
    # Fasteners are added for interfaces; that a ply does not split is judged on what then stands.
    show = Show(schedule.job.info.units)
    for_engineer += [
        phrase(
            "inspection.against",
            subject=c.subject,
            demand=show.force(c.demand),
            resistance=show.force(c.resistance),
        )
        for c in mended.checks
        if not c.ok and not c.interface
    ]
    if for_engineer:
        return _result(bench, built, record, "engineer", for_engineer, notes, None)
    if len(mended.fasteners) or np.any(built.tighten):
        reasons = [s.text for s in mended.short]
        reasons += [
            phrase("inspection.bolt_loose", id=name) for name in _ids(schedule, built.tighten)
        ]
        notes += _after_counts(bench, built)
        return _result(bench, built, record, "add", reasons, notes, mended)
    reasons = [_enough(built)]
    return _result(bench, built, record, "accepted", reasons, notes, mended)


def _result(
    bench: Bench,
    built: AsBuilt,
    record: Record,
    verdict: Verdict,
    reasons: tuple[str, ...] | list[str],
    notes: list[str],
    mended: MakeGood | None,
) -> Inspection:
    schedule = bench.schedule
    f = schedule.fasteners
    nothing = f.select(np.zeros(len(f), bool))
    known = built.counts & built.seen & ~worst_case(bench, built)
    return Inspection(
        job=record.job,
        mark=record.mark,
        piece=record.piece,
        revision=record.revision,
        content_hash=record.content_hash,
        inspector=record.inspector,
        date=record.date,
        verdict=verdict,
        reasons=tuple(reasons),
        notes=tuple(notes),
        make_good=mended.fasteners if mended else nothing,
        instead_of=mended.instead_of if mended else (),
        nails=mended.nails if mended else schedule.nails,
        bolts=mended.bolts if mended else schedule.bolts,
        tighten=tuple(_ids(schedule, built.tighten)),
        remarks=_remarks(f, built, record),
        checks=mended.checks if mended else bench.checks(f.select(known)),
        counts=tuple(MemberCount(*row) for row in tally(f, built)),
        unseen=tuple(_ids(schedule, ~built.seen)),
        record_hash=record.hash,
        previous_hash=record.previous,
    )


def _enough(built: AsBuilt) -> str:
    gone = int(np.sum(built.lost)) + sum(s.missing for s in built.short)
    if not gone:
        return phrase("inspection.all_count")
    return phrase("inspection.enough", gone=gone, all=len(built.counts))


def _ids(schedule: Schedule, mask: np.ndarray) -> list[str]:
    return [str(name) for name in schedule.fasteners.id[mask].tolist()]


def _open_points(schedule: Schedule, built: AsBuilt) -> Iterator[str]:
    """Why nothing can be decided yet."""
    if schedule.failed:
        yield phrase("inspection.design_fails")
    f = schedule.fasteners
    unseen = ~built.seen
    if np.any(unseen):
        members = list(dict.fromkeys(f.member[unseen].tolist()))
        parts = [
            phrase("inspection.so_many_on", number=int(np.sum(unseen & (f.member == m))), member=m)
            for m in members
        ]
        yield phrase(
            "inspection.unseen",
            unseen=int(unseen.sum()),
            all=len(f),
            members=joined(", ", parts),
        )
    for name in _ids(schedule, built.unmeasured):
        yield phrase("inspection.unmeasured", id=name)
    for quarrel in built.quarrels:
        yield phrase("inspection.count_again", quarrel=quarrel)
    for short in built.short:
        if short.count.kind == "bolt":
            yield phrase(
                "inspection.which_bolts",
                member=short.count.member,
                stage=short.count.stage,
                missing=short.missing,
                due=short.count.due,
            )


def _for_engineer(bench: Bench, built: AsBuilt, record: Record) -> Iterator[str]:
    """What no added fastener mends."""
    schedule, show = bench.schedule, bench.brief.show
    gap, off = record.gap_mm, record.alignment_mm
    if gap is not None and gap > GAP_MOST:
        yield phrase("inspection.apart", gap=show.small(gap), most=show.small(GAP_MOST))
    if off is not None and off > schedule.rules.tolerance:
        most = show.small(schedule.rules.tolerance)
        yield phrase("inspection.out_of_line", off=show.small(off), most=most)
    yield from _splits(bench, built)


def _splits(bench: Bench, built: AsBuilt) -> Iterator[str]:
    """Splits at bolts, and splits that may run together (common practice, no source)."""
    f = bench.schedule.fasteners
    split = built.state == "split"
    for i in np.flatnonzero(split & (f.kind == "bolt")).tolist():
        yield phrase("inspection.split_at_bolt", member=str(f.member[i]), id=str(f.id[i]))
    for note in bench.schedule.patterns:
        index = np.flatnonzero(split & f.driven & (f.member == note.member))
        index = index[np.argsort(f.station[index], kind="stable")]
        near = np.flatnonzero(np.diff(f.station[index]) <= note.pitch + 1e-6)
        for k in near.tolist():
            one, two = str(f.id[index[k]]), str(f.id[index[k + 1]])
            yield phrase("inspection.splits_meet", member=note.member, one=one, two=two)


def _notes(schedule: Schedule, built: AsBuilt, record: Record) -> Iterator[str]:
    """What is worth knowing and decides nothing."""
    f = schedule.fasteners
    for state in NOT_GOOD:
        here = built.state == state
        if np.any(here):
            good, found = int(np.sum(here & built.counts)), int(here.sum())
            yield phrase(
                "inspection.not_good" if found <= MOST_IDS else "inspection.not_good_and_more",
                found=found,
                what=phrase(f"inspection.not_good_{state}"),
                counted=phrase("inspection.some_count", n=good)
                if good
                else phrase("inspection.none_counts", n=found),
                ids=", ".join(f.id[here].tolist()[:MOST_IDS]),
            )
    yield from (phrase("inspection.more_than_due", extra=text) for text in built.extra)
    signed = {s.stage for s in record.signatures if s.name.strip()}
    open_stages = [str(s.number) for s in schedule.stages if s.number not in signed]
    if open_stages:
        yield phrase("inspection.not_signed", stages=", ".join(open_stages))


def _after_counts(bench: Bench, built: AsBuilt) -> Iterator[str]:
    """What a count cannot say."""
    notes = {note.member: note for note in bench.schedule.patterns}
    for short in built.short:
        note = notes.get(short.count.member)
        if note is not None:
            yield phrase(
                "inspection.spare_places",
                member=note.member,
                stage=short.count.stage,
                missing=short.missing,
                widest=bench.brief.show.span(bench.widest(note)),
            )


def _remarks(f: Fasteners, built: AsBuilt, record: Record) -> tuple[Remark, ...]:
    index = {name: i for i, name in enumerate(f.id.tolist())}
    told = sorted(
        ((index[m.id], m) for m in record.marks if m.state != "good" or m.note.strip()),
        key=lambda pair: pair[0],
    )
    return tuple(
        Remark(
            mark.id,
            str(f.member[i]),
            float(f.station[i]),
            mark.state,
            mark.by_mm,
            bool(built.counts[i]),
            mark.note,
        )
        for i, mark in told
    )
