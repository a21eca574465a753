"""The inspector's document: counts of every stage with the run behind each, boxes, signatures.

Each stage is counted and signed on one page where it fits.
"""

from __future__ import annotations

from collections.abc import Iterator

from girderply.drawing.seen import points_to_clench
from girderply.papers.inspector.count_rows import CountRow, count_rows
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.paper import Paper
from girderply.papers.page.ranked import to_be_seen, top_blocks
from girderply.papers.page.sheet_words import signature_labels, stage_heading
from girderply.schedule.types import Schedule, Stage
from girderply.wording import phrase
from girderply.wording.words import face_words, kind_words

RULES = ("count", "heads", "points", "bolts", "gaps")


def check_sheet(schedule: Schedule, paper: Paper) -> Sheet:
    """Rules of acceptance, what is to be seen, and every stage with its counts."""
    sheet = Sheet("inspection", phrase("tick_off.title"), paper)
    girder = schedule.girder
    sheet.blocks += [
        b.title(
            phrase("tick_off.head", mark=girder.mark), phrase("tick_off.piece", n=girder.quantity)
        ),
        *top_blocks(schedule),
        b.words(*(f"{i}  {line}" for i, line in enumerate(_rules(schedule), 1))),
        *to_be_seen(schedule),
    ]
    for stage in schedule.stages:
        blocks = list(_stage_blocks(schedule, stage))
        sheet.blocks.append(b.keep(*blocks))
    return sheet


def _rules(schedule: Schedule) -> Iterator[str]:
    """What is right, in five lines at most."""
    f = schedule.fasteners
    there = {
        "count": True,
        "heads": bool(f.driven.any()),
        "points": bool(f.clench.any()),
        "bolts": bool((f.kind == "bolt").any()),
        "gaps": True,
    }
    many = kind_words(schedule.driven, 2)
    return (phrase(f"tick_off.rule_{name}", many=many) for name in RULES if there[name])


def _stage_blocks(schedule: Schedule, stage: Stage) -> Iterator[Block]:
    yield b.heading(stage_heading(stage))
    points = int(points_to_clench(schedule, stage).sum())
    rows = [_cells(row) for row in count_rows(schedule, stage)]
    if points:
        face = face_words(stage.face_up)
        first: list[b.Cell] = [
            b.strong(phrase("tick_off.all")), face, phrase("tick_off.points_clenched"), "",
            b.strong(f"{points}"), b.BLANK, b.BOX, "",
        ]  # fmt: skip
        rows.insert(0, first)
    if rows:
        names = ("member", "row", "what", "run", "due", "found", "right", "missing")
        heads = tuple(phrase(f"tick_off.{n}") for n in names)
        widths = ("auto", "auto", "auto", "3.4fr", "auto", "auto", "auto", "1fr")
        align = ("left", "left", "left", "left", "right", "center", "center", "left")
        yield b.table(heads, rows, widths, align)
    else:
        heads = (phrase("tick_off.what"), phrase("tick_off.done"))
        lines: list[list[b.Cell]] = [[line, b.BOX] for line in stage.action]
        yield b.table(heads, lines, ("1fr", "auto"), ("left", "center"), tall=True)
    if stage.hold_point:
        yield b.keep(
            b.callout(phrase("stage.stop"), [stage.hold_point]), b.signatures(signature_labels())
        )


def _cells(row: CountRow) -> list[b.Cell]:
    return [
        b.strong(row.member), row.row, row.what, row.runs, b.strong(row.due), b.BLANK, b.BOX, "",
    ]  # fmt: skip
