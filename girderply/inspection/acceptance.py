"""Whether a girder can be certified: what a signature needs, and what a second engine measures.

A girder is certified when nothing is lacking: the verdict on its records is "accepted", no value
of its design is assumed and unconfirmed, and a second engine, which shares nothing with what judged
the records, finds that what stands there carries the loads.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from girderply.inspection.as_built import as_built
from girderply.inspection.bench import Bench
from girderply.inspection.doubt import worst_cases
from girderply.inspection.history import History
from girderply.inspection.questions import missing
from girderply.inspection.record import Record
from girderply.inspection.result import Inspection
from girderply.inspection.shifted import settled
from girderply.schedule.contract import to_contract
from girderply.schedule.types import Schedule
from girderply.verify import verify
from girderply.wording import Said, Words, english, figures, said

MEASURED: Final = ("limits", "transfer", "lengths")  # of what stands; counts are the record's
OUTSIDE: Final = "be driven"  # make-good goes in from an outer face: no stage of the assembly


@dataclass(frozen=True, slots=True)
class Acceptance:
    """One girder, its records and what they came to.

    Attributes:
        schedule: with what was added after earlier records.
        records, results: one each per record, oldest first.
        seen: all that was seen as one record.
        lacking: why it is not certified, in sentences; empty when it can be.
    """

    schedule: Schedule
    records: tuple[Record, ...]
    results: tuple[Inspection, ...]
    seen: Record
    lacking: tuple[Words, ...]

    @property
    def last(self) -> Inspection:
        """The result that holds now."""
        return self.results[-1]


def accepted_by(schedule: Schedule, paths: list[Path]) -> Acceptance:
    """Judge the records of one girder, oldest first, as a whole.

    Raises:
        RecordError: one cannot be read, is of another girder, or does not follow.
    """
    history = History(schedule)
    for path in paths:
        history.take_file(path)
    return acceptance(history)


def acceptance(history: History) -> Acceptance:
    """What keeps a girder from being certified, everything at once.

    Raises:
        ValueError: no record was taken.
    """
    seen = history.merged
    if seen is None:
        raise ValueError("a girder without a record cannot be accepted")
    last = history.results[-1]
    reasons: list[Words] = [*_assumed(history.schedule)]
    if last.accepted:
        reasons += _second_engine(history.schedule, seen, history.stands_for)
    else:
        reasons += [*last.reasons, *(q.text for q in last.asks if q.decided is None)]
        reasons += missing(history.schedule, seen)
    found = {english(words): words for words in dict.fromkeys(reasons)}
    # A question stands among the reasons already, with its key.
    told = tuple(
        words for t, words in found.items() if not any(t != other and t in other for other in found)
    )
    return Acceptance(history.schedule, (*history.records,), (*history.results,), seen, told)


def _assumed(schedule: Schedule) -> Iterator[Said]:
    for one in schedule.unconfirmed:
        yield said("certificate.not_confirmed", what=one.what, value=one.value, key=one.key)


def _second_engine(
    schedule: Schedule, seen: Record, stands_for: Mapping[str, str]
) -> Iterator[Said]:
    """What the second engine finds wrong with what stands and counts, wherever it may stand."""
    bench = Bench.of(schedule, seen.gap_mm)
    built = settled(bench, as_built(schedule, seen, stands_for))
    unsure = np.any(np.array(worst_cases(bench, built)), axis=0)
    stands = built.fasteners.select(built.counts & ~unsure)
    made = replace(schedule, fasteners=stands, content_hash="")
    shifted = bool(np.any(built.moved))  # such rows keep their distances by `settled`
    for d in verify(to_contract(made)).disagreements:
        limit = d.what == "limits" and shifted
        if d.what in MEASURED and not limit and OUTSIDE not in d.text:
            yield said("certificate.second_engine_finds", text=figures(d.text))
