"""The tick-off sheet: boxes per member, row and stage, hold points to sign."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.drawing.seen import points_to_clench
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import DueRow, due_rows
from girderply.papers.page.sheet_words import signature_labels, stage_heading
from girderply.schedule.types import Schedule, Stage
from girderply.wording import phrase
from girderply.wording.words import face_words, kind_words

WHOLE = 15  # rows below which a stage and its hold point stay on one page


def tick_off(schedule: Schedule) -> Sheet:
    """Boxes per member, row and stage, with hold points to sign."""
    sheet = Sheet("tick-off", phrase("tick_off.title"), "A4")
    sheet.blocks += [
        b.title(phrase("tick_off.title"), phrase("sheet.girder", mark=schedule.girder.mark)),
        b.words(phrase("tick_off.how")),
    ]
    for number, stage in enumerate(schedule.stages):
        blocks = list(_tick_stage(schedule, stage))
        short = len(due_rows(schedule, stage)) < WHOLE
        sheet.blocks += [b.keep(*blocks)] if number and short else blocks
    return sheet


def _tick_stage(schedule: Schedule, stage: Stage) -> Iterator[Block]:
    yield b.heading(stage_heading(stage))
    yield b.words(phrase("tick_off.piece", n=schedule.girder.quantity))
    points = int(points_to_clench(schedule, stage).sum())
    cells: list[list[b.Cell]] = []
    if points:
        words: list[b.Cell] = [
            phrase("tick_off.all"),
            "",
            phrase("tick_off.points_clenched"),
            face_words(stage.face_up),
        ]
        cells.append([*words, b.strong(f"{points}"), b.BLANK, b.BOX, ""])
    cells += [
        [
            b.strong(r.member),
            r.where,
            *_what(r),
            b.strong(f"{r.due}"),
            b.BLANK,
            b.BOX,
            "",
        ]
        for r in due_rows(schedule, stage)
    ]
    if cells:
        yield b.table(
            _heads(), cells,
            (*["auto"] * 7, "1fr"),
            ("left", "left", "left", "left", "right", "center", "center", "left"), tall=True,
        )  # fmt: skip
    else:
        heads = (phrase("tick_off.what"), phrase("tick_off.done"))
        lines: list[list[b.Cell]] = [[line, b.BOX] for line in stage.action]
        yield b.table(heads, lines, ("1fr", "auto"), ("left", "center"), tall=True)
    if stage.hold_point:
        yield b.keep(
            b.callout(phrase("tick_off.hold_point"), [stage.hold_point]),
            b.signatures(signature_labels()),
        )


def _what(row: DueRow) -> tuple[str, str]:
    return kind_words(row.kind, 1), face_words(row.face)


def _heads() -> tuple[str, ...]:
    return (
        phrase("tick_off.member"),
        phrase("tick_off.row"),
        phrase("tick_off.what"),
        phrase("tick_off.face"),
        phrase("tick_off.due"),
        phrase("tick_off.found"),
        phrase("tick_off.right"),
        phrase("tick_off.missing"),
    )
