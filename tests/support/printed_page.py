"""What stands on a page of a PDF, read by pdfium: words with their places, crosses, long lines.

Nothing of the package is imported: the page is all that there is, as for the person who holds it.
Lengths are mm on paper from the upper left corner of the page.
"""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import pypdfium2 as pdfium
import pypdfium2.raw as c

MM = 25.4 / 72
_LEVEL = 0.25  # mm that letters of one line may differ in height
_TOUCH, _SPACE = 0.12, 0.40  # ems between letters that touch, and with a space between them
_CROSS = 0.08  # mm that the middles of two strokes of a cross may be apart
_THIN, _HEAVY = 0.25, 0.6  # mm: a line no wider, no narrower


@dataclass(frozen=True)
class Words:
    """Letters of one font in a row: left, right and base line in mm, size of the em in mm.

    `upright`: read from below; then `left` and `right` are the lower and the upper end, as how far
    from the foot of the page, and `base` is how far from its left edge.
    """

    text: str
    left: float
    right: float
    base: float
    em: float
    bold: bool
    upright: bool = False


@dataclass(frozen=True)
class Stroke:
    """A straight line between two points, mm, and how wide it is drawn."""

    a: tuple[float, float]
    b: tuple[float, float]
    width: float

    @property
    def middle(self) -> tuple[float, float]:
        """Half-way along."""
        return (self.a[0] + self.b[0]) / 2, (self.a[1] + self.b[1]) / 2

    @property
    def across(self) -> float:
        """How far to the right."""
        return abs(self.b[0] - self.a[0])

    @property
    def down(self) -> float:
        """How far down."""
        return abs(self.b[1] - self.a[1])


class Printed:
    """One page."""

    def __init__(self, page: pdfium.PdfPage) -> None:
        self._page = page
        self.width, self.height = page.get_width() * MM, page.get_height() * MM

    @cached_property
    def words(self) -> list[Words]:
        """Everything that is written, level first, line by line."""
        letters = list(self._letters())
        return [
            piece
            for upright in (False, True)
            for line in _lines([w for w in letters if w.upright == upright])
            for piece in _pieces(line)
        ]

    def _letters(self) -> Iterator[Words]:
        text = self._page.get_textpage()
        box, matrix = c.FS_RECTF(), c.FS_MATRIX()
        x, y = ctypes.c_double(), ctypes.c_double()
        for i in range(text.count_chars()):
            if c.FPDFText_IsGenerated(text, i) == 1:
                continue
            c.FPDFText_GetLooseCharBox(text, i, ctypes.byref(box))
            c.FPDFText_GetCharOrigin(text, i, ctypes.byref(x), ctypes.byref(y))
            c.FPDFText_GetMatrix(text, i, ctypes.byref(matrix))
            em = c.FPDFText_GetFontSize(text, i) * math.hypot(matrix.c, matrix.d) * MM
            letter, bold = chr(c.FPDFText_GetUnicode(text, i)), _bold(text, i)
            turned = math.degrees(c.FPDFText_GetCharAngle(text, i)) % 360.0
            if min(turned, 360.0 - turned) < 1.0:
                ends, base = (box.left, box.right), self.height - y.value * MM
            elif abs(turned - 90.0) < 1.0 or abs(turned - 270.0) < 1.0:
                ends, base = (box.bottom, box.top), x.value * MM
            else:
                continue  # a stamp across the page
            low, high = (v * MM for v in ends)
            yield Words(letter, low, high, base, em, bold, min(turned, 360.0 - turned) >= 1.0)

    @cached_property
    def strokes(self) -> list[Stroke]:
        """Every straight line that is a path of its own."""
        paths = self._page.get_objects(filter=[c.FPDF_PAGEOBJ_PATH], max_depth=8)
        return [s for path in paths if (s := self._stroke(path))]

    def _stroke(self, path: pdfium.PdfObject) -> Stroke | None:
        if c.FPDFPath_CountSegments(path) != 2:
            return None
        a, b, cc, d, e, f = path.get_matrix().get()
        found, x, y = [], ctypes.c_float(), ctypes.c_float()
        for k in range(2):
            segment = c.FPDFPath_GetPathSegment(path, k)
            c.FPDFPathSegment_GetPoint(segment, ctypes.byref(x), ctypes.byref(y))
            px, py = x.value, y.value
            found.append(((a * px + cc * py + e) * MM, self.height - (b * px + d * py + f) * MM))
        wide = ctypes.c_float()
        c.FPDFPageObj_GetStrokeWidth(path, ctypes.byref(wide))
        return Stroke(found[0], found[1], wide.value * math.hypot(a, b) * MM)

    @cached_property
    def crosses(self) -> list[tuple[float, float]]:
        """Slanted crosses of two thin strokes of 45 degrees: where their middles are."""
        slanted = [
            s for s in self.strokes
            if s.width < _THIN and 1.0 < s.across < 4.0 and abs(s.across - s.down) < 0.05
        ]  # fmt: skip
        return [
            one.middle
            for one, other in pairwise(slanted)
            if math.dist(one.middle, other.middle) < _CROSS and _rises(one) != _rises(other)
        ]

    @property
    def level_lines(self) -> list[Stroke]:
        """Thin level lines."""
        return [s for s in self.strokes if s.down < 0.03 < s.across and s.width < _THIN]

    @property
    def heavy_bars(self) -> list[Stroke]:
        """Heavy upright lines."""
        return [s for s in self.strokes if s.across < 0.03 < s.down and s.width > _HEAVY]


def _rises(stroke: Stroke) -> bool:
    return (stroke.b[0] - stroke.a[0]) * (stroke.b[1] - stroke.a[1]) < 0


def _bold(text: pdfium.PdfTextPage, i: int) -> bool:
    name, flags = ctypes.create_string_buffer(128), ctypes.c_int()
    c.FPDFText_GetFontInfo(text, i, name, 128, ctypes.byref(flags))
    return b"Bold" in name.value


def _lines(letters: Sequence[Words]) -> list[list[Words]]:
    lines: list[list[Words]] = []
    for letter in sorted(letters, key=lambda w: w.base):
        if lines and letter.base - lines[-1][-1].base <= _LEVEL:
            lines[-1].append(letter)
        else:
            lines.append([letter])
    return lines


def _pieces(line: Sequence[Words]) -> Iterator[Words]:
    """Letters of a line that touch and are alike, put together; a gap of a space is one."""
    row: Words | None = None
    for letter in sorted(line, key=lambda w: w.left):
        if letter.text.isspace():
            continue
        gap = (letter.left - row.right) / row.em if row else math.inf
        if row and gap <= _SPACE and row.bold == letter.bold and abs(row.em - letter.em) < 0.1:
            space = " " if gap > _TOUCH else ""
            row = replace(row, text=row.text + space + letter.text, right=letter.right)
            continue
        if row:
            yield row
        row = letter
    if row:
        yield row


def pages(pdf: bytes) -> list[Printed]:
    """The pages of a PDF."""
    return [Printed(page) for page in pdfium.PdfDocument(pdf)]
