"""The verdict on one girder: accept, add exactly these, ask the engineer, or look at the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.inspection.as_built import AsBuilt, as_built, tally
from girderply.inspection.bench import Bench
from girderply.inspection.doubt import gaps_in_doubt
from girderply.inspection.make_good import MakeGood, make_good
from girderply.inspection.questions import (
    Needs,
    Question,
    asked,
    finish_in_doubt,
    missing,
    note_questions,
    photos_missing,
    sizes_wrong,
)
from girderply.inspection.reaching import how_to_reach
from girderply.inspection.record import Record
from girderply.inspection.result import Inspection, MemberCount, Remark, Verdict
from girderply.inspection.shifted import settled
from girderply.layout.records import Fasteners
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, said

GAP_MOST: Final = 3.0  # mm between plies; common practice, no source
NOT_GOOD: Final = ("missing", "misplaced", "overdriven", "split", "wrong-size", "loose")
MANY: Final = 5  # off their marks in one row: the row is off, not each of them
MOST_IDS: Final = 20  # of one state, in a note


def inspect(
    schedule: Schedule,
    record: Record,
    stands_for: Mapping[str, str] | None = None,
    waiting: Sequence[Words] = (),
) -> Inspection:
    """Judge what was built by the schedule that it should be built by.

    Args:
        schedule: the girder's.
        record: read for this schedule (see `girderply.inspection.record`).
        stands_for: id of a fastener added after an earlier record -> id of the one it was for.
        waiting: questions of the record before that an engineer has not decided: a later look, at
            which all is good, does not decide them.

    Returns:
        The verdict with its reasons; nothing is added before the engineer has decided, nor to
        what was only looked at in part.
    """
    bench = Bench.of(schedule, record.gap_mm)
    built = settled(bench, as_built(schedule, record, stands_for))
    notes: list[Words] = list(_notes(schedule, built, record))
    hard = [*_for_engineer(bench, built, record), *sizes_wrong(schedule, record)]
    asks = [
        *asked(dict.fromkeys([*hard, *waiting]), "engineer", record),
        *asked(_too_many(built), "anyone", record),
    ]
    asks += asked([*_unsteady(bench), *finish_in_doubt(schedule, record)], "anyone", record)
    asks += note_questions(record)
    photos = asked(photos_missing(schedule, record), "anyone", record)
    asks += photos
    open_points = list(_open_points(bench, built))
    look = _Look(bench, built, record, notes, asks, frozenset(q.key for q in photos))
    if schedule.failed or open_points:
        return look.result("engineer" if schedule.failed else "partial", open_points, None)
    mended = make_good(bench, built)
    look.asks += asked(
        [t for t in _unmended(bench, mended) if t not in waiting], "engineer", record
    )
    if look.waiting("engineer"):
        return look.result("engineer", [], None)
    lacking = list(missing(schedule, record))
    if len(mended.fasteners) or np.any(built.tighten):
        reasons = [s.text for s in mended.short]
        reasons += [
            said("inspection.bolt_loose", id=name) for name in _ids(schedule, built.tighten)
        ]
        notes += [*_after_counts(bench, built), *how_to_reach(bench, mended), *lacking]
        return look.result("add", reasons, mended)
    if lacking or look.waiting("anyone"):
        return look.result("partial", lacking, mended)
    return look.result("accepted", [_enough(built)], mended)


def _unmended(bench: Bench, mended: MakeGood) -> Iterator[Said]:
    """What no added fastener mends, and checks that fail with all that is added.

    Fasteners are added for interfaces; that a ply does not split is judged on what then stands.
    """
    show = Show(bench.schedule.job.info.units)
    for s in mended.left:
        yield said("inspection.no_mending", text=s.text)
    for c in mended.checks:
        if not c.ok and not c.interface:
            yield said(
                "inspection.against",
                subject=c.subject,
                demand=show.force(c.demand),
                resistance=show.force(c.resistance),
            )


def _unsteady(bench: Bench) -> Iterator[Said]:
    """Where the design holds only with the fasteners at the end of a reach on their marks."""
    if bench.steady or bench.schedule.failed:
        return
    f, most = bench.schedule.fasteners, bench.schedule.rules.tolerance
    names = _ids(bench.schedule, bench.near_border(f, np.full(len(f), most)))
    yield said(
        "inspection.measure_border",
        ids=", ".join(names[:MOST_IDS]),
        n=len(names),
        most=bench.brief.show.small(most),
    )


def _too_many(built: AsBuilt) -> Iterator[Said]:
    """More than due splits the timber, or something else was counted."""
    return (said("inspection.more_than_due", extra=text) for text in built.extra)


@dataclass
class _Look:
    """One look at a girder, on its way to a verdict; `last` are keys of what is asked last."""

    bench: Bench
    built: AsBuilt
    record: Record
    notes: list[Words]
    asks: list[Question]
    last: frozenset[str]

    def waiting(self, needs: Needs) -> list[Question]:
        """Questions that nobody has decided yet."""
        return [q for q in self.asks if q.needs == needs and q.decided is None]

    def result(
        self, verdict: Verdict, reasons: Sequence[Words], mended: MakeGood | None
    ) -> Inspection:
        """The result, with every open question in front, the engineer's first."""
        waiting = [*self.waiting("engineer"), *self.waiting("anyone")]
        first, last = (
            [
                said("inspection.decide", text=q.text, key=q.key)
                for q in waiting
                if (q.key in self.last) == late
            ]
            for late in (False, True)
        )
        every = [*reasons, *first, *last] if verdict == "add" else [*first, *reasons, *last]
        notes = [*self.notes, *(_decided(q) for q in self.asks if q.decided)]
        return _result(
            self.bench, self.built, self.record, verdict, every, notes, mended
        ).with_asks(self.asks)


