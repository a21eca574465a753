"""Earlier lots of a series, and whether inspection is normal or tightened after them.

[ISO 2859-1:1999, 9.3.1, 9.3.2, 9.4: normal to tightened when 2 of 5 or fewer consecutive lots were
not accepted on original inspection; back when 5 consecutive ones were; discontinued when 5 were not
accepted on tightened inspection. From memory, to be checked against a bought copy.] Reduced
inspection is not offered: it looks at fewer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from girderply.errors import RangeError
from girderply.inspection.sampling import Mode

WINDOW: Final = 5  # consecutive lots
REJECTED: Final = 2  # of them
SCHEMA: Final = "girderply.lot/1"


@dataclass(frozen=True, slots=True)
class EarlierLot:
    """One lot as its page says it.

    Attributes:
        name: job, mark and revision, for people.
        content_hash: of the girder; with `size` it tells lots apart.
        accepted: on original inspection: before anything was made good, and before all was looked
            at because the sample had failed.
    """

    name: str
    content_hash: str
    size: int
    aql: float
    level: str
    accepted: bool


@dataclass(frozen=True, slots=True)
class Switched:
    """The mode after a series of lots, and why; `discontinued`: nothing is sampled any more."""

    mode: Mode
    discontinued: bool
    lots: int
    rejected: int


def earlier_lot(data: dict[str, Any]) -> EarlierLot | None:
    """A lot from the data of its page; None for one that is still open.

    Raises:
        ValueError: it is no such data.
    """
    if data.get("schema") != SCHEMA:
        raise ValueError(f"is no {SCHEMA}")
    try:
        verdict, bad = data["verdict"], len(data["nonconforming"])
        lot = EarlierLot(
            f"{data['job']} {data['mark']} {data['revision']}",
            str(data["content_hash"]),
            int(data["lot_size"]),
            float(data["aql"]),
            str(data["level"]),
            verdict in ("accepted", "closed") and bad < int(data["reject"]),
        )
    except (KeyError, TypeError) as fault:
        raise ValueError(f"is no {SCHEMA}: {fault}") from None
    return None if verdict == "open" else lot


def series(
    lots: Iterable[EarlierLot], content_hash: str, aql: float, level: str
) -> list[EarlierLot]:
    """The lots before this one, each once, as it was found first.

    Args:
        lots: oldest first.
        content_hash: of the girder that is judged now, which is not before itself.
        aql: of the series; lots of another are not of it.
        level: the same.
    """
    found: dict[tuple[str, int], EarlierLot] = {}
    for lot in lots:
        if lot.content_hash != content_hash and (lot.aql, lot.level) == (aql, level):
            found.setdefault((lot.content_hash, lot.size), lot)
    return list(found.values())


def switched(lots: Sequence[EarlierLot]) -> Switched:
    """The mode after these lots, oldest first; normal where there are none."""
    mode: Mode = "normal"
    recent: list[bool] = []  # since the mode was taken
    failed = 0  # on tightened inspection, since it was taken
    for lot in lots:
        recent.append(lot.accepted)
        if mode == "normal" and recent[-WINDOW:].count(False) >= REJECTED:
            mode, recent, failed = "tightened", [], 0
        elif mode == "tightened":
            failed += not lot.accepted
            if failed >= WINDOW:
                return Switched(mode, True, len(lots), failed)
            if len(recent) >= WINDOW and all(recent[-WINDOW:]):
                mode, recent = "normal", []
    last = [lot.accepted for lot in lots[-WINDOW:]]
    return Switched(mode, False, len(lots), last.count(False))


def mode_after(asked: Mode | None, lots: Sequence[EarlierLot] | None) -> Mode:
    """The mode to inspect in: as the lots before ask for; without any the one that is said.

    Args:
        asked: by a person; None for what the history says.
        lots: None where no history was given, which is not the same as one without lots.

    Raises:
        RangeError: the history asks for tightened inspection, or for none at all.
    """
    if lots is None:
        return asked or "normal"
    due = switched(lots)
    if due.discontinued:
        text = f"{due.rejected} lots were not accepted on tightened inspection: sampling is ended"
        raise RangeError(f"{text} until the cause is put right; look at every girder")
    if asked == "normal" and due.mode == "tightened":
        text = f"{due.rejected} of the last {min(due.lots, WINDOW)} lots were not accepted"
        raise RangeError(f"{text}: inspection is tightened (2 of 5), not normal")
    return asked or due.mode
