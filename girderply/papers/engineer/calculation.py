"""The engineer's document: what was assumed and checked, the governing checks in full, shares."""

from __future__ import annotations

from girderply.papers.engineer.assumed_table import assumed_blocks, unchecked_blocks
from girderply.papers.engineer.calculation_basis import basis_blocks
from girderply.papers.engineer.calculation_summary import (
    failed_blocks,
    net_section_blocks,
    strengthened_blocks,
    summary_blocks,
)
from girderply.papers.engineer.calculation_worked import stack_blocks, worked_blocks
from girderply.papers.engineer.read_back_sheet import read_back
from girderply.papers.engineer.shares_table import shares_blocks
from girderply.papers.engineer.transfer_diagram import transfer_blocks
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.paper import Paper
from girderply.papers.page.ranked import rest_blocks, top_blocks
from girderply.schedule.types import Schedule
from girderply.wording import phrase


def calculation(schedule: Schedule, paper: Paper = "A4") -> Sheet:
    """Everything that an engineer needs to follow the transfer between the plies."""
    sheet = Sheet("engineer", phrase("calculation.title"), paper)
    sheet.blocks += [
        b.title(phrase("calculation.title"), phrase("sheet.girder", mark=schedule.girder.mark)),
        b.contents(phrase("sheet.contents")),
        *top_blocks(schedule, designer=True),
        *assumed_blocks(schedule),
        *read_back(schedule),
        *failed_blocks(schedule),
        *basis_blocks(schedule),
    ]
    if schedule.checks:
        sheet.blocks += [*summary_blocks(schedule), *stack_blocks(schedule)]
    else:
        sheet.blocks.append(
            b.callout(phrase("calculation.unchecked"), [unchecked_words(schedule)], heavy=True)
        )
    if schedule.checks:
        sheet.blocks += [*transfer_blocks(schedule, paper), *worked_blocks(schedule)]
    sheet.blocks += [
        *shares_blocks(schedule),
        *strengthened_blocks(schedule),
        *net_section_blocks(schedule),
        *rest_blocks(schedule),
        *unchecked_blocks(),
    ]
    return sheet


def unchecked_words(schedule: Schedule) -> str:
    """Why there is no check."""
    if not schedule.girder.loads:
        return phrase("calculation.no_load")
    return phrase("calculation.all_alike")
