"""What a sheet is made of: plain data that the page template lays out, nothing more.

A block is a dictionary with a `kind`; every number in it is text already. The template knows the
kinds listed here and no other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from girderply.drawing.page import Drawing

Block = dict[str, object]
Size = Literal["A3", "A4"]
Cell = str | Block

BOX: Block = {"kind": "box"}
BLANK: Block = {"kind": "blank"}


@dataclass(slots=True)
class Sheet:
    """One sheet, which may run over several pages of paper.

    Attributes:
        name: how a command names it. title: document type in the title block.
        size: A3 landscape or A4 portrait. scale: in words, or empty.
        stage: drawings show fasteners of earlier stages too, thin and small.
        legend: at the foot of A3 pages; not where circles mean forces, not nails.
        plots: drawings that go out whole as files of their own, instead of the pages' drawings.
    """

    name: str
    title: str
    size: Size
    blocks: list[Block] = field(default_factory=list)
    scale: str = ""
    stage: bool = False
    legend: bool = True
    plots: list[Drawing] = field(default_factory=list)


def heading(text: str) -> Block:
    """A heading inside a sheet."""
    return {"kind": "heading", "text": text}


def title(text: str, under: str = "") -> Block:
    """The large title at the top of a sheet."""
    return {"kind": "title", "text": text, "under": under}


def words(*lines: str, large: bool = False) -> Block:
    """Paragraphs."""
    return {"kind": "words", "lines": list(lines), "large": large}


def steps(lines: Iterable[str]) -> Block:
    """Numbered instructions, large."""
    return {"kind": "steps", "lines": [[f"{i}", line] for i, line in enumerate(lines, 1)]}


def callout(head: str, lines: Iterable[str], heavy: bool = False) -> Block:
    """A box with a stressed head; `heavy` for what must not be missed."""
    return {"kind": "callout", "head": head, "lines": list(lines), "heavy": heavy}


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
) -> Block:
    """A table whose head comes again on every page; `align` is left, right or center.

    Without `heads` it has none. `tall` leaves room to write in; `large` is lettering to be read at
    arm's length.
    """
    return {
        "kind": "table",
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


def signatures(labels: Iterable[str]) -> Block:
    """Lines to sign on."""
    return {"kind": "signatures", "labels": list(labels)}


def keep(*blocks: Block) -> Block:
    """Blocks that stay on one page."""
    return {"kind": "keep", "blocks": list(blocks)}
