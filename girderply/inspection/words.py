"""The result of an inspection in plain words, for a terminal or a file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from girderply.inspection.result import Inspection, Remark
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


def in_words(inspection: Inspection, schedule: Schedule) -> str:
    """The whole result as text; stations from each member's hook end, in the job's units."""
    show = Show(schedule.job.info.units)
    lines = [*_head(inspection), "", *_reasons(inspection), *_to_do(inspection, show)]
    lines += [*_remarks(inspection, show), *_short_counts(inspection), *_foot(inspection, schedule)]
    return "".join(f"{printable(line.replace(NBSP, ' '))}\n" for line in lines)


NBSP: Final = "\u00a0"


def _head(x: Inspection) -> Iterator[str]:
    yield f"Girder {x.mark}, piece {x.piece}, job {x.job}, revision {x.revision}"
    by = " ".join(part for part in (x.inspector, x.date) if part)
    yield f"Inspected: {by or 'nobody is named'}"
    yield f"{HEADLINE[x.verdict]}"


def _reasons(x: Inspection) -> Iterator[str]:
    yield from (f"* {reason}" for reason in x.reasons)
    yield from (f"  {note}" for note in x.notes)


def _to_do(x: Inspection, show: Show) -> Iterator[str]:
    """What to tighten and what to add, member by member, in the order of the tape."""
    for name in x.tighten:
        yield f"Tighten bolt {name}."
    member = ""
    for row, other in zip(x.make_good.records(), x.instead_of, strict=True):
        if row["member"] != member:
            member = str(row["member"])
            yield ""
            yield f"Add to {member} (stations from its hook end):"
        yield "  " + placed_in_words(row, other, show)


def placed_in_words(row: dict[str, Any], instead_of: str, show: Show) -> str:
    """One make-good fastener: where, what, from which face, what then."""
    off = float(row["offset"])
    side = "on the centreline"
    if abs(off) >= 0.05:
        # Left of the direction of travel, as somebody sees it who looks along the tape.
        side = f"{show.small(abs(off))} {'left' if off > 0 else 'right'} of the centreline"
    words = [f"{row['id']}: {show.span(row['station'])}, {side}", f"{row['kind']} {row['spec']}"]
    words.append(f"from the {row['face']}")
    if row["drilled"]:
        words.append(f"drill {show.diameter(row['drilled'])}")
    if row["clench"]:
        words.append("clench the point")
    if instead_of:
        words.append(f"for {instead_of}")
    return ", ".join(words)


def _remarks(x: Inspection, show: Show) -> Iterator[str]:
    if x.remarks:
        yield ""
        yield "Found:"
    for r in x.remarks[:MOST_REMARKS]:
        yield "  " + _remark(r, show)
    if len(x.remarks) > MOST_REMARKS:
        yield f"  and {len(x.remarks) - MOST_REMARKS} more; --format json has all of them"


MOST_REMARKS: Final = 60


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
        yield cautions.DEMO
    yield f"Caution: {' '.join(cautions.SCOPE)}"
