"""The result of an inspection on paper: what was found, what to do, and where to do it."""

from __future__ import annotations

from typing import Final

from girderply.inspection.result import Inspection
from girderply.papers.inspector.make_good_strips import made_good, make_good_sheet
from girderply.papers.inspector.verdict_sheet import result_sheet
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.typeset import render_made
from girderply.schedule.speech import own_voice
from girderply.schedule.types import Schedule

# Across every page, so that nobody takes it for a pass; the list says the rest.
STAMPED: Final = ("partial", "engineer")


def inspection_sheets(schedule: Schedule, result: Inspection) -> list[Sheet]:
    """The result (A4) and, where something is to be added, the drawing of it (A3).

    Args:
        schedule: that the girder was inspected by, with or without what the result adds.
        result: of this girder.
    """
    voice = own_voice(schedule)
    sheets = [result_sheet(voice, schedule, result)]
    if len(result.make_good):
        sheets.append(make_good_sheet(voice, schedule, result))
    return sheets


def inspection_pdf(schedule: Schedule, result: Inspection) -> bytes:
    """One PDF of the result; the same schedule and result give the same bytes.

    A girder that is not for assembly says so across every page, else a result that nobody may
    take for a pass does.

    Args:
        schedule: that the girder was inspected by, with or without what the result adds.
        result: of this girder.

    Raises:
        OutputError: the page template could not be laid out.
    """
    voice = own_voice(schedule)
    sheets = inspection_sheets(schedule, result)
    stamp = voice.phrase(f"inspection.stamp_{result.verdict}") if result.verdict in STAMPED else ""
    return render_made(made_good(schedule, result), sheets, stamp)
