"""The tick-off sheet: boxes per member, row and stage, hold points to sign."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.counts import due_rows
from girderply.documents.wording import stage_heading
from girderply.drawing.seen import points_to_clench
from girderply.schedule.types import Schedule, Stage

WHOLE = 15  # rows below which a stage and its hold point stay on one page


def tick_off(schedule: Schedule) -> Sheet:
    """Boxes per member, row and stage, with hold points to sign."""
    sheet = Sheet("tick-off", "Tick-off sheet", "A4")
    sheet.blocks += [
        b.title("Tick-off sheet", f"girder {schedule.girder.mark}"),
        b.words(
            "Count each row of each member and write what you found. Tick the box when the count "
            "is right and every head is flush. Write down the id of each one that is missing.",
        ),
    ]
    for number, stage in enumerate(schedule.stages):
        blocks = list(_tick_stage(schedule, stage))
        short = len(due_rows(schedule, stage)) < WHOLE
        sheet.blocks += [b.keep(*blocks)] if number and short else blocks
    return sheet


def _tick_stage(schedule: Schedule, stage: Stage) -> Iterator[Block]:
    yield b.heading(stage_heading(stage))
    yield b.words(f"Girder no. _______ of {schedule.girder.quantity}")
    points = int(points_to_clench(schedule, stage).sum())
    cells: list[list[b.Cell]] = []
    if points:
        words: list[b.Cell] = ["all", "", "points clenched", stage.face_up]
        cells.append([*words, b.strong(f"{points}"), b.BLANK, b.BOX, ""])
    cells += [
        [b.strong(r.member), r.where, r.kind, r.face, b.strong(f"{r.due}"), b.BLANK, b.BOX, ""]
        for r in due_rows(schedule, stage)
    ]
    if cells:
        yield b.table(
            ("Member", "Row", "What", "Face", "Due", "Found", "Right", "Missing (ids)"), cells,
            (*["auto"] * 7, "1fr"),
            ("left", "left", "left", "left", "right", "center", "center", "left"), tall=True,
        )  # fmt: skip
    else:
        yield b.table(("What", "Done"), [[line, b.BOX] for line in stage.action],
                      ("1fr", "auto"), ("left", "center"), tall=True)  # fmt: skip
    if stage.hold_point:
        yield b.keep(
            b.callout("Hold point", [stage.hold_point]),
            b.signatures(("Name", "Signature", "Date")),
        )