def _decided(q: Question) -> Words:
    d = q.decided
    if d is None:
        return q.text
    kind = said(f"inspection.decided_{d.kind}")
    return said("inspection.decided", text=q.text, kind=kind, name=d.name, date=d.date, why=d.text)


def _result(
    bench: Bench,
    built: AsBuilt,
    record: Record,
    verdict: Verdict,
    reasons: Sequence[Words],
    notes: Sequence[Words],
    mended: MakeGood | None,
) -> Inspection:
    adds = mended if verdict in ("add", "accepted") else None
    schedule = bench.schedule
    f = schedule.fasteners
    nothing = f.select(np.zeros(len(f), bool))
    known = built.counts & built.seen
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
        make_good=adds.fasteners if adds else nothing,
        instead_of=adds.instead_of if adds else (),
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


def beyond(show: Show, value: float, most: float) -> Said:
    """A length that is over its limit, so that it also reads so."""
    if show.small(value) != show.small(most):
        return show.small(value)
    return said("inspection.just_over", most=show.small(most), by=f"{value - most:.3g}")


def _enough(built: AsBuilt) -> Said:
    gone = int(np.sum(built.lost)) + sum(s.missing for s in built.short)
    if not gone:
        return said("inspection.all_count")
    return said("inspection.enough", gone=gone, all=len(built.counts))


def _ids(schedule: Schedule, mask: np.ndarray) -> list[str]:
    return [str(name) for name in schedule.fasteners.id[mask].tolist()]


def _open_points(bench: Bench, built: AsBuilt) -> Iterator[Said]:
    """Why nothing can be decided yet."""
    schedule = bench.schedule
    if schedule.failed:
        yield said("inspection.design_fails")
    f = schedule.fasteners
    unseen = ~built.seen
    if np.any(unseen):
        members = list(dict.fromkeys(f.member[unseen].tolist()))
        parts = [
            said("inspection.so_many_on", number=int(np.sum(unseen & (f.member == m))), member=m)
            for m in members
        ]
        yield said(
            "inspection.unseen",
            unseen=int(unseen.sum()),
            all=len(f),
            members=joined(", ", parts),
        )
    for name in _ids(schedule, built.unmeasured):
        yield said("inspection.unmeasured", id=name)
    for quarrel in built.quarrels:
        yield said("inspection.count_again", quarrel=quarrel)
    for short in built.short:
        if short.count.kind == FastenerKind.BOLT:
            yield said(
                "inspection.which_bolts",
                member=short.count.member,
                stage=short.count.stage,
                missing=short.missing,
                due=short.count.due,
            )
    for member in gaps_in_doubt(bench, built):
        yield said("inspection.which_nails", member=member)
    yield from _shift_instead(schedule, built)


