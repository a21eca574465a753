"""The foot of the first sheet of a document: title block, cautions in full, bar of 100 mm, flags.

Nothing is cut: a value that is too long for its cell is written in as many lines as it takes, and
the block grows.
"""

from __future__ import annotations

from dataclasses import dataclass

from girderply.drawing import style
from girderply.drawing.dimension import inch_bar, scale_bar
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Polygon, Text
from girderply.jobfile.job import JobInfo
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.flags import flag_boxes
from girderply.papers.page.heading import Heading
from girderply.papers.page.paper import LEFT, OTHER, PAPER, lying
from girderply.schedule import cautions
from girderply.units.show import Show
from girderply.wording import Voice

BLOCK_WIDTH, ROW = 180.0, 11.0
_LINE, _VALUE_LINE = 4.25, 3.7
_PAD = 1.5  # around a picture, mm
_BAR = 9.0  # for the bar and its words, mm
LOGO = (24.0, 12.0)  # the most that a logo takes, mm
_FLAGS = 6.4  # for a line of flags
_BESIDE_BAR = 106.0  # mm that the bar takes, which flags stand beside


@dataclass(frozen=True, slots=True)
class _Cell:
    """One field: its width in mm, what it is, its value, and whether that is stressed.

    `beside` is what a picture at its right takes, mm.
    """

    width: float
    label: str
    value: str
    stressed: bool = False
    beside: tuple[float, float] = (0.0, 0.0)

    @property
    def large(self) -> bool:
        """Whether the value stands on one line in the larger lettering."""
        return text_width(self.value, style.NORMAL, self.stressed) <= self._room

    @property
    def lines(self) -> list[str]:
        """The value, whole, line by line."""
        if self.large:
            return [self.value]
        return wrap(self.value, self._room, style.SMALL, self.stressed)

    @property
    def height(self) -> float:
        """What the field takes, mm."""
        least = max(ROW, self.beside[1] + 2 * _PAD if self.beside[1] else 0.0)
        return max(least, 7.2 + _VALUE_LINE * len(self.lines)) if not self.large else least

    @property
    def _room(self) -> float:
        return self.width - 3.0 - (self.beside[0] + _PAD if self.beside[0] else 0.0)


def legal_owner(info: JobInfo) -> str:
    """The firm that owns a document; who prepared it, where the job names none."""
    return info.owner or info.prepared_by or info.truss_designer


def foot_height(voice: Voice, heading: Heading, sheet: Sheet) -> float:
    """Height of the whole foot of a first sheet, mm."""
    block, beside = _block_height(voice, heading, sheet), _beside_height(voice, heading, sheet)
    return max(block, beside) if lying(sheet.size) else block + beside


def sheet_number_place(voice: Voice, heading: Heading, sheet: Sheet) -> tuple[float, float, float]:
    """Left, top and width on paper, mm, of the cell where the page number belongs."""
    width, height = PAPER[sheet.size]
    rows = [max(c.height for c in row) for row in _fields(voice, heading, sheet)]
    return width - OTHER - BLOCK_WIDTH + 132.0, height - OTHER - sum(rows[2:]), 24.0


def logo_place(voice: Voice, heading: Heading, sheet: Sheet) -> tuple[float, float, float, float]:
    """Left, top, width and height on paper, mm, of the room for the logo of the legal owner."""
    width, height = PAPER[sheet.size]
    left = width - OTHER - BLOCK_WIDTH + 60.0 - _PAD - LOGO[0]
    return left, height - OTHER - _block_height(voice, heading, sheet) + _PAD, *LOGO


def title_foot(voice: Voice, page: Drawing, heading: Heading, sheet: Sheet) -> None:
    """Draw it at the foot of a page."""
    _title_block(voice, page, heading, sheet)
    _cautions(voice, page, heading, sheet)


def _block_height(voice: Voice, heading: Heading, sheet: Sheet) -> float:
    return sum(max(c.height for c in row) for row in _fields(voice, heading, sheet))


def _caution_width(sheet: Sheet) -> float:
    width = PAPER[sheet.size][0] - LEFT - OTHER
    return (width - BLOCK_WIDTH if lying(sheet.size) else width) - 6.0


def _beside_height(voice: Voice, heading: Heading, sheet: Sheet) -> float:
    width = _caution_width(sheet)
    said = (
        len(wrap(" ".join(map(voice.told, cautions.scope(heading.assembly))), width)) * _LINE + 3.0
    )
    _, rows = flag_boxes(voice, heading, width - _BESIDE_BAR)
    bars = 2 if Show(heading.info.units).imperial else 1
    return said + max(bars * _BAR, rows * _FLAGS) + 1.0


