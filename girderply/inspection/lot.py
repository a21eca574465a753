"""A lot of equal girders: the records of the pieces that were looked at, judged as a sample.

A girder is found wanting when any of its records fails even with everything unseen taken as good:
one that was made good since is good, and the lot was found wanting all the same (ISO 2859-1:1999,
from memory, clause not looked up: items found nonconforming count, whatever becomes of them). What
was the engineer's to decide is cleared by an engineer's recorded decision and by nothing else.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from girderply.errors import Finding
from girderply.inspection.belonging import group_mask
from girderply.inspection.counts import parse_counts
from girderply.inspection.history import History
from girderply.inspection.judge import inspect
from girderply.inspection.record import (
    Mark,
    Record,
    RecordError,
    fault_at,
    file_text,
    record_hash,
)
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
    records: dict[int, list[_Known]] = {}
    for path in paths:
        known = _known(path, schedule)
        records.setdefault(known.piece, []).append(known)
    pieces = {n: _judged(schedule, _chain(found)) for n, found in sorted(records.items())}
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
            raise RecordError(_of_file(path, fault)) from fault
        found.append(_at_best(*before, history.merged))
    wanting: list[Verdict] = [v for v in found if v == "add"]
    # An engineer's question is open until an engineer has decided it, however good all looks now.
    wanting += [v for v in found[-1:] if v == "engineer"]
    now = history.results[-1]
    cleared = "accepted" if "engineer" in found and now.verdict == "accepted" else now.verdict
    return Piece(tuple(paths), [*wanting, cleared][0], now)


def _of_file(path: Path, fault: RecordError) -> list[Finding]:
    """The findings of a file, each with its name."""
    return [fault_at(f.code, f"{path.name}: {f.where}", f.message, f.tip) for f in fault.findings]


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


@dataclass(frozen=True, slots=True)
class _Known:
    """What orders a record before it is read as a whole."""

    path: Path
    piece: int
    hash: str
    previous: object


def _known(path: Path, schedule: Schedule) -> _Known:
    if path.suffix.lower() == ".csv":
        try:
            table = parse_counts(file_text(path), schedule)
        except RecordError as fault:
            raise RecordError(_of_file(path, fault)) from fault
        if "piece" in table.unsaid:
            text = "the table names no piece: fill in its column"
            raise RecordError([fault_at("no-piece", path.name, text)])
        return _Known(path, table.piece, table.hash, None)
    try:
        said = json.loads(file_text(path))
        piece, own = said["piece"], record_hash(said)
    except (ValueError, RecursionError, KeyError, TypeError):
        piece, own = None, ""
    if isinstance(piece, bool) or not isinstance(piece, int):
        text = "is no record of the tablet: it names no piece"
        raise RecordError([fault_at("no-piece", path.name, text)])
    return _Known(path, piece, own, said.get("previous"))


def _chain(known: Sequence[_Known]) -> list[Path]:
    """The records of a piece, oldest first.

    Raises:
        RecordError: one of them follows none of the others.
    """
    left, order, last = list(known), [], None
    while left:
        following = [k for k in left if k.previous == last]
        if not following:
            names = ", ".join(sorted(k.path.name for k in left))
            text = (
                f"piece {left[0].piece}: no record here is the one before it; a record is missing, "
                "or one was changed"
            )
            raise RecordError([fault_at("no-chain", names, text)])
        if len(following) > 1:
            names = ", ".join(sorted(k.path.name for k in following))
            text = f"piece {left[0].piece}: each of these claims the same record before it"
            raise RecordError([fault_at("no-chain", names, text)])
        left.remove(following[0])
        order.append(following[0].path)
        last = following[0].hash
    return order
