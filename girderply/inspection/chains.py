"""Which records are of which girder, and in which order they were made."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from girderply.errors import Finding
from girderply.inspection.counts import parse_counts
from girderply.inspection.record import RecordError, fault_at, file_text, record_hash
from girderply.schedule.types import Schedule
from girderply.wording import english

UNLINKED: Final = object()  # a table does not name the record before it


def chains(schedule: Schedule, paths: Sequence[Path]) -> dict[int, list[Path]]:
    """Piece -> its records, oldest first; the pieces in rising order.

    Args:
        schedule: of the girder.
        paths: records of the tablet (JSON), in any order: each names the one before it; and filled
            tick-off tables (CSV) that name their piece, after what else was there before them.

    Raises:
        RecordError: a file is no record of this girder, or the records of a piece are no chain.
    """
    records: dict[int, list[_Known]] = {}
    for path in paths:
        known = _known(path, schedule)
        records.setdefault(known.piece, []).append(known)
    return {n: _chain(found) for n, found in sorted(records.items())}


def of_file(path: Path, fault: RecordError) -> list[Finding]:
    """The findings of a file, each with its name."""
    return [
        fault_at(f.code, f"{path.name}: {english(f.where)}", f.message, f.tip)
        for f in fault.findings
    ]


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
            raise RecordError(of_file(path, fault)) from fault
        if "piece" in table.unsaid and schedule.girder.quantity > 1:
            text = "the table names no piece: fill in its column"
            raise RecordError([fault_at("no-piece", path.name, text)])
        return _Known(path, table.piece, table.hash, UNLINKED)
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
        following = following or [k for k in left if k.previous is UNLINKED][:1]
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
