"""From sheets to files: one PDF by typst, or the drawings of a sheet as SVG pages."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from girderply.drawing import style
from girderply.drawing.page import Drawing
from girderply.drawing.resources import template_folder
from girderply.drawing.scales import scale_words
from girderply.drawing.shapes import Text
from girderply.drawing.svg import mm, write_svg
from girderply.errors import OutputError
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.furniture import PAPER, furniture, room, sheet_number_place
from girderply.papers.page.own_language import in_its_language
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.wording import phrase, spoken

if TYPE_CHECKING:
    import typst


@in_its_language
def render_made(schedule: Schedule, sheets: Sequence[Sheet], stamp: str = "") -> bytes:
    """One PDF of sheets that are made already; title block and flags are the schedule's.

    `stamp` stands across every page, unless NOT FOR ASSEMBLY does.

    Raises:
        OutputError: the page template could not be laid out.
    """
    return typeset("sheets", _pack(schedule, sheets, stamp), schedule.job.info.date)


@in_its_language
def picture_pages(
    schedule: Schedule, sheets: Sequence[Sheet], density: float, stamp: str = ""
) -> list[bytes]:
    """Every page of `render_made` as a picture (PNG), for a screen.

    Args:
        schedule: whose title block and flags the pages carry.
        sheets: made already.
        density: pixels in an inch.
        stamp: as in `render_made`.

    Raises:
        OutputError: the page template could not be laid out.
    """
    pack = json.dumps(_pack(schedule, sheets, stamp), ensure_ascii=False, sort_keys=True)
    made = _compiled(pack, _timestamp(schedule.job.info.date), "sheets", "png", density)
    return [made] if isinstance(made, bytes) else made


def typeset(template: str, data: Mapping[str, object], date: str) -> bytes:
    """One PDF of plain data on a page template; the same data gives the same bytes.

    Args:
        template: name of a file in `templates/typst`, without its ending.
        data: what the template reads as `sys.inputs.pack`; every number in it is text already.
        date: of the job, ISO 8601; the PDF carries it instead of the clock.

    Raises:
        OutputError: the template could not be laid out.
    """
    pack = json.dumps(data, ensure_ascii=False, sort_keys=True)
    return _compile(pack, _timestamp(date), template)


@in_its_language
def svg_pages(schedule: Schedule, sheets: Sequence[Sheet]) -> dict[str, str]:
    """Name -> SVG of a full page, for each drawing of sheets that are made already.

    A sheet with plots of its own gives these instead; a list has no drawing.
    """
    pages = [page for sheet in sheets for page in sheet.plots or _pages(schedule, sheet)]
    return {page.name: write_svg(page) for page in pages}


def _pages(schedule: Schedule, sheet: Sheet) -> list[Drawing]:
    """Full pages of a sheet whose drawings stand for themselves: A3, or anything at 1:1."""
    whole = sheet.size == "A3" or sheet.scale == scale_words(1)
    return paged(schedule, sheet) if whole else []


def paged(schedule: Schedule, sheet: Sheet) -> list[Drawing]:
    """The drawings of a sheet on pages with frame and title block, as a file without typst."""
    free = room(sheet.size)
    pages: list[Drawing] = []
    x = y = shelf = free.height + 1.0
    for drawing in drawings(sheet):
        if x + drawing.width > free.width + 0.1:
            x, y, shelf = 0.0, y + shelf, 0.0
        if y + drawing.height > free.height:
            pages.append(_page(schedule, sheet, len(pages) + 1))
            x, y, shelf = 0.0, 0.0, 0.0
        pages[-1].add(*drawing.moved(free.left + x, free.top + y))
        x, shelf = x + drawing.width, max(shelf, drawing.height + 2.0)
    return pages


def drawings(sheet: Sheet) -> list[Drawing]:
    """All drawings on a sheet, in reading order."""
    return list(_walk(sheet.blocks))


def _walk(blocks: Sequence[Block]) -> list[Drawing]:
    found: list[Drawing] = []
    for block in blocks:
        if isinstance(block.get("drawing"), Drawing):
            found.append(block["drawing"])  # type: ignore[arg-type]
        for inner in _inner(block):
            found += _walk(inner)
    return found


def _inner(block: Block) -> list[list[Block]]:
    cells: Any = block.get("cells", [])
    inside: Any = block.get("blocks")
    return [*cells, *([inside] if inside else [])]


def _page(schedule: Schedule, sheet: Sheet, number: int) -> Drawing:
    page = furniture(schedule, sheet)
    page.name = f"{schedule.girder.mark}-{sheet.name}-{number}"
    left, top, _ = sheet_number_place(sheet.size)
    page.add(Text((left + 1.5, top + 7.3), f"{number}", style.NORMAL, "start", tag="number"))
    if schedule.failed:
        middle = (page.width / 2, page.height / 2)
        words = cautions.not_for_assembly()
        page.add(Text(middle, words, 24.0, angle=28.0, grey=0.45, hollow=True, tag="stamp"))
    return page


def _pack(schedule: Schedule, sheets: Sequence[Sheet], stamp: str) -> dict[str, object]:
    info, own = schedule.job.info, {"mark": schedule.girder.mark}
    return {
        "title": phrase("sheet.pdf_title", number=info.number, revision=info.revision, **own),
        "author": info.prepared_by,
        "language": spoken(),
        "furniture": phrase("sheet.furniture"),
        "stamp": cautions.not_for_assembly() if schedule.failed else stamp,
        "sheets": [_sheet(schedule, s) for s in sheets],
    }


def _sheet(schedule: Schedule, sheet: Sheet) -> dict[str, object]:
    width, height = PAPER[sheet.size]
    free, number = room(sheet.size), sheet_number_place(sheet.size)
    return {
        "paper": {"width": _mm(width), "height": _mm(height)},
        "room": {side: _mm(getattr(free, side)) for side in ("left", "top", "right", "bottom")},
        "number": dict(zip(("left", "top", "width"), map(_mm, number), strict=True)),
        "large": sheet.size == "A3",
        "furniture": write_svg(furniture(schedule, sheet)),
        "blocks": [_plain(block) for block in sheet.blocks],
    }


def _mm(value: float) -> str:
    return f"{mm(value)}mm"


def _plain(block: Block) -> Block:
    """A block without drawings: each is written out as SVG."""
    if block["kind"] == "drawing":
        drawing: Any = block["drawing"]
        return {
            "kind": "drawing",
            "svg": write_svg(drawing),
            "width": _mm(drawing.width),
            "alt": drawing.title or drawing.name,
        }
    if block["kind"] == "columns":
        cells: Any = block["cells"]
        return block | {"cells": [[_plain(c) for c in cell] for cell in cells]}
    if block["kind"] == "keep":
        inner: Any = block["blocks"]
        return block | {"blocks": [_plain(c) for c in inner]}
    return block


def _timestamp(date: str) -> datetime:
    """The job's date, so that the PDF does not carry the clock."""
    try:
        day = datetime.fromisoformat(date)
    except ValueError:
        day = datetime(1970, 1, 1)
    return day.replace(tzinfo=UTC)


@cache
def _compiler(template: str) -> typst.Compiler:
    """One compiler per template, which knows the shipped fonts and no others."""
    import typst

    fonts = typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[str(template_folder() / "fonts")],
    )
    source = template_folder() / "typst" / f"{template}.typ"
    return typst.Compiler(str(source), font_paths=fonts, ignore_system_fonts=True)


def _compile(pack: str, timestamp: datetime, template: str = "sheets") -> bytes:
    pdf = _compiled(pack, timestamp, template, "pdf")
    if not isinstance(pdf, bytes):
        raise OutputError("the sheets came out as something else than one PDF")
    return pdf


def _compiled(
    pack: str,
    timestamp: datetime,
    template: str,
    form: Literal["pdf", "png"],
    density: float = 144.0,
) -> bytes | list[bytes]:
    import typst

    try:
        made = _compiler(template).compile(
            format=form, ppi=density, timestamp=timestamp, sys_inputs={"pack": pack}
        )
    except typst.TypstError as fault:
        raise OutputError(f"the sheets could not be laid out: {fault}") from fault
    if made is None:
        raise OutputError("the sheets came out as nothing")
    return made
