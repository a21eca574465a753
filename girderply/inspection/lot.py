"""A lot of equal girders: the records of the pieces that were looked at, judged as a sample.

A girder counts as it was found when it had first been looked at to the end: one that was made good
since is good, and the lot was found wanting all the same (ISO 2859-1:1999, from memory, clause not
looked up: items found nonconforming count, whatever becomes of them).
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from girderply.inspection.history import History
from girderply.inspection.record import RecordError, fault_at, file_text, record_hash
from girderply.inspection.result import Inspection
from girderply.inspection.sampling import LotResult, SamplePlan, judge_lot
from girderply.schedule.types import Schedule


@dataclass(frozen=True, slots=True)
class Piece:
    """One girder of a lot.

    Attributes:
        records: its files, oldest first.
        found: result of the first record that looked at everything; of the last one where none did.
        now: result of its last record.
    """

    records: tuple[Path, ...]
    found: Inspection
    now: Inspection


@dataclass(frozen=True, slots=True)
class Lot:
    """What is known of a lot.

    Attributes:
        plan: how many to look at. sample: which pieces, rising.
        pieces: by number, those outside the sample too.
        result: of the lot.
    """

    plan: SamplePlan
    sample: tuple[int, ...]
    pieces: Mapping[int, Piece]
    result: LotResult

    @property
    def settled(self) -> bool:
        """True when the lot is accepted and every girder that was looked at is good now."""
        return self.result.verdict == "accepted" and all(
            p.now.verdict == "accepted" for p in self.pieces.values()
        )


def judge_records(schedule: Schedule, plan: SamplePlan, paths: Sequence[Path]) -> Lot:
    """Judge every piece by its own records, and the lot by those of the sample.

    Args:
        schedule: of the girder.
        plan: of the lot.
        paths: records of the tablet (JSON), in any order: each names the one before it.

    Raises:
        RecordError: a file is no record of this girder, or the records of a piece are no chain.
    """
    records: dict[int, list[_Known]] = {}
    for path in paths:
        known = _known(path)
        records.setdefault(known.piece, []).append(known)
    pieces = {n: _judged(schedule, _chain(found)) for n, found in sorted(records.items())}
    sample = plan.pieces(schedule.content_hash)
    verdicts = {n: piece.found.verdict for n, piece in pieces.items()}
    return Lot(plan, sample, pieces, judge_lot(plan, sample, verdicts))


def _judged(schedule: Schedule, paths: Sequence[Path]) -> Piece:
    history = History(schedule)
    for path in paths:
        try:
            history.take_file(path)
        except RecordError as fault:
            found = [
                fault_at(f.code, f"{path.name}: {f.where}", f.message, f.tip)
                for f in fault.findings
            ]
            raise RecordError(found) from fault
    whole = [r for r in history.results if r.verdict != "partial"]
    return Piece(tuple(paths), [*whole, history.results[-1]][0], history.results[-1])


@dataclass(frozen=True, slots=True)
class _Known:
    """What orders a record before it is read as a whole."""

    path: Path
    piece: int
    hash: str
    previous: object


def _known(path: Path) -> _Known:
    if path.suffix.lower() == ".csv":
        text = (
            "a tick-off table names no piece; only records of the tablet (JSON) can be told apart"
        )
        raise RecordError([fault_at("no-piece", path.name, text)])
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
