"""Records of inspectors: kept in the folder, judged at once, piece by piece."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any, Final

from girderply.desk.folder import Folder
from girderply.desk.on_desk import OnDesk
from girderply.errors import GirderplyError
from girderply.exchange.atomic import write_bytes
from girderply.exchange.names import safe_name
from girderply.inspection.history import History
from girderply.inspection.record import RecordError
from girderply.inspection.result import Inspection
from girderply.inspection.result_words import headline, placed_in_words
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Voice, joined, said

Plain = dict[str, Any]
MOST_RECORDS: Final = 200
ENDINGS: Final = (".json", ".csv")


class NoRecordError(GirderplyError, ValueError):
    """What was dropped is no record of this girder."""


def take_record(voice: Voice, girder: OnDesk, name: str, data: bytes) -> Plain:
    """Judge a record and keep it with those before it.

    Args:
        voice: that tells it.
        girder: that was inspected.
        name: of the file; its ending says what it is.
        data: of the file.

    Returns:
        The inspections of the girder, the new one among them.

    Raises:
        NoRecordError: it cannot be read, is of another girder, or does not follow.
    """
    ending = Path(name).suffix.lower()
    if ending not in ENDINGS:
        raise NoRecordError(said("desk.record_kind"))
    schedule = _schedule(girder)
    place = _place(girder.folder, girder.name)
    piece = _piece(data) if ending == ".json" else "1"
    history, files = _history(schedule, place / piece)
    with tempfile.TemporaryDirectory() as home:
        path = Path(home) / f"record{ending}"
        path.write_bytes(data)
        try:
            history.take_file(path)
        except RecordError as fault:
            raise NoRecordError(joined(" ", (f.message for f in fault.findings[:6]))) from fault
    if len(files) >= MOST_RECORDS:
        raise NoRecordError(said("desk.record_many"))
    kept = girder.folder.inner("records", _stem(girder.name), piece)
    write_bytes(kept / f"{len(files) + 1:03d}{ending}", data)
    return inspections(voice, girder)


def inspections(voice: Voice, girder: OnDesk) -> Plain:
    """Every piece that was inspected, with what its last record came to."""
    try:
        schedule = _schedule(girder)
    except GirderplyError:
        return {"pieces": [], "quantity": 0}
    place = _place(girder.folder, girder.name)
    pieces = sorted(p.name for p in place.iterdir() if _own(p)) if _own(place) else []
    return {
        "quantity": schedule.girder.quantity,
        "pieces": [_piece_state(voice, schedule, place / p, p) for p in pieces],
    }


def inspected_words(voice: Voice, girder: OnDesk) -> str:
    """How far the inspection of a girder is, in few words."""
    found = inspections(voice, girder)
    if not found["pieces"]:
        return voice.phrase("desk.not_inspected")
    accepted = sum(p["verdict"] == "accepted" for p in found["pieces"])
    return voice.phrase("desk.inspected", n=accepted, of=found["quantity"])


def result_of(girder: OnDesk, piece: str) -> tuple[History, Inspection]:
    """The history of a piece and its last result.

    Raises:
        NoRecordError: there is no record of it that fits.
    """
    place = _place(girder.folder, girder.name) / safe_name(piece)
    if not _own(place):
        raise NoRecordError(said("desk.not_inspected"))
    history, _ = _history(_schedule(girder), place)
    if not history.results:
        raise NoRecordError(said("desk.record_other"))
    return history, history.results[-1]


def result_file(girder: OnDesk, piece: str, what: str) -> bytes:
    """The result on paper, or the tick-off page of the next visit."""
    from girderply.papers.inspector.inspection_sheet import inspection_pdf
    from girderply.papers.tablet.after import after
    from girderply.papers.tablet.page_file import render_html

    history, result = result_of(girder, piece)
    if what == "pdf":
        return inspection_pdf(history.schedule, result)
    return render_html(history.schedule, after(history)).encode()


def _schedule(girder: OnDesk) -> Schedule:
    found = girder.decided().schedule
    if found is None:
        raise NoRecordError(said("desk.mend_first"))
    return found


def _stem(name: str) -> str:
    return safe_name(name.removesuffix(".toml"))


def _place(folder: Folder, name: str) -> Path:
    return folder.root / "records" / _stem(name)


def _own(path: Path) -> bool:
    """Whether it is a folder of the desk's own and no link anywhere."""
    here = [path, path.parent]
    return path.is_dir() and not any(p.is_symlink() for p in here)


def _piece(data: bytes) -> str:
    """Which piece a record says that it is of."""
    try:
        found = json.loads(data)["piece"]
    except (ValueError, KeyError, TypeError, RecursionError):
        return "1"
    return safe_name(str(found)[:20])


def _history(schedule: Schedule, place: Path) -> tuple[History, list[Path]]:
    """The records of a piece taken one after the other, as far as they are of this schedule."""
    history = History(schedule)
    files = sorted(p for p in place.iterdir() if _record(p)) if _own(place) else []
    for path in files:
        try:
            history.take_file(path)
        except (RecordError, OSError):
            continue  # of an earlier revision, or changed by other hands
    return history, files


def _record(path: Path) -> bool:
    return path.suffix in ENDINGS and path.is_file() and not path.is_symlink()


def _piece_state(voice: Voice, schedule: Schedule, place: Path, piece: str) -> Plain:
    history, files = _history(schedule, place)
    state: Plain = {"piece": piece, "records": len(files), "verdict": "", "reasons": [], "todo": []}
    if not history.results:
        return state | {"said": voice.phrase("desk.record_other")}
    result = history.results[-1]
    return state | {
        "verdict": result.verdict,
        "said": voice.told(headline(result.verdict)),
        "by": " ".join(filter(None, (result.inspector, result.date))),
        "reasons": [voice.told(r) for r in (*result.reasons, *result.notes)],
        "tighten": list(result.tighten),
        "todo": _todo(voice, result, schedule),
        "faults": [r.id for r in result.remarks if r.state != "good"],
    }


def _todo(voice: Voice, result: Inspection, schedule: Schedule) -> list[Plain]:
    """What is to be added, each with its place and words."""
    show, added = Show(schedule.job.info.units), result.make_good
    members = {m.id: m for m in schedule.girder.members}
    places = zip(added.x.tolist(), added.y.tolist(), strict=True)
    rows = zip(added.records(), result.instead_of, places, strict=True)
    return [
        {
            "id": str(row["id"]),
            "at": [round(x, 1), round(y, 1)],
            "member": str(row["member"]),
            "said": voice.told(placed_in_words(row, other, members[str(row["member"])], show)),
        }
        for row, other, (x, y) in rows
    ]
