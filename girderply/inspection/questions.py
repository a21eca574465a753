"""What keeps a girder from being accepted although its fasteners would do: gaps in the record.

Nothing is assumed: what is not in the record is listed as missing. What a person must decide is a
question with a key, which a decision names; the key is taken from the words of the question, so
that a decision is about exactly what was read when it was made.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

import numpy as np

from girderply.bases.finishes import BARE, FINISHES, LeastFinish
from girderply.inspection.record import Decision, Record, StageSeen
from girderply.layout.records import Stage
from girderply.schedule.finish import finish_words, finishes
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import LANGUAGES, Said, Words, english, said, text

SHOWN: Final = 301.0  # mm of a member that one photo shows, rounded; common practice, no source
MOST_IDS: Final = 12  # named in one sentence
SAME: Final = 0.15  # mm: a nail is measured, or read in inches
Needs = Literal["anyone", "engineer"]


@dataclass(frozen=True, slots=True)
class Question:
    """Something that a person must decide: key, words, who may decide it, what was decided."""

    key: str
    text: Words
    needs: Needs
    decided: Decision | None = None


def key_of(text: Words) -> str:
    """The key of a question or a note: eight figures, which can be said aloud."""
    return f"{int(hashlib.sha256(english(text).encode()).hexdigest()[:12], 16) % 10**8:08d}"


def asked(texts: Iterable[Words], needs: Needs, record: Record) -> list[Question]:
    """Questions with what the record decides about them; an engineer's needs an engineer."""
    return [_question(text, needs, record) for text in texts]


def _question(text: Words, needs: Needs, record: Record, key: str = "") -> Question:
    key = key or key_of(text)
    fitting = [
        d
        for d in record.decisions
        if d.about == key and d.name.strip() and (needs == "anyone" or d.kind == "engineer")
    ]
    return Question(key, text, needs, fitting[-1] if fitting else None)


def note_questions(record: Record) -> list[Question]:
    """Every note of the inspector, of the whole and of single fasteners: none is lost."""
    notes = [note.strip() for _, _, note in record.told if note.strip()]
    notes += [f"{m.id}: {m.note.strip()}" for m in record.marks if m.note.strip()]
    return [
        _question(said("inspection.note_said", note=note), "anyone", record, key_of(note))
        for note in dict.fromkeys(notes)
    ]


def missing(schedule: Schedule, record: Record) -> Iterator[Said]:
    """What a signature needs and the record does not say, the first things first."""
    if record.unsaid:
        yield said("inspection.no_identity", what=", ".join(record.unsaid))
    for name, day, _ in record.told or ((record.inspector, record.date, ""),):
        if not name.strip():
            yield said("inspection.no_name")
        looked, drawn = _day(day), _day(schedule.job.info.date)
        if looked is None:
            yield said("inspection.no_date", date=day or said("inspection.not_said"))
        elif drawn is not None and looked < drawn:
            yield said("inspection.date_before", date=day, drawn=schedule.job.info.date)
    yield from _hold_points(schedule, record)
    if record.gap_mm is None:
        yield said("inspection.no_gap")
    if record.alignment_mm is None:
        yield said("inspection.no_alignment")
    seen = {s.stage: s for s in record.stages}
    for stage in schedule.stages:
        yield from _of_stage(schedule, stage, seen.get(stage.number, StageSeen(stage.number)))


def photos_missing(schedule: Schedule, record: Record) -> Iterator[Words]:
    """Hold points and faults that no photo shows, where the job asks for photos.

    A photo of a fastener shows those beside it in its member. Paper takes none: what was signed
    and marked on it is not asked for.
    """
    if schedule.job.info.photos == "offered":
        return
    taken = {p.of for p in record.photos} | set(record.on_paper)
    for stage in schedule.stages:
        if stage.hold_point and f"stage {stage.number}" not in taken:
            yield said("inspection.no_photo_stage", stage=stage.number)
    f = schedule.fasteners
    place = dict(zip(f.id.tolist(), zip(f.member.tolist(), f.station.tolist(), strict=True),
                     strict=True))  # fmt: skip
    seen = [place[name] for name in taken if name in place]
    faults = [m.id for m in record.marks if m.state != "good"]
    unseen = [
        name
        for name in faults
        if not any(m == place[name][0] and abs(s - place[name][1]) <= SHOWN for m, s in seen)
    ]
    if unseen:
        more = [f"+ {len(unseen) - MOST_IDS}"] if len(unseen) > MOST_IDS else []
        yield said("inspection.no_photo_faults", ids=", ".join([*unseen[:MOST_IDS], *more]))


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None


