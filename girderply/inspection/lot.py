"""A lot of equal girders: the records of the pieces that were looked at, judged as a sample."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from girderply.inspection.history import History
from girderply.inspection.record import RecordError, fault_at, file_text
from girderply.inspection.result import Inspection
from girderply.inspection.sampling import LotResult, SamplePlan, judge_lot
from girderply.schedule.types import Schedule


@dataclass(frozen=True, slots=True)
class Lot:
    """What is known of a lot.

    Attributes:
        plan: how many to look at. sample: which pieces, rising.
        found: piece -> result of its last record, pieces outside the sample too.
        result: of the lot.
    """

    plan: SamplePlan
    sample: tuple[int, ...]
    found: Mapping[int, Inspection]
    result: LotResult


def judge_records(schedule: Schedule, plan: SamplePlan, paths: Sequence[Path]) -> Lot:
    """Judge every piece by its own records, and the lot by those of the sample.

    Args:
        schedule: of the girder.
        plan: of the lot.
        paths: records of the tablet (JSON); of one piece the oldest first.

    Raises:
        RecordError: a file is no record of this girder, or does not follow the piece's last one.
    """
    histories: dict[int, History] = {}
    for path in paths:
        histories.setdefault(_piece_of(path), History(schedule)).take_file(path)
    found = {piece: h.results[-1] for piece, h in sorted(histories.items())}
    sample = plan.pieces(schedule.content_hash)
    verdicts = {piece: result.verdict for piece, result in found.items()}
    return Lot(plan, sample, found, judge_lot(plan, sample, verdicts))


def _piece_of(path: Path) -> int:
    """Which piece a record is of, before it is read as a whole."""
    if path.suffix.lower() == ".csv":
        text = (
            "a tick-off table names no piece; only records of the tablet (JSON) can be told apart"
        )
        raise RecordError([fault_at("no-piece", path.name, text)])
    try:
        said = json.loads(file_text(path))
        piece = said["piece"]
    except (ValueError, RecursionError, KeyError, TypeError):
        piece = None
    if isinstance(piece, bool) or not isinstance(piece, int):
        text = "is no record of the tablet: it names no piece"
        raise RecordError([fault_at("no-piece", path.name, text)])
    return piece