def _shift_instead(schedule: Schedule, built: AsBuilt) -> Iterator[Said]:
    """Where most of a row is off its marks, the row is: by how much and which way must be said."""
    f = schedule.fasteners
    off = (built.state == "misplaced") & ~built.counts
    for member, stage in dict.fromkeys(
        zip(f.member[off].tolist(), f.stage[off].tolist(), strict=True)
    ):
        row = (f.member == member) & (f.stage == stage) & f.driven
        wrong = int(np.sum(off & row))
        if wrong >= MANY and 2 * wrong >= int(row.sum()):
            yield said(
                "inspection.shift_instead", member=member, stage=stage, wrong=wrong,
                all=int(row.sum()),
            )  # fmt: skip


def _for_engineer(bench: Bench, built: AsBuilt, record: Record) -> Iterator[Said]:
    """What no added fastener mends."""
    schedule, show = bench.schedule, bench.brief.show
    gap, off = record.gap_mm, record.alignment_mm
    if gap is not None and gap > GAP_MOST:
        yield said("inspection.apart", gap=beyond(show, gap, GAP_MOST), most=show.small(GAP_MOST))
    most = schedule.rules.alignment_tolerance
    if off is not None and off > most:
        yield said("inspection.out_of_line", off=beyond(show, off, most), most=show.small(most))
    yield from _splits(bench, built)


def _splits(bench: Bench, built: AsBuilt) -> Iterator[Said]:
    """Splits at bolts, and splits that may run together (common practice, no source)."""
    f = bench.schedule.fasteners
    split = built.state == "split"
    for i in np.flatnonzero(split & f.bolted).tolist():
        yield said("inspection.split_at_bolt", member=str(f.member[i]), id=str(f.id[i]))
    for note in bench.schedule.patterns:
        index = np.flatnonzero(split & f.driven & (f.member == note.member))
        index = index[np.argsort(f.station[index], kind="stable")]
        near = np.flatnonzero(np.diff(f.station[index]) <= note.pitch + 1e-6)
        for k in near.tolist():
            one, two = str(f.id[index[k]]), str(f.id[index[k + 1]])
            yield said("inspection.splits_meet", member=note.member, one=one, two=two)


def _notes(schedule: Schedule, built: AsBuilt, record: Record) -> Iterator[Said]:
    """What is worth knowing and decides nothing."""
    f = schedule.fasteners
    for state in NOT_GOOD:
        here = built.state == state
        if np.any(here):
            good, found = int(np.sum(here & built.counts)), int(here.sum())
            yield said(
                "inspection.not_good" if found <= MOST_IDS else "inspection.not_good_and_more",
                found=found,
                what=said(f"inspection.not_good_{state}"),
                counted=said("inspection.some_count", n=good)
                if good
                else said("inspection.none_counts", n=found),
                ids=", ".join(f.id[here].tolist()[:MOST_IDS]),
            )
    if bench_gap := record.gap_mm:
        yield said("inspection.gap_reckoned", gap=Show(schedule.job.info.units).small(bench_gap))
    if np.any(built.moved):
        here = built.moved
        yield said(
            "inspection.shifted", moved=int(here.sum()), counted=int(np.sum(here & built.counts))
        )
    signed = {s.stage for s in record.signatures if s.name.strip()}
    open_stages = [str(s.number) for s in schedule.stages if s.number not in signed]
    if open_stages:
        yield said("inspection.not_signed", stages=", ".join(open_stages))


def _after_counts(bench: Bench, built: AsBuilt) -> Iterator[Said]:
    """What a count cannot say."""
    notes = {note.member: note for note in bench.schedule.patterns}
    for short in built.short:
        note = notes.get(short.count.member)
        if note is not None:
            yield said(
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