def _hold_points(schedule: Schedule, record: Record) -> Iterator[Said]:
    """Every hold point signed with a real date, none before the one that it follows."""
    before: tuple[int, date] | None = None
    for stage in schedule.stages:
        if not stage.hold_point:
            continue
        own = [s for s in record.signatures if s.stage == stage.number and s.name.strip()]
        days = [day for s in own if (day := _day(s.date)) is not None]
        if not days:
            yield said("inspection.hold_point_open", stage=stage.number)
            continue
        if before is not None and days[0] < before[1]:
            yield said("inspection.hold_point_late", stage=before[0], after=stage.number)
        before = (stage.number, days[0])


def _of_stage(schedule: Schedule, stage: Stage, seen: StageSeen) -> Iterator[Said]:
    f = schedule.fasteners
    mine = f.stage == stage.number
    driven, bolts = mine & f.driven, mine & f.bolted
    if np.any(driven) and not seen.nails:
        yield said("inspection.no_nail_size", stage=stage.number)
    if np.any(mine) and not seen.finish.strip():
        yield said("inspection.no_finish", stage=stage.number)
    if np.any(bolts) and seen.washers is None:
        yield said("inspection.no_washers", stage=stage.number)
    due = int(np.sum(mine & f.clench))
    if due and (seen.clenched is None or seen.clenched < due):
        found = said("inspection.not_said") if seen.clenched is None else str(seen.clenched)
        yield said("inspection.not_clenched", stage=stage.number, due=due, found=found)


def sizes_wrong(schedule: Schedule, record: Record) -> Iterator[Said]:
    """Nails and washers of a stage that are not what is due: the engineer's to decide."""
    f, show = schedule.fasteners, Show(schedule.job.info.units)
    for seen in record.stages:
        driven = (f.stage == seen.stage) & f.driven
        due = [schedule.nails[spec] for spec in dict.fromkeys(f.spec[driven].tolist())]
        for nail in seen.nails:
            fits = any(
                abs(n.d - nail.d_mm) <= SAME and abs(n.length - nail.length_mm) <= max(1.0, SAME)
                for n in due
            )
            if not fits:
                yield said(
                    "inspection.nail_size_wrong",
                    stage=seen.stage,
                    d=show.diameter(nail.d_mm),
                    length=show.small(nail.length_mm),
                    due=", ".join(n.key for n in due),
                )
        if seen.washers == "other":
            yield said("inspection.washers_wrong", stage=seen.stage)
    yield from (what for known, what in _finishes(schedule, record) if known)


def finish_in_doubt(schedule: Schedule, record: Record) -> Iterator[Said]:
    """Finishes as they were read that nobody can rank: a person must compare them."""
    return (what for known, what in _finishes(schedule, record) if not known)


def due_finish(schedule: Schedule, stage: int) -> str:
    """The best finish that any fastener of a stage must have; `BARE` where none is asked for."""
    used = set(schedule.fasteners.spec[schedule.fasteners.stage == stage].tolist())
    asked = [
        one.said or one.least.finish for one in finishes(schedule.job, schedule) if one.spec in used
    ]
    return max(asked, key=FINISHES.index, default=BARE)


def _finishes(schedule: Schedule, record: Record) -> Iterator[tuple[bool, Said]]:
    """Whether a finish is a known one, and what is wrong with it."""
    names = {name.lower(): name for name in FINISHES}
    for language in LANGUAGES:
        names |= {text(finish_words(name), language).lower(): name for name in FINISHES}
    for seen in record.stages:
        due, read = due_finish(schedule, seen.stage), seen.finish.strip()
        own = names.get(read.lower())
        if not read or due == BARE or (own and LeastFinish(due, "").met_by(own)):
            continue
        values = {"stage": seen.stage, "read": read, "due": finish_words(due)}
        if own:
            yield True, said("inspection.finish_wrong", **values)
        else:
            yield False, said("inspection.finish_unknown", **values)
