"""What takes longer than a blink, done beside the pages in a process of its own.

Every task takes the text of a job file and gives plain data or bytes, so that an answer belongs
to the text that it was asked for and to no later one.
"""

from __future__ import annotations

import pickle
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.desk.amend import Edit, amended
from girderply.desk.decided import Decided, decide
from girderply.desk.scene import scene
from girderply.errors import GirderplyError
from girderply.schedule.solutions import Solutions
from girderply.schedule.types import Schedule
from girderply.wording import Voice, said

Plain = dict[str, Any]
_KNOWN = Solutions()  # of the process that works the rest out


class NoScheduleError(GirderplyError, ValueError):
    """A job that gives no schedule yet."""


@dataclass(frozen=True, slots=True)
class Whole:
    """All that is decided of one text, from the process beside the pages.

    Attributes:
        state: what a page is told, in one language.
        packed: the same for papers and records; it is opened only for them.
        solution: the layout and the shares, packed.
    """

    state: Plain
    packed: bytes
    solution: bytes

    def decided(self) -> Decided:
        """It, opened."""
        found: Decided = pickle.loads(self.packed)
        return found


def whole_of(voice: Voice, text: str, folder: str) -> Whole:
    """Decide a text with the shares of its plies, and tell it in a language."""
    from girderply.desk.state import decided_state

    found = decide(text, Path(folder), known=_KNOWN)
    state = decided_state(voice, found)
    solution = _KNOWN.packed(found.job) if found.job is not None else b""
    return Whole(state, pickle.dumps(found, pickle.HIGHEST_PROTOCOL), solution)


def schedule_of(text: str, folder: str, language: str = "") -> Schedule:
    """The schedule of a job file's text; papers in `language`, else in the job's own.

    Raises:
        NoScheduleError: what is wrong must be mended first.
    """
    schedule = decide(text, Path(folder)).schedule
    if schedule is None:
        raise NoScheduleError(said("desk.mend_first"))
    if not language:
        return schedule
    info = replace(schedule.job.info, language=language)
    return replace(schedule, job=replace(schedule.job, info=info))


def pages_of(text: str, folder: str, sheet: str, density: float) -> list[bytes]:
    """The pages of one sheet as pictures, as they will print.

    Args:
        text: of the job file.
        folder: that it lies in.
        sheet: name of the sheet.
        density: pixels in an inch.
    """
    from girderply.papers.page.typeset import picture_pages
    from girderply.papers.sheets import make_sheets

    schedule = schedule_of(text, folder)
    return picture_pages(schedule, make_sheets(schedule, [sheet]), density)


def file_of(text: str, folder: str, what: str) -> bytes:
    """One file to take along: all sheets, the tick-off page, or the labels."""
    schedule = schedule_of(text, folder)
    if what == "tick-off.html":
        from girderply.papers.tablet.page_file import render_html

        return render_html(schedule).encode()
    if what == "labels.pdf":
        from girderply.papers.supplier.labels import labels_pdf

        return labels_pdf([schedule])
    from girderply.papers.sheets import render_pdf

    return render_pdf(schedule)


def other_of(voice: Voice, text: str, folder: str, edits: Sequence[Edit]) -> Plain:
    """The same girder with a change of its file, in figures, or why it cannot be."""
    before = decide(text, Path(folder))
    if before.job is None:
        return {"why": voice.phrase("desk.mend_first")}
    after = decide(amended(text, edits), Path(folder))
    if after.schedule is None:
        return {"why": voice.told(after.findings[0].message)}
    return figures_of_other(voice, before.schedule, after.schedule)


def figures_of_other(voice: Voice, before: Schedule | None, after: Schedule) -> Plain:
    """What people compare: minutes, counts, stages, turning over, clenching, hardest check."""
    from girderply.desk.state import hardest
    from girderply.schedule.compare import compare
    from girderply.schedule.estimate import estimate

    kinds = after.fasteners.kind.tolist()
    changes = compare(before, after).changes if before is not None else ()
    worst = max(after.checks, key=lambda c: c.utilisation, default=None)
    return {
        "good": not after.failed,
        "minutes": round(estimate(after).minutes),
        "nails": len(kinds) - kinds.count(FastenerKind.BOLT),
        "bolts": kinds.count(FastenerKind.BOLT),
        "stages": len(after.stages),
        "turns": sum(s.turn_over_before for s in after.stages),
        "clenched": int(after.fasteners.clench.sum()),
        "hardest": hardest(voice, after)[0],
        "ratio": min(worst.utilisation, 1e9) if worst else 0.0,
        "first": next((voice.told(f.message) for f in after.findings if f.severity == "error"), ""),
        "new": sum(c.added for c in changes),
        "gone": sum(c.removed for c in changes),
    }


def other_scene(voice: Voice, text: str, folder: str, edits: Sequence[Edit]) -> Plain:
    """The drawing of the girder with a change of its file.

    Raises:
        NoScheduleError: it makes no girder; says why.
    """
    after = decide(amended(text, edits), Path(folder))
    if after.schedule is None:
        raise NoScheduleError(after.findings[0].message)
    return scene(voice, after.schedule)
