"""The result of an inspection in plain words, for a terminal or a file."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

from girderply.inspection.result import Inspection, Remark, Verdict
from girderply.model.girder import Member
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.short_text import printable
from girderply.units.show import Show
from girderply.wording import Said, Words, english, joined, said

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


def headline(verdict: Verdict) -> Said:
    """What an inspection came to, in a few words."""
    return said(f"inspection.headline_{verdict}")


def _head(x: Inspection) -> Iterator[str]:
    yield f"Girder {x.mark}, piece {x.piece}, job {x.job}, revision {x.revision}"
    by = " ".join(part for part in (x.inspector, x.date) if part)
    yield f"Inspected: {by or 'nobody is named'}"
    yield english(headline(x.verdict))


def _reasons(x: Inspection) -> Iterator[str]:
    yield from (f"* {english(reason)}" for reason in x.reasons)
    yield from (f"  {english(note)}" for note in x.notes)


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
        placed = placed_in_words(row, other, schedule.girder.member(member), show)
        yield f"  {english(placed)}"


def placed_in_words(row: dict[str, Any], instead_of: str, member: Member, show: Show) -> Said:
    """One make-good fastener: its name, where, what, from which face, what then."""
    return named(str(row["id"]), place_in_words(row, instead_of, member, show))


def named(name: str, words: Words) -> Said:
    """A fastener's name before what is said of it."""
    return said("inspection.placed", id=name, words=words)


def place_in_words(row: dict[str, Any], instead_of: str, member: Member, show: Show) -> Said:
    """The same without its name."""
    words = [show.span(row["station"]), side_in_words(float(row["offset"]), member, show)]
    words.append(fastener_in_words(row))
    words.append(said("inspection.from_face", face=said(f"face.{row['face']}")))
    words += work_in_words(row, show)
    if instead_of:
        words.append(said("inspection.instead_of", id=instead_of))
    return joined(", ", words)


def fastener_in_words(row: dict[str, Any]) -> Said:
    """Kind and size."""
    kind = said(f"kind.{row['kind']}", n=1)
    return said("inspection.kind_and_size", kind=kind, size=str(row["spec"]))


def work_in_words(row: dict[str, Any], show: Show) -> list[Said]:
    """What is done besides putting it in."""
    words: list[Said] = []
    if row["drilled"]:
        words.append(said("inspection.drill", size=show.diameter(row["drilled"])))
    if row["clench"]:
        words.append(said("inspection.clench"))
    return words


def side_in_words(offset: float, member: Member, show: Show) -> Said:
    """Which side of the centreline, so that it is the same seen from either face."""
    if abs(offset) < ON_LINE:
        return said("inspection.on_line")
    across, up = -offset * math.sin(member.angle), offset * math.cos(member.angle)
    away = show.small(abs(offset))
    if abs(up) >= STEEP * abs(offset):
        return said("inspection.above" if up > 0 else "inspection.below", away=away)
    return said("inspection.off_right" if across > 0 else "inspection.off_left", away=away)


def _remarks(x: Inspection, show: Show) -> Iterator[str]:
    if x.remarks:
        yield ""
        yield "Found:"
    for r in x.remarks[:MOST_REMARKS]:
        yield "  " + _remark(r, show)
    if len(x.remarks) > MOST_REMARKS:
        yield f"  and {len(x.remarks) - MOST_REMARKS} more; --format json has all of them"


def _remark(r: Remark, show: Show) -> str:
    by = f" by {english(show.small(r.by_mm))}" if r.by_mm is not None else ""
    note = f' "{r.note}"' if r.note.strip() else ""
    counts = "" if r.state == "good" else ", counts" if r.counts else ", does not count"
    return f"{r.id} at {english(show.span(r.station))}: {r.state}{by}{counts}{note}"


def _short_counts(x: Inspection) -> Iterator[str]:
    short = [c for c in x.counts if c.counting < c.due]
    if short:
        yield ""
        yield "Short of what is due:"
    for c in short:
        yield (
            f"  stage {c.stage}, {c.member}, {c.kind}s: {c.due} required, {c.found} found, "
            f"{c.counting} count"
        )


def _foot(x: Inspection, schedule: Schedule) -> Iterator[str]:
    yield ""
    yield f"Record {x.record_hash}"
    yield f"Record before it: {x.previous_hash or 'none, this is the first'}"
    if schedule.job.info.demo:
        yield english(cautions.demo())
    yield f"Caution: {' '.join(map(english, cautions.scope(schedule.job.assembly)))}"
