"""A lot of equal girders: the records of the pieces that were looked at, judged as a sample.

A girder is found wanting when any of its records fails even with everything unseen taken as good:
one that was made good since is good, and the lot was found wanting all the same (ISO 2859-1:1999,
from memory, clause not looked up: items found nonconforming count, whatever becomes of them). What
was the engineer's to decide is cleared by an engineer's recorded decision and by nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from girderply.inspection.belonging import group_mask
from girderply.inspection.chains import chains, of_file
from girderply.inspection.history import History
from girderply.inspection.judge import inspect
from girderply.inspection.record import Mark, Record, RecordError
from girderply.inspection.result import Inspection, Verdict
from girderply.inspection.sampling import LotResult, LotVerdict, SamplePlan, judge_lot
from girderply.schedule.types import Schedule


@dataclass(frozen=True, slots=True)
class Piece:
    """One girder of a lot.

    Attributes:
        records: its files, oldest first.
        found: add or engineer where any record fails at best; else as it is now.
        now: result of its last record.
    """

    records: tuple[Path, ...]
    found: Verdict
    now: Inspection


@dataclass(frozen=True, slots=True)
class Lot:
    """What is known of a lot.

    Attributes:
        plan: how many to look at. sample: which pieces, rising; empty before it is drawn.
        pieces: by number, those outside the sample too.
        result: of the lot.
    """

    plan: SamplePlan
    sample: tuple[int, ...]
    pieces: Mapping[int, Piece]
    result: LotResult

    @property
    def settled(self) -> bool:
        """True when the lot is accepted or closed and every girder looked at is good now."""
        return self.result.verdict in ("accepted", "closed") and all(
            p.now.verdict == "accepted" for p in self.pieces.values()
        )


def judge_records(
    schedule: Schedule, plan: SamplePlan, paths: Sequence[Path], seed: str = ""
) -> Lot:
    """Judge every piece by its own records, and the lot by those of the sample.

    Args:
        schedule: of the girder.
        plan: of the lot.
        paths: records of the tablet (JSON), in any order: each names the one before it; or filled
            tick-off tables (CSV) that name their piece, one for each girder.
        seed: that the sample is drawn from; empty: it is not drawn yet.

    Raises:
        RecordError: a file is no record of this girder, or the records of a piece are no chain.
    """
    pieces = {n: _judged(schedule, found) for n, found in chains(schedule, paths).items()}
    every = range(1, plan.lot_size + 1)
    if all(n in pieces and pieces[n].now.verdict == "accepted" for n in every):
        bad = tuple(n for n in every if pieces[n].found in ("add", "engineer"))
        reason = "every girder of the lot was looked at, and every one is good now"
        return Lot(plan, tuple(every), pieces, LotResult("closed", reason, bad, ()))
    verdicts: dict[int, Verdict] = {n: piece.found for n, piece in pieces.items()}
    if not seed:
        bad = tuple(n for n, v in verdicts.items() if v in ("add", "engineer"))
        told: LotVerdict = "rejected" if len(bad) >= plan.reject else "open"
        reason = f"{len(bad)} nonconforming; the sample is not drawn yet"
        return Lot(plan, (), pieces, LotResult(told, reason, bad, ()))
    sample = plan.pieces(seed)
    return Lot(plan, sample, pieces, judge_lot(plan, sample, verdicts))


def _judged(schedule: Schedule, paths: Sequence[Path]) -> Piece:
    history, found = History(schedule), []
    for path in paths:
        try:
            before = history.schedule, dict(history.stands_for)
            history.take_file(path)
        except RecordError as fault:
            raise RecordError(of_file(path, fault)) from fault
        found.append(_at_best(*before, history.merged))
    wanting: list[Verdict] = [v for v in found if v == "add"]
    # An engineer's question is open until an engineer has decided it, however good all looks now.
    decided = history.merged is not None and any(
        d.kind == "engineer" and d.name.strip() for d in history.merged.decisions
    )
    wanting += [v for v in (found[-1:] if decided else found) if v == "engineer"]
    now = history.results[-1]
    cleared = "accepted" if "engineer" in found and now.verdict == "accepted" else now.verdict
    return Piece(tuple(paths), [*wanting, cleared][0], now)


def _at_best(schedule: Schedule, stands_for: Mapping[str, str], seen: Record | None) -> Verdict:
    """The verdict if everything that nobody looked at were good."""
    if seen is None:
        return "partial"
    marked = {m.id for m in seen.marks}
    counted = np.zeros(len(schedule.fasteners), bool)
    for count in seen.counts:
        counted |= group_mask(schedule.fasteners, count)
    rest = [n for n in schedule.fasteners.id[~counted].tolist() if n not in marked]
    good = replace(seen, marks=(*seen.marks, *(Mark(n, "good") for n in rest)))
    return inspect(schedule, good, stands_for).verdict
