"""What is the same on every page: frame, title block, cautions, the bar of 100 mm, flags.

Sizes of the frame after ISO 5457 (20 mm at the filing edge, 10 mm elsewhere, fields of 50 mm from
the centring marks), fields of the title block after ISO 7200 (180 mm wide); values from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from girderply.drawing import style
from girderply.drawing.dimension import scale_bar
from girderply.drawing.legend import legend
from girderply.drawing.lettering import shorten, text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.shapes import Line, Polygon, Text
from girderply.papers.page.blocks import Sheet, Size
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.wording import phrase

PAPER: dict[Size, tuple[float, float]] = {"A3": (420.0, 297.0), "A4": (210.0, 297.0)}
LEFT, OTHER = 20.0, 10.0
FIELD = 50.0
BLOCK_WIDTH, ROW = 180.0, 11.0
BLOCK_HEIGHT = 4 * ROW
_LINE = 4.25
_PAD, _TOP_PAD = 6.5, 5.0
LEGEND = 12.4  # height kept for the legend of a drawing


@dataclass(frozen=True, slots=True)
class Room:
    """The part of a page that is free for a sheet's content, mm from the paper's edges."""

    left: float
    top: float
    right: float
    bottom: float
    width: float
    height: float


def room(size: Size) -> Room:
    """The free part of a page of this size."""
    width, height = PAPER[size]
    foot = _foot(size) + (LEGEND + 1.0 if size == "A3" else 4.0)
    return Room(
        LEFT + _PAD,
        OTHER + _TOP_PAD,
        OTHER + _PAD,
        OTHER + foot,
        width - LEFT - OTHER - 2 * _PAD,
        height - 2 * OTHER - foot - _TOP_PAD,
    )


def _foot(size: Size) -> float:
    return BLOCK_HEIGHT if size == "A3" else BLOCK_HEIGHT + _cautions_height(180.0)


def _cautions_height(width: float) -> float:
    return len(wrap(" ".join(cautions.scope()), width - 2 * 3.0)) * _LINE + 19.0


def sheet_number_place(size: Size) -> tuple[float, float, float]:
    """Left, top and width on paper, mm, of the cell where the page number belongs."""
    width, height = PAPER[size]
    left = width - OTHER - BLOCK_WIDTH + 132.0
    return left, height - OTHER - 2 * ROW, 24.0


def furniture(schedule: Schedule, sheet: Sheet) -> Drawing:
    """A whole empty page: everything but the sheet's content and its page number."""
    width, height = PAPER[sheet.size]
    page = Drawing("page", width, height, title=sheet.title)
    _frame(page, sheet.size)
    _title_block(page, schedule, sheet)
    _cautions(page, schedule, sheet.size)
    if sheet.size == "A3" and sheet.legend:
        _legend(page, schedule, sheet.stage)
    return page


def _legend(page: Drawing, schedule: Schedule, stage: bool) -> None:
    """The legend above the title block, on every page that has drawings."""
    free = room("A3")
    drawing = legend(schedule, free.width, stage)
    top = page.height - OTHER - BLOCK_HEIGHT - drawing.height - 1.0
    page.add(*drawing.moved(free.left, top))


def _frame(page: Drawing, size: Size) -> None:
    w, h = page.width, page.height
    left, right, top, bottom = LEFT, w - OTHER, OTHER, h - OTHER
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    page.add(Polygon(corners, style.HEAVY, tag="frame"))
    edge = 5.0
    outer = ((left - edge, top - edge), (right + edge, top - edge),
             (right + edge, bottom + edge), (left - edge, bottom + edge))  # fmt: skip
    page.add(Polygon(outer, style.MEDIUM, tag="grid"))
    _grid(page, (left, right), (top, bottom), both=size == "A3")
    x, y = (left + right) / 2, (top + bottom) / 2
    for a, b in (
        ((x, top - edge), (x, top + 5.0)), ((x, bottom + edge), (x, bottom - 5.0)),
        ((left - edge, y), (left + 5.0, y)), ((right + edge, y), (right - 5.0, y)),
    ):  # fmt: skip
        page.add(Line(a, b, style.HEAVY, tag="centring"))


def _grid(
    page: Drawing, across: tuple[float, float], down: tuple[float, float], both: bool
) -> None:
    """Fields of the reference grid: numerals along the top, letters down the side."""
    rows = ((down[0] - 2.5, -2.5), (down[1] + 2.5, 2.5)) if both else ((down[0] - 2.5, -2.5),)
    for y, reach in rows:
        for x in _ticks(*across):
            page.add(Line((x, y - abs(reach)), (x, y + abs(reach)), style.MEDIUM, tag="grid"))
        for i, x in enumerate(_middles(*across)):
            page.add(Text((x, y), str(i + 1), style.SMALL, tag="grid"))
    sides = (across[0] - 2.5, across[1] + 2.5) if both else (across[1] + 2.5,)
    for x in sides:
        for y in _ticks(*down):
            page.add(Line((x - 2.5, y), (x + 2.5, y), style.MEDIUM, tag="grid"))
        for letter, y in zip("ABCDEFGHJKLM", _middles(*down), strict=False):
            page.add(Text((x, y), letter, style.SMALL, tag="grid"))


