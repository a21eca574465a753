"""The engineer's document: what was assumed and checked, the governing checks in full, shares."""

from __future__ import annotations

from girderply.papers.engineer.assumed_table import assumed_blocks
from girderply.papers.engineer.calculation_basis import basis_blocks
from girderply.papers.engineer.calculation_summary import (
    failed_blocks,
    net_section_blocks,
    strengthened_blocks,
    summary_blocks,
)
from girderply.papers.engineer.calculation_worked import stack_blocks, worked_blocks
from girderply.papers.engineer.read_back_sheet import read_back_blocks
from girderply.papers.engineer.shares_table import shares_blocks
from girderply.papers.engineer.transfer_diagram import transfer_blocks
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.paper import Paper
from girderply.papers.page.ranked import FIRST, designer_box, foremost_boxes, rest_blocks
from girderply.schedule.types import Schedule
from girderply.wording import Voice


def calculation(voice: Voice, schedule: Schedule, paper: Paper = "A4") -> Sheet:
    """Everything that an engineer needs to follow the transfer between the plies."""
    sheet = Sheet("engineer", voice.phrase("calculation.title"), paper)
    sheet.blocks += [
        b.title(
            voice.phrase("calculation.title"),
            voice.phrase("sheet.girder", mark=schedule.girder.mark),
        ),
        b.contents(voice.phrase("sheet.contents")),
        *_front(voice, schedule),
        *assumed_blocks(voice, schedule),
        *failed_blocks(voice, schedule),
        *basis_blocks(voice, schedule),
    ]
    if schedule.checks:
        sheet.blocks += [*summary_blocks(voice, schedule), *stack_blocks(voice, schedule)]
    else:
        sheet.blocks.append(
            b.callout(
                voice.phrase("calculation.unchecked"),
                [unchecked_words(voice, schedule)],
                heavy=True,
            )
        )
    if schedule.checks:
        sheet.blocks += [*transfer_blocks(voice, schedule, paper), *worked_blocks(voice, schedule)]
    sheet.blocks += [
        *shares_blocks(voice, schedule),
        *strengthened_blocks(voice, schedule),
        *net_section_blocks(voice, schedule),
        *rest_blocks(voice, schedule),
    ]
    return sheet


def _front(voice: Voice, schedule: Schedule) -> list[Block]:
    """What stops the work, what was assumed and how the plies share; then the job read back."""
    uneven = any(f.code == FIRST for f in schedule.findings) and schedule.shares
    return [
        *foremost_boxes(voice, schedule, clauses=True),
        *([b.words(f"{voice.told(uneven.words())}.")] if uneven else []),
        *read_back_blocks(voice, schedule),
        *designer_box(voice, schedule),
    ]


def unchecked_words(voice: Voice, schedule: Schedule) -> str:
    """Why there is no check."""
    if not schedule.girder.loads:
        return voice.phrase("calculation.no_load")
    return voice.phrase("calculation.all_alike")
