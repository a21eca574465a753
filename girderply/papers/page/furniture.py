"""What frames the content of a page: frame and grid, then a title block or a strip at the foot.

The first sheet of a document has the title block (fields after ISO 7200, 180 mm wide), the cautions
in full and the bar of 100 mm; the others have a strip of 12 mm. Fields of the grid are 50 mm from
the centring marks after ISO 5457; values from memory.
"""

from __future__ import annotations

from itertools import pairwise

from girderply.drawing import style
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Polygon, Text
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.continuation import continuation
from girderply.papers.page.heading import Heading
from girderply.papers.page.paper import LEFT, OTHER, PAPER, Paper, Room, lying, room
from girderply.papers.page.title_block import foot_height, title_foot
from girderply.wording import Voice

FIELD = 50.0
_CLEAR = 3.0  # mm of the centring mark inside the frame at the top, clear of a title there


def first_room(voice: Voice, heading: Heading, sheet: Sheet) -> Room:
    """What is free on a page with the title block."""
    return room(sheet.size, foot_height(voice, heading, sheet))


def furniture(voice: Voice, heading: Heading, sheet: Sheet, first: bool = True) -> Drawing:
    """A whole empty page: everything but the sheet's content and its page number."""
    width, height = PAPER[sheet.size]
    page = Drawing("page", width, height, title=sheet.title)
    _frame(page, sheet.size)
    foot = title_foot if first else continuation
    foot(voice, page, heading, sheet)
    return page


def _frame(page: Drawing, size: Paper) -> None:
    w, h = page.width, page.height
    left, right, top, bottom = LEFT, w - OTHER, OTHER, h - OTHER
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    page.add(Polygon(corners, style.HEAVY, tag="frame"))
    edge = 5.0
    outer = ((left - edge, top - edge), (right + edge, top - edge),
             (right + edge, bottom + edge), (left - edge, bottom + edge))  # fmt: skip
    page.add(Polygon(outer, style.MEDIUM, tag="grid"))
    _grid(page, (left, right), (top, bottom), both=lying(size))
    x, y = (left + right) / 2, (top + bottom) / 2
    for a, b in (
        ((x, top - edge), (x, top + _CLEAR)), ((x, bottom + edge), (x, bottom)),
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
