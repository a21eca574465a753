"""The result of an inspection in plain words, for a terminal or a file."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

from girderply.inspection.result import Inspection, Remark
from girderply.model.girder import Member
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.units.words import printable

HEADLINE: Final = {
    "accepted": "ACCEPTED",
    "add": "NOT YET: do exactly what is listed, then inspect again",
    "engineer": "STOP: the engineer must decide",
    "partial": "NOT INSPECTED TO THE END: this is no pass",
}
NBSP: Final = "\u00a0"
MOST_REMARKS: Final = 60
ON_LINE: Final = 0.05  # mm; nearer is on the line
STEEP: Final = 0.25  # a member that leans less than this from upright has no upper side


def in_words(inspection: Inspection, schedule: Schedule) -> str:
    """The whole result as text; stations from each member's hook end, in the job's units."""
    show = Show(schedule.job.info.units)
    lines = [*_head(inspection), "", *_reasons(inspection), *_to_do(inspection, schedule, show)]
    lines += [*_remarks(inspection, show), *_short_counts(inspection), *_foot(inspection, schedule)]
    return "".join(f"{printable(line.replace(NBSP, ' '))}\n" for line in lines)


def _head(x: Inspection) -> Iterator[str]:
    yield f"Girder {x.mark}, piece {x.piece}, job {x.job}, revision {x.revision}"
    by = " ".join(part for part in (x.inspector, x.date) if part)
    yield f"Inspected: {by or 'nobody is named'}"
    yield f"{HEADLINE[x.verdict]}"


def _reasons(x: Inspection) -> Iterator[str]:
    yield from (f"* {reason}" for reason in x.reasons)
    yield from (f"  {note}" for note in x.notes)


def _to_do(x: Inspection, schedule: Schedule, show: Show) -> Iterator[str]:
    """What to tighten and what to add, member by member, in the order of the tape."""
    for name in x.tighten:
        yield f"Tighten bolt {name}."
    member = ""
    for row, other in zip(x.make_good.records(), x.instead_of, strict=True):
        if row["member"] != member:
            member = str(row["member"])
            yield ""
            yield f"Add to {member} (stations from its hook end):"
        yield "  " + placed_in_words(row, other, schedule.girder.member(member), show)


def placed_in_words(row: dict[str, Any], instead_of: str, member: Member, show: Show) -> str:
    """One make-good fastener: where, what, from which face, what then."""
    side = side_in_words(float(row["offset"]), member, show)
    words = [f"{row['id']}: {show.span(row['station'])}, {side}", f"{row['kind']} {row['spec']}"]
    words.append(f"from the {row['face']}")
    if row["drilled"]:
        words.append(f"drill {show.diameter(row['drilled'])}")
    if row["clench"]:
        words.append("clench the point")
    if instead_of:
        words.append(f"for {instead_of}")
    return ", ".join(words)


def side_in_words(offset: float, member: Member, show: Show) -> str:
    """Which side of the centreline, so that it is the same seen from either face."""
    if abs(offset) < ON_LINE:
        return "on the centreline"
    across, up = -offset * math.sin(member.angle), offset * math.cos(member.angle)
    away = show.small(abs(offset))
    if abs(up) >= STEEP * abs(offset):
        return f"{away} {'above' if up > 0 else 'below'} the centreline"
    return (
        f"{away} off the centreline, towards the {'right' if across > 0 else 'left'} end as drawn"
    )


def _remarks(x: Inspection, show: Show) -> Iterator[str]:
    if x.remarks:
        yield ""
        yield "Found:"
    for r in x.remarks[:MOST_REMARKS]:
        yield "  " + _remark(r, show)
    if len(x.remarks) > MOST_REMARKS:
        yield f"  and {len(x.remarks) - MOST_REMARKS} more; --format json has all of them"


def _remark(r: Remark, show: Show) -> str:
    by = f" by {show.small(r.by_mm)}" if r.by_mm is not None else ""
    note = f' "{r.note}"' if r.note.strip() else ""
    counts = "" if r.state == "good" else ", counts" if r.counts else ", does not count"
    return f"{r.id} at {show.span(r.station)}: {r.state}{by}{counts}{note}"


def _short_counts(x: Inspection) -> Iterator[str]:
    short = [c for c in x.counts if c.counting < c.due]
    if short:
        yield ""
        yield "Short of what is due:"
    for c in short:
        yield (
            f"  stage {c.stage}, {c.member}, {c.kind}s: {c.due} due, {c.found} found, "
            f"{c.counting} count"
        )


def _foot(x: Inspection, schedule: Schedule) -> Iterator[str]:
    yield ""
    yield f"Record {x.record_hash}"
    yield f"Record before it: {x.previous_hash or 'none, this is the first'}"
    if schedule.job.info.demo:
        yield cautions.demo()
    yield f"Caution: {' '.join(cautions.scope())}"
