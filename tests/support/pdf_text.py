"""Where text stands on the pages of a PDF: sizes and boxes from the content streams, in mm.

Enough of the operators for what typst writes: graphics state, text state, forms, TJ and Tj with
two-byte glyph numbers and the fonts' own widths.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from io import BytesIO
from typing import Any

import numpy as np
import pikepdf

MM = 25.4 / 72


@dataclass(frozen=True)
class Run:
    """One piece of text: em size in mm, box corners in mm from the page's lower left."""

    size: float
    corners: tuple[tuple[float, float], ...]
    glyphs: int


def _matrix(values: Any) -> np.ndarray:
    a, b, c, d, e, f = (float(v) for v in values)
    return np.array([[a, b, 0.0], [c, d, 0.0], [e, f, 1.0]])


def _widths(font: Any) -> tuple[dict[int, float], float]:
    descendant = font.DescendantFonts[0]
    found: dict[int, float] = {}
    w = list(descendant.get("/W", []))
    i = 0
    while i < len(w):
        first = int(w[i])
        if isinstance(w[i + 1], pikepdf.Array):
            for k, v in enumerate(w[i + 1]):
                found[first + k] = float(v)
            i += 2
        else:
            for k in range(first, int(w[i + 1]) + 1):
                found[k] = float(w[i + 2])
            i += 3
    return found, float(descendant.get("/DW", 1000))


class _Reader:
    def __init__(self) -> None:
        self.runs: list[Run] = []
        self.fonts: dict[Any, tuple[dict[int, float], float]] = {}

    def read(self, holder: Any, resources: Any, ctm: np.ndarray) -> None:  # noqa: C901
        stack: list[np.ndarray] = []
        tm = lm = np.eye(3)
        font: Any = None
        size = 0.0
        for operands, operator in pikepdf.parse_content_stream(holder):
            op = str(operator)
            if op == "q":
                stack.append(ctm)
            elif op == "Q":
                ctm = stack.pop()
            elif op == "cm":
                ctm = _matrix(operands) @ ctm
            elif op == "BT":
                tm = lm = np.eye(3)
            elif op == "Tf":
                font, size = resources.Font[str(operands[0])], float(operands[1])
            elif op == "Tm":
                tm = lm = _matrix(operands)
            elif op == "Td":
                lm = _matrix((1, 0, 0, 1, operands[0], operands[1])) @ lm
                tm = lm
            elif op in ("Tj", "TJ"):
                parts = operands[0] if op == "TJ" else [operands[0]]
                tm = self._show(parts, font, size, tm, ctm)
            elif op == "Do":
                form = resources.XObject[str(operands[0])]
                if form.get("/Subtype") == "/Form":
                    inner = _matrix(form.get("/Matrix", [1, 0, 0, 1, 0, 0])) @ ctm
                    self.read(form, form.get("/Resources", resources), inner)

    def _show(
        self, parts: Any, font: Any, size: float, tm: np.ndarray, ctm: np.ndarray
    ) -> np.ndarray:
        key = font.objgen
        if key not in self.fonts:
            self.fonts[key] = _widths(font)
        table, default = self.fonts[key]
        along, glyphs = 0.0, 0
        for part in parts:
            if isinstance(part, pikepdf.String):
                data = bytes(part)
                for k in range(0, len(data), 2):
                    along += (
                        table.get(int.from_bytes(data[k : k + 2], "big"), default) / 1000 * size
                    )
                    glyphs += 1
            else:
                along -= float(part) / 1000 * size
        whole = tm @ ctm
        corners = np.array([[0, 0, 1], [along, 0, 1], [along, 0.73 * size, 1], [0, 0.73 * size, 1]])
        placed = (corners @ whole)[:, :2] * MM
        em = float(np.hypot(*whole[1, :2])) * size * MM
        if glyphs:
            self.runs.append(Run(em, tuple(map(tuple, placed.tolist())), glyphs))
        return _matrix((1, 0, 0, 1, along, 0)) @ tm


@cache
def page_runs(pdf: bytes) -> list[tuple[tuple[float, float], list[Run]]]:
    """For every page its size in mm and the pieces of text on it."""
    found = []
    with pikepdf.open(BytesIO(pdf)) as document:
        for page in document.pages:
            reader = _Reader()
            reader.read(page, page.get("/Resources"), np.eye(3))
            x0, y0, x1, y1 = (float(v) for v in page.mediabox)
            found.append((((x1 - x0) * MM, (y1 - y0) * MM), reader.runs))
    return found


def embedded_fonts(pdf: bytes) -> set[str]:
    """Names of all fonts in the file, without the subset tag."""
    names = set()
    with pikepdf.open(BytesIO(pdf)) as document:
        for thing in document.objects:
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/Font":
                names.add(str(thing.BaseFont).lstrip("/").rpartition("+")[2])
    return names


def shrunk(run: Run, by: float = 0.45) -> tuple[tuple[float, float], ...]:
    """The box, smaller by so many mm all round: letters drawn together do not count as overlap."""
    box = np.array(run.corners)
    middle = box.mean(axis=0)
    u, v = box[1] - box[0], box[3] - box[0]
    lengths = [float(np.hypot(*u)), float(np.hypot(*v))]
    scale = [max(0.0, 1 - 2 * by / length) if length else 0.0 for length in lengths]
    corners = [middle + (s * u * scale[0] + t * v * scale[1]) / 2
               for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))]  # fmt: skip
    return tuple((float(x), float(y)) for x, y in corners)
