"""The papers of a girder, by their reader: which there are, their pages, and the issue."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from girderply.desk.folder import Folder
from girderply.desk.on_desk import OnDesk
from girderply.desk.tasks import NoScheduleError, file_of, pages_of, schedule_of
from girderply.desk.workers import Workers, outcome, waited
from girderply.errors import GirderplyError, OutputError
from girderply.exchange.names import safe_name
from girderply.exchange.register import read_register
from girderply.jobfile.job import Job
from girderply.papers.sheets import makers
from girderply.schedule.read_back import read_back
from girderply.schedule.seen_twice import seen_otherwise
from girderply.wording import Voice, said

Plain = dict[str, Any]
Deliver = Callable[[list[Any], Path], list[str]]
REGISTER: Final = "register.jsonl"
FILES: Final = {
    "pack.pdf": "application/pdf",
    "tick-off.html": "text/html",
    "labels.pdf": "application/pdf",
}
DENSITIES: Final = (55.0, 80.0, 110.0, 160.0, 220.0)


class IssueError(GirderplyError, ValueError):
    """A girder that cannot go out; says why."""


def sheets(voice: Voice, girder: OnDesk) -> list[Plain]:
    """The sheets that a girder has, each with its reader, in the order of the pack."""
    schedule = girder.decided().schedule
    if schedule is None:
        return []
    titles = {f"stage-{s.number}": voice.told(s.title) for s in schedule.stages}
    return [
        {
            "name": name,
            "reader": _reader(voice, make),
            "title": _title(voice, name),
            "more": titles.get(name, ""),
        }
        for name, make in makers(schedule).items()
    ]


def said_back(voice: Voice, girder: OnDesk) -> list[Plain]:
    """The job in plain sentences for a second person, then what is unusual and not checked."""
    schedule = girder.decided().schedule
    if schedule is None:
        return []
    found = read_back(schedule)
    parts = (
        ("", found.said),
        (voice.phrase("desk.said_unusual"), found.unusual),
        (voice.phrase("desk.said_not_checked"), found.not_checked),
    )
    return [{"head": head, "lines": list(map(voice.told, lines))} for head, lines in parts if lines]


def _reader(voice: Voice, make: Any) -> str:
    """Who a sheet is for: the room that it is made in."""
    room = getattr(make, "func", make).__module__.split(".")[2]
    return voice.phrase(f"desk.reader_{room}")


def _title(voice: Voice, name: str) -> str:
    """What a sheet is called: its name without the number of a stage."""
    kind, _, number = name.rpartition("-")
    if number.isdigit():
        return voice.phrase(f"desk.sheet_{kind.replace('-', '_')}", n=number)
    return voice.phrase(f"desk.sheet_{name.replace('-', '_')}")


def page_state(girder: OnDesk, workers: Workers, sheet: str, density: float) -> Plain:
    """Whether the pages of a sheet are made, and how many."""
    near = min(DENSITIES, key=lambda d: (d < density, abs(d - density)))
    task = workers.ask(girder.name, girder.text, ("pages", sheet, near), pages_of,
                       str(girder.folder.root), sheet, near)  # fmt: skip
    found = outcome(task)
    state: Plain = {"version": girder.version, "density": near, "pages": None}
    if found is None:
        return state
    return state | ({"pages": len(found["value"])} if "value" in found else found)


def page_picture(girder: OnDesk, workers: Workers, sheet: str, density: float, n: int) -> bytes:
    """One page as a picture.

    Raises:
        OutputError: it could not be made.
    """
    if density not in DENSITIES:
        raise OutputError("no such density")
    task = workers.ask(girder.name, girder.text, ("pages", sheet, density), pages_of,
                       str(girder.folder.root), sheet, density)  # fmt: skip
    pages = waited(task)
    if not 0 <= n < len(pages):
        raise OutputError("there is no such page")
    return bytes(pages[n])


def file_to_take(girder: OnDesk, workers: Workers, what: str) -> bytes:
    """A file to take along.

    Raises:
        OutputError: it could not be made.
    """
    task = workers.ask(girder.name, girder.text, ("file", what), file_of,
                       str(girder.folder.root), what)  # fmt: skip
    return bytes(waited(task))


def file_name(job: Job, what: str) -> str:
    """What a file to take along is called."""
    return f"{safe_name(f'{job.info.number}-{job.girder.mark}-{job.info.revision}')}-{what}"


def issue_folder(folder: Folder, name: str) -> Path:
    """Where the papers of a girder go out to."""
    return folder.inner("issued", name.removesuffix(".toml"))


def issued(folder: Folder, name: str) -> list[Plain]:
    """Revisions that went out, the last first; none where nothing did.

    Raises:
        RegisterError: the register was changed by other hands.
    """
    path = folder.root / "issued" / safe_name(name.removesuffix(".toml")) / REGISTER
    if path.is_symlink() or path.parent.is_symlink() or path.parent.parent.is_symlink():
        return []
    return [
        {"revision": e.revision, "date": e.date, "hash": e.content_hash, "changes": list(e.changes)}
        for e in reversed(read_register(path))
    ]


def issue(girder: OnDesk, deliver: Deliver) -> list[str]:
    """Issue the girder as it stands, as `girderply issue` does.

    Raises:
        IssueError: it is not for assembly, or something assumed was not confirmed.
        RegisterError: the revision went out with other content.
    """
    schedule = schedule_of(girder.text, str(girder.folder.root))
    if schedule.failed:
        raise IssueError(said("desk.issue_failed"))
    for finding in seen_otherwise(schedule):
        raise IssueError(finding.message)
    if schedule.unconfirmed:
        raise IssueError(said("desk.issue_assumed", n=len(schedule.unconfirmed)))
    return deliver([schedule], issue_folder(girder.folder, girder.name))


def rounded_up(value: float) -> int:
    """A share in 100, never said better than it is."""
    return math.ceil(100 * value - 1e-6)


__all__ = ["FILES", "NoScheduleError", "file_name", "file_to_take", "issue", "issued",
           "page_picture", "page_state", "rounded_up", "sheets"]  # fmt: skip
