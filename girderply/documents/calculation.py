"""The calculation sheet: basis, what must pass and what is carried, every check, worked ones."""

from __future__ import annotations

from girderply.documents import blocks as b
from girderply.documents.blocks import Sheet
from girderply.documents.calculation_basis import basis_blocks
from girderply.documents.calculation_summary import (
    failed_blocks,
    mode_blocks,
    net_section_blocks,
    strengthened_blocks,
    summary_blocks,
)
from girderply.documents.calculation_worked import stack_blocks, worked_blocks
from girderply.documents.transfer_diagram import transfer_blocks
from girderply.schedule.types import Schedule


def calculation(schedule: Schedule) -> Sheet:
    """Everything that an engineer needs to follow the transfer between the plies."""
    sheet = Sheet("calculation", "Calculation sheet", "A4")
    sheet.blocks += [
        b.title("Calculation sheet", f"girder {schedule.girder.mark}"),
        *failed_blocks(schedule),
        *basis_blocks(schedule),
    ]
    if schedule.checks:
        sheet.blocks += stack_blocks(schedule)
    else:
        sheet.blocks.append(
            b.callout("Nothing was checked", [unchecked_words(schedule)], heavy=True)
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
        return (
            "The job names no hung load. The plies are fastened by the rule set's pattern alone, "
            "and nothing says what must pass between them. Name the loads to have it checked."
        )
    return (
        "Every load of the job enters all plies alike, from the top or by fixings that reach them "
        "all, so nothing has to pass from ply to ply. Whatever loads one ply alone is not in it."
    )
