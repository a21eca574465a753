"""What a sheet is made of: plain data that the page template lays out, nothing more.

A block is a dictionary with a `kind`; every number in it is text already. The template knows the
kinds listed here and no other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from girderply.drawing.page import Drawing
from girderply.papers.page.formula import typeset_line
from girderply.papers.page.paper import Paper

Block = dict[str, object]
Cell = str | Block

TICK: Block = {"kind": "tick"}  # a box and a line to write on, for tables with many rows
FILL: Block = {"kind": "fill"}
BOX: Block = {"kind": "box"}


@dataclass(slots=True)
class Sheet:
    """One sheet, which may run over several pages of paper.

    Attributes:
        name: how a command names it. title: document type in the title block.
        size: of the paper. scale: in words, or empty.
        face: that is up while this is done (front, back), or empty where it does not matter.
        plots: drawings that go out whole as files of their own, instead of the page.
    """

    name: str
    title: str
    size: Paper
    blocks: list[Block] = field(default_factory=list)
    scale: str = ""
    face: str = ""
    plots: list[Drawing] = field(default_factory=list)


def heading(text: str, under: str = "") -> Block:
    """A heading inside a sheet, a bookmark too; `under` stands after it in plain lettering."""
    return {"kind": "heading", "text": text, "under": under}


def title(text: str, under: str = "", huge: bool = False, short: str = "") -> Block:
    """The large title at the top of a sheet, a bookmark; `huge` is read from 2 m.

    `short` is how the line of contents names the sheet, where that is not the title.
    """
    return {"kind": "title", "text": text, "under": under, "huge": huge, "short": short or text}


def contents(head: str) -> Block:
    """One line with the titles of the document's sheets and where they are."""
    return {"kind": "contents", "head": head}


def words(*lines: str, large: bool = False) -> Block:
    """Paragraphs."""
    return {"kind": "words", "lines": list(lines), "large": large}


def steps(lines: Iterable[str], huge: bool = False) -> Block:
    """Numbered instructions, large; `huge` is read from 2 m."""
    numbered = [[f"{i}", line] for i, line in enumerate(lines, 1)]
    return {"kind": "steps", "lines": numbered, "huge": huge}


def callout(head: str, lines: Iterable[str], heavy: bool = False, large: bool = False) -> Block:
    """A box with a stressed head; `heavy` for what must not be missed, `large` from 2 m."""
    return {"kind": "callout", "head": head, "lines": list(lines), "heavy": heavy, "large": large}


def facts(pairs: Iterable[tuple[str, str]]) -> Block:
    """Names and values in two columns."""
    return {"kind": "facts", "pairs": [list(pair) for pair in pairs if pair[1]]}


def table(
    heads: Sequence[str],
    rows: Iterable[Sequence[Cell]],
    widths: Sequence[str],
    align: Sequence[str],
    tall: bool = False,
    large: bool = False,
    fold: bool = False,
) -> Block:
    """A table whose head comes again on every page; `align` is left, right or center.

    Without `heads` it has none. `tall` leaves room to write in; `large` is lettering to be read at
    arm's length; `fold` draws a line along which the last column is folded back.
    """
    return {
        "kind": "table",
        "fold": fold,
        "heads": list(heads),
        "rows": [[_cell(c) for c in row] for row in rows],
        "widths": list(widths),
        "align": list(align),
        "tall": tall,
        "large": large,
    }


def _cell(cell: Cell) -> Block:
    return {"kind": "text", "text": cell} if isinstance(cell, str) else cell


def strong(text: str) -> Block:
    """A cell in bold."""
    return {"kind": "strong", "text": text}


def picture(drawing: Drawing) -> Block:
    """A drawing at true size; the renderer writes it out as SVG."""
    return {"kind": "drawing", "drawing": drawing}


def image(svg: str, width: float, alt: str) -> Block:
    """An SVG that comes from elsewhere, `width` mm wide."""
    return {"kind": "image", "svg": svg, "width": f"{width:g}mm", "alt": alt}


def columns(widths: Sequence[str], *cells: list[Block]) -> Block:
    """Blocks side by side."""
    return {"kind": "columns", "widths": list(widths), "cells": list(cells)}


def formulas(lines: Iterable[str]) -> Block:
    """Worked lines, typeset as a book sets them."""
    return {"kind": "formulas", "lines": [typeset_line(line) for line in lines]}


def hold(head: str, line: str, labels: Iterable[str]) -> Block:
    """Where work stops, in one box with the lines to sign on."""
    return {"kind": "hold", "head": head, "line": line, "labels": list(labels)}


def signatures(labels: Iterable[str]) -> Block:
    """Lines to sign on."""
    return {"kind": "signatures", "labels": list(labels)}


def keep(*blocks: Block) -> Block:
    """Blocks that stay on one page."""
    return {"kind": "keep", "blocks": list(blocks)}


def choice(*ways: list[Block]) -> Block:
    """The same content laid out in several ways: the first that ends on its page is taken."""
    return {"kind": "choice", "ways": list(ways)}
