"""The calculation sheet: basis, what must pass and what is carried, every check, worked ones."""

from __future__ import annotations

from girderply.papers.engineer.calculation_basis import basis_blocks
from girderply.papers.engineer.calculation_summary import (
    failed_blocks,
    mode_blocks,
    net_section_blocks,
    strengthened_blocks,
    summary_blocks,
)
from girderply.papers.engineer.calculation_worked import stack_blocks, worked_blocks
from girderply.papers.engineer.transfer_diagram import transfer_blocks
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.schedule.types import Schedule
from girderply.wording import phrase


def calculation(schedule: Schedule) -> Sheet:
    """Everything that an engineer needs to follow the transfer between the plies."""
    sheet = Sheet("calculation", phrase("calculation.title"), "A4")
    sheet.blocks += [
        b.title(phrase("calculation.title"), phrase("sheet.girder", mark=schedule.girder.mark)),
        *failed_blocks(schedule),
        *basis_blocks(schedule),
    ]
    if schedule.checks:
        sheet.blocks += stack_blocks(schedule)
    else:
        sheet.blocks.append(
            b.callout(phrase("calculation.unchecked"), [unchecked_words(schedule)], heavy=True)
        )
    sheet.blocks += [*strengthened_blocks(schedule), *net_section_blocks(schedule)]
    if schedule.checks:
        sheet.blocks += [
            *transfer_blocks(schedule),
            *mode_blocks(schedule),
            *summary_blocks(schedule),
            *worked_blocks(schedule),
        ]
    return sheet


def unchecked_words(schedule: Schedule) -> str:
    """Why there is no check."""
    if not schedule.girder.loads:
        return phrase("calculation.no_load")
    return phrase("calculation.all_alike")
