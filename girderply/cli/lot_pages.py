"""Pages of lots beside a delivery: never replaced, named by its register, read back as history."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Final

from girderply.errors import GirderplyError
from girderply.exchange.names import safe_name
from girderply.exchange.pack_files import pack_name
from girderply.exchange.register.entry import Papers
from girderply.exchange.register.store import read_chain
from girderply.inspection.lot_history import EarlierLot, earlier_lot
from girderply.papers.page.attached import AttachedError, read_attached
from girderply.schedule.types import Schedule

DATA: Final = "lot.json"
_PART: Final = "-lot"


class LotHistoryError(GirderplyError, ValueError):
    """A register's page of a lot that is gone, was changed, or cannot be read."""


def page_name(schedule: Schedule) -> str:
    """Name of the file, without a number of its own and without its ending."""
    return safe_name(f"{pack_name(schedule)}{_PART}")


def earlier_lots(register: Path) -> list[EarlierLot]:
    """The lots whose pages a register names, oldest first; none where there is no register.

    Raises:
        LotHistoryError: a page is not what the register names.
        RegisterError: the register was changed.
    """
    found = []
    for line in read_chain(register).lines:
        papers = line.files if isinstance(line, Papers) else {}
        for name, digest in papers.items():
            if name.endswith(".pdf") and any(name.startswith(f"{p}{_PART}") for p in _packs(line)):
                lot = earlier_lot(_inside(register.parent / name, digest))
                found += [lot] if lot is not None else []
    return found


def _packs(line: object) -> tuple[str, ...]:
    return line.packs if isinstance(line, Papers) else ()


def _inside(path: Path, digest: str) -> dict[str, object]:
    try:
        pdf = path.read_bytes()
    except OSError as fault:
        raise LotHistoryError(f"{path} is named by the register: {fault.strerror}") from fault
    if hashlib.sha256(pdf).hexdigest() != digest:
        raise LotHistoryError(f"{path} is not the page that the register names")
    try:
        data = json.loads(read_attached(pdf).files[DATA])
        earlier_lot(data)
    except (AttachedError, KeyError, ValueError) as fault:
        raise LotHistoryError(f"{path} is no page of a lot: {fault}") from fault
    return dict(data)