def _ticks(low: float, high: float) -> list[float]:
    """Borders of the fields: every 50 mm from the middle; what is left goes to the end fields."""
    middle, half = (low + high) / 2, (high - low) / 2
    count = int((half - 0.5 * FIELD) // FIELD)
    return [middle + k * FIELD for k in range(-count, count + 1)]


def _middles(low: float, high: float) -> list[float]:
    borders = [low, *_ticks(low, high), high]
    return [(a + b) / 2 for a, b in pairwise(borders)]


def _title_block(page: Drawing, schedule: Schedule, sheet: Sheet) -> None:
    x0, y0 = page.width - OTHER - BLOCK_WIDTH, page.height - OTHER - BLOCK_HEIGHT
    corners = ((x0, y0), (x0 + BLOCK_WIDTH, y0), (x0 + BLOCK_WIDTH, y0 + BLOCK_HEIGHT),
               (x0, y0 + BLOCK_HEIGHT))  # fmt: skip
    page.add(Polygon(corners, style.HEAVY, fill=1.0, tag="title-block"))
    for k, cells in enumerate(_fields(schedule, sheet)):
        x, y = x0, y0 + k * ROW
        if k:
            page.add(Line((x0, y), (x0 + BLOCK_WIDTH, y), style.MEDIUM, tag="title-block"))
        for width, label, value, stressed in cells:
            if x > x0:
                page.add(Line((x, y), (x, y + ROW), style.MEDIUM, tag="title-block"))
            _cell(page, (x, y, width), label, value, stressed)
            x += width


def _fields(schedule: Schedule, sheet: Sheet) -> Iterator[tuple[tuple[float, str, str, bool], ...]]:
    info, girder = schedule.job.info, schedule.girder
    owner = info.client or info.truss_designer or info.prepared_by
    yield (
        (90.0, phrase("sheet.legal_owner"), owner, False),
        (90.0, phrase("sheet.truss_designer"), info.truss_designer, False),
    )
    yield (
        (90.0, phrase("sheet.title"), info.title, True),
        (90.0, phrase("sheet.document_type"), sheet.title, True),
    )
    yield (
        (66.0, phrase("sheet.identification"), f"{info.number} \u00b7 {girder.mark}", True),
        (18.0, phrase("sheet.revision"), info.revision, True),
        (48.0, phrase("sheet.date_of_issue"), info.date, False),
        (24.0, phrase("sheet.sheet"), "", False),
        (24.0, phrase("sheet.scale"), sheet.scale or "\u2013", False),
    )
    yield (
        (45.0, phrase("sheet.created_by"), info.prepared_by, False),
        (45.0, phrase("sheet.approved_by"), info.checked_by, False),
        (42.0, phrase("sheet.girders_to_make"), f"{girder.quantity}", False),
        (48.0, phrase("sheet.content_hash"), schedule.content_hash[:12], False),
    )


def _cell(
    page: Drawing, place: tuple[float, float, float], label: str, value: str, stressed: bool
) -> None:
    x, y, width = place
    page.add(Text((x + 1.5, y + 2.5), label, style.SMALL, "start", grey=0.35, tag="title-label"))
    fits = text_width(value, style.NORMAL, stressed) <= width - 3.0
    height = style.NORMAL if fits else style.SMALL
    shown = shorten(value, width - 3.0, height, stressed)
    page.add(Text((x + 1.5, y + 7.3), shown, height, "start", bold=stressed, tag="title-value"))


def _cautions(page: Drawing, schedule: Schedule, size: Size) -> None:
    left, bottom = LEFT, page.height - OTHER
    right = page.width - OTHER - BLOCK_WIDTH if size == "A3" else page.width - OTHER
    top = bottom - BLOCK_HEIGHT if size == "A3" else bottom - _foot(size)
    page.add(Line((left, top), (right, top), style.HEAVY, tag="cautions"))
    y = top + 3.2
    for line in wrap(" ".join(cautions.scope()), right - left - 6.0):
        page.add(Text((left + 3.0, y), line, style.SMALL, "start", tag="caution"))
        y += _LINE
    bar = (bottom if size == "A3" else bottom - BLOCK_HEIGHT) - 4.0
    page.add(*scale_bar((left + 3.0, bar), phrase("sheet.bar_print")))
    _flags(page, schedule, (left + 108.0, right - 3.0), bar + 2.0)


def flags(schedule: Schedule) -> list[str]:
    """Words that stand out on every page."""
    found = [
        (schedule.failed, cautions.not_for_assembly()),
        (schedule.plates_assumed, phrase("sheet.flag_plates")),
        (schedule.job.info.demo, phrase("sheet.flag_demo")),
    ]
    return [word for holds, word in found if holds]


def _flags(page: Drawing, schedule: Schedule, across: tuple[float, float], bottom: float) -> None:
    x, y = across[0], bottom - 5.4
    for word in flags(schedule):
        width = text_width(word, style.SMALL, True) + 4.0
        black = word == cautions.not_for_assembly()
        if x + width > across[1]:
            x, y = across[0], y - 6.4
        box = ((x, y), (x + width, y), (x + width, y + 5.4), (x, y + 5.4))
        page.add(Polygon(box, style.OUTLINE, fill=0.0 if black else 1.0, tag="flag"))
        grey = 1.0 if black else 0.0
        middle = (x + width / 2, y + 2.7)
        page.add(Text(middle, word, style.SMALL, bold=True, grey=grey, tag="flag"))
        x += width + 2.0