def _title_block(voice: Voice, page: Drawing, heading: Heading, sheet: Sheet) -> None:
    high = _block_height(voice, heading, sheet)
    x0, y0 = page.width - OTHER - BLOCK_WIDTH, page.height - OTHER - high
    corners = ((x0, y0), (x0 + BLOCK_WIDTH, y0), (x0 + BLOCK_WIDTH, y0 + high), (x0, y0 + high))
    page.add(Polygon(corners, style.HEAVY, fill=1.0, tag="title-block"))
    y = y0
    for k, cells in enumerate(_fields(voice, heading, sheet)):
        x, deep = x0, max(c.height for c in cells)
        if k:
            page.add(Line((x0, y), (x0 + BLOCK_WIDTH, y), style.MEDIUM, tag="title-block"))
        for cell in cells:
            if x > x0:
                page.add(Line((x, y), (x, y + deep), style.MEDIUM, tag="title-block"))
            _draw_cell(page, (x, y), cell)
            x += cell.width
        y += deep


def _fields(voice: Voice, heading: Heading, sheet: Sheet) -> tuple[tuple[_Cell, ...], ...]:
    info = heading.info
    logo = LOGO if heading.logo else (0.0, 0.0)
    return (
        (
            _Cell(60.0, voice.phrase("sheet.legal_owner"), legal_owner(info), beside=logo),
            _Cell(60.0, voice.phrase("sheet.client"), info.client),
            _Cell(60.0, voice.phrase("sheet.truss_designer"), info.truss_designer),
        ),
        (
            _Cell(90.0, voice.phrase("sheet.title"), info.title, True),
            _Cell(90.0, voice.phrase("sheet.document_type"), sheet.title, True),
        ),
        (
            _Cell(
                66.0,
                voice.phrase("sheet.identification"),
                f"{info.number} \u00b7 {heading.mark}",
                True,
            ),
            _Cell(18.0, voice.phrase("sheet.revision"), info.revision, True),
            _Cell(48.0, voice.phrase("sheet.date_of_issue"), info.date),
            _Cell(24.0, voice.phrase("sheet.sheet"), ""),
            _Cell(24.0, voice.phrase("sheet.scale"), sheet.scale or "\u2013"),
        ),
        (
            _Cell(45.0, voice.phrase("sheet.created_by"), info.prepared_by),
            _Cell(45.0, voice.phrase("sheet.approved_by"), info.checked_by),
            _Cell(42.0, voice.phrase("sheet.girders_to_make"), f"{heading.quantity}"),
            _Cell(48.0, voice.phrase("sheet.content_hash"), heading.content_hash[:12]),
        ),
    )


def _draw_cell(page: Drawing, at: tuple[float, float], cell: _Cell) -> None:
    x, y = at[0] + 1.5, at[1] + 2.5
    page.add(Text((x, y), cell.label, style.SMALL, "start", grey=0.35, tag="title-label"))
    height = style.NORMAL if cell.large else style.SMALL
    for k, line in enumerate(cell.lines):
        spot = (x, y + 4.8 + _VALUE_LINE * k)
        page.add(Text(spot, line, height, "start", bold=cell.stressed, tag="title-value"))


def _cautions(voice: Voice, page: Drawing, heading: Heading, sheet: Sheet) -> None:
    """Left of the title block where the paper lies, else above it."""
    left, bottom = LEFT, page.height - OTHER
    whole = foot_height(voice, heading, sheet)
    right = page.width - OTHER - (BLOCK_WIDTH if lying(sheet.size) else 0.0)
    page.add(Line((left, bottom - whole), (right, bottom - whole), style.HEAVY, tag="cautions"))
    y = bottom - whole + 3.2
    for line in wrap(
        " ".join(map(voice.told, cautions.scope(heading.assembly))), _caution_width(sheet)
    ):
        page.add(Text((left + 3.0, y), line, style.SMALL, "start", tag="caution"))
        y += _LINE
    foot = bottom - (0.0 if lying(sheet.size) else _block_height(voice, heading, sheet))
    page.add(*scale_bar((left + 3.0, foot - 4.0), voice.phrase("sheet.bar_print")))
    if Show(heading.info.units).imperial:
        page.add(*inch_bar((left + 3.0, foot - 4.0 - _BAR), voice.phrase("sheet.bar_print_inch")))
    boxes, rows = flag_boxes(voice, heading, _caution_width(sheet) - _BESIDE_BAR)
    for box in boxes:
        page.add(*box.shapes((left + 3.0 + _BESIDE_BAR, foot - rows * _FLAGS + 0.4)))
