"""A girder as a BTLx file: a part per member and ply, what is drilled, marked and written on it.

[BTLx 2.3, design2machine] End cuts stay with the truss designer's own program: they are shown by
each part's shape, not machined.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from typing import Any, Final
from xml.sax.saxutils import quoteattr

from girderply.exchange.btlx import part
from girderply.exchange.identity import fixed_uuid
from girderply.jobfile.job import Saw
from girderply.model.girder import HungLoad
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.short_text import one_line
from girderply.wording import english

VERSION: Final = "2.3.1"
NAMESPACE: Final = "https://www.design2machine.com"
SIDES: Final = (
    "Reference side 1 is the front face of the ply, x from the hook end, y from the lower edge; "
    "side 3 is its back face. End cuts are not machined by this file."
)


def btlx_bytes(schedule: Schedule) -> bytes:
    """The file of one girder; the same schedule gives the same bytes.

    What the job does not let the saw do is left out, and the file says so.
    """
    girder, saw = schedule.girder, schedule.job.info.saw
    records = _by_member(schedule)
    loads: dict[str, list[HungLoad]] = defaultdict(list)
    for load in girder.loads:
        loads[load.chord].append(load)
    parts: list[str] = []
    for m in girder.members:
        for ply in range(1, girder.plies + 1):
            p = part.ply_of(girder, m, ply)
            done = _processings(p, records[m.id], loads[m.id], saw)
            parts.append(_part(schedule, p, len(parts) + 1, done))
    info = schedule.job.info
    hand = ", ".join(work for work in Saw if work not in saw)
    left = [f"Not for the saw, left to the tape: {hand}."] if hand else []
    said = map(english, cautions.scope(schedule.job.assembly))
    comment = " ".join([f"Content hash {schedule.content_hash}.", SIDES, *left, *said])
    head = (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f'<BTLx xmlns="{NAMESPACE}" Version="{VERSION}" Language="en">\n'
        f"<Project Name={_quoted(info.number)} Comment={_quoted(comment)}>\n<Parts>\n"
    )
    return f"{head}{''.join(parts)}</Parts>\n</Project>\n</BTLx>\n".encode()


def _by_member(schedule: Schedule) -> dict[str, list[dict[str, Any]]]:
    by: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for r in schedule.fasteners.records():
        by[str(r["member"])].append(dict(r))
    return by


def _processings(
    p: part.Ply,
    records: list[dict[str, Any]],
    loads: list[HungLoad],
    saw: Collection[Saw],
) -> list[str]:
    done = {
        Saw.HOLES: part.holes(p, records),
        Saw.NAILS: part.nails(p, records),
        Saw.BRACKETS: part.brackets(p, loads),
        Saw.TEXT: part.words(p),
    }
    return [text for name, texts in done.items() if name in saw for text in texts]


def _part(schedule: Schedule, p: part.Ply, number: int, done: list[str]) -> str:
    girder, m = schedule.girder, p.member
    guid = fixed_uuid(schedule.content_hash, "part", m.id, p.number)
    values = {
        "SingleMemberNumber": str(number),
        "Designation": m.id,
        "Annotation": f"{girder.mark} {m.id} ply {p.number}",
        "Group": girder.mark,
        "TimberGrade": girder.timber_of(m),
        "Count": str(girder.quantity),
        "Length": part.n(m.length),
        "Height": part.n(girder.ply_thickness),
        "Width": part.n(p.width),
        "Layer": str(p.number - 1),
    }
    attributes = " ".join(f"{key}={_quoted(value)}" for key, value in values.items())
    place = f'<Transformation GUID="{{{guid}}}">{part.position(p)}</Transformation>'
    return (
        f"<Part {attributes}><Transformations>{place}</Transformations>"
        '<GrainDirection X="1" Y="0" Z="0" Align="no"/><ReferenceSide Side="1" Align="no"/>'
        f"<Processings>{part.numbered(done)}</Processings>{part.shape(p)}</Part>\n"
    )


def _quoted(text: str) -> str:
    return quoteattr(one_line(text))
