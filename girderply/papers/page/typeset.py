"""From sheets to files: one PDF by typst, or every page of it as SVG."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING, Any, Final, Literal

from girderply.drawing.page import Drawing
from girderply.drawing.resources import template_folder
from girderply.drawing.svg import mm, write_svg
from girderply.errors import OutputError
from girderply.papers.page.attached import Attached, for_template
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.continuation import strip_number_place
from girderply.papers.page.formula import typeset_line
from girderply.papers.page.furniture import furniture
from girderply.papers.page.heading import Heading, heading_of
from girderply.papers.page.paper import PAPER, STRIP, lying, room
from girderply.papers.page.title_block import (
    foot_height,
    legal_owner,
    logo_place,
    sheet_number_place,
)
from girderply.schedule import cautions
from girderply.schedule.speech import own_voice
from girderply.schedule.types import Schedule
from girderply.wording import Voice

if TYPE_CHECKING:
    import typst

# Tagged, fonts and colours inside: ISO 19005-2, level A; with files of any kind inside: 19005-3.
# Where typst finds nothing against it also ISO 14289-1, for readers who do not see the sheet. Some
# tables that go over pages it takes for wrong there (typst 0.15): these sheets are for the archive.
ARCHIVE: Final = (["a-2a", "ua-1"], ["a-2a"])
WITH_FILES: Final = (["a-3a", "ua-1"], ["a-3a"])


def render_made(
    schedule: Schedule,
    sheets: Sequence[Sheet],
    stamp: str = "",
    attached: Sequence[Attached] = (),
) -> bytes:
    """One PDF of the sheets of one document; title block and flags are the schedule's.

    `stamp` stands across every page, unless NOT FOR ASSEMBLY does. With files `attached` it is
    PDF/A-3 and holds their list too.

    Raises:
        OutputError: the page template could not be laid out.
        AttachedError: two files of one name.
    """
    return render_headed(own_voice(schedule), heading_of(schedule), sheets, stamp, attached)


def render_headed(
    voice: Voice,
    heading: Heading,
    sheets: Sequence[Sheet],
    stamp: str = "",
    attached: Sequence[Attached] = (),
) -> bytes:
    """As `render_made`, for sheets of one girder or of several.

    Raises:
        OutputError: the page template could not be laid out.
        AttachedError: two files of one name.
    """
    data = pack_data(voice, heading, [sheets], stamp) | {"attached": for_template(attached)}
    return typeset("sheets", data, heading.info.date)


def render_joined(
    schedule: Schedule, documents: Sequence[Sequence[Sheet]], stamp: str = ""
) -> bytes:
    """One PDF of several documents one after the other, each with its own title block and numbers.

    Raises:
        OutputError: the page template could not be laid out.
    """
    voice = own_voice(schedule)
    return typeset(
        "sheets", pack_data(voice, heading_of(schedule), documents, stamp), schedule.job.info.date
    )


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
    voice = own_voice(schedule)
    data = _json(pack_data(voice, heading_of(schedule), [sheets], stamp))
    return _compile(data, _timestamp(schedule.job.info.date), "sheets", "png", density)


def typeset(template: str, data: Mapping[str, object], date: str) -> bytes:
    """One PDF of plain data on a page template; the same data gives the same bytes.

    Args:
        template: name of a file in `templates/typst`, without its ending.
        data: what the template reads as `sys.inputs.pack`; every number in it is text already.
        date: of the job, ISO 8601; the PDF carries it instead of the clock.

    Raises:
        OutputError: the template could not be laid out.
    """
    archive = WITH_FILES if data.get("attached") else ARCHIVE
    (pdf,) = _compile(_json(data), _timestamp(date), template, "pdf", archive=archive)
    return pdf


def svg_pages(schedule: Schedule, sheets: Sequence[Sheet]) -> dict[str, str]:
    """Name -> SVG of a full page, complete as in the PDF, for sheets that are made already.

    A sheet with plots of its own gives these instead.
    """
    found: dict[str, str] = {}
    for sheet in sheets:
        if sheet.plots:
            found |= {plot.name: write_svg(plot) for plot in sheet.plots}
            continue
        found |= svg_document(schedule, [sheet], sheet.name)
    return found


def svg_document(schedule: Schedule, sheets: Sequence[Sheet], name: str) -> dict[str, str]:
    """Name -> SVG of every page of a document, complete as in its PDF."""
    voice = own_voice(schedule)
    data = _json(pack_data(voice, heading_of(schedule), [sheets], ""))
    pages = _compile(data, _timestamp(schedule.job.info.date), "sheets", "svg")
    head = f"{schedule.girder.mark}-{name}"
    return {f"{head}-{i}": page.decode() for i, page in enumerate(pages, 1)}


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
    ways: Any = block.get("ways", [])
    inside: Any = block.get("blocks")
    return [*cells, *ways[:1], *([inside] if inside else [])]


def pack_data(
    voice: Voice, heading: Heading, documents: Sequence[Sequence[Sheet]], stamp: str
) -> dict[str, object]:
    """What the page template lays out, as plain data."""
    info, own = heading.info, {"mark": heading.mark}
    return {
        "title": voice.phrase("sheet.pdf_title", number=info.number, revision=info.revision, **own),
        "author": info.prepared_by,
        "language": voice.language,
        "furniture": voice.phrase("sheet.furniture"),
        "attached": [],
        "logo": _logo(heading),
        "stamp": voice.told(cautions.not_for_assembly()) if heading.failed else stamp,
        "sheets": [
            _sheet(voice, heading, sheet, first=i == 0)
            for sheets in documents
            for i, sheet in enumerate(sheets)
        ],
    }


def _sheet(voice: Voice, heading: Heading, sheet: Sheet, first: bool) -> dict[str, object]:
    width, height = PAPER[sheet.size]
    free = room(sheet.size)
    number = sheet_number_place(voice, heading, sheet) if first else strip_number_place(sheet)
    return {
        "first": first,
        "paper": {"width": _mm(width), "height": _mm(height)},
        "room": {side: _mm(getattr(free, side)) for side in ("left", "top", "right", "bottom")},
        "head": write_svg(furniture(voice, heading, sheet)) if first else "",
        "strip": write_svg(furniture(voice, heading, sheet, first=False)),
        "foot": _mm(max(0.0, foot_height(voice, heading, sheet) - STRIP)) if first else "0mm",
        "logo": _place(logo_place(voice, heading, sheet)) if first and heading.logo else None,
        "numbers": {
            "head": _place(number) if first else _place(strip_number_place(sheet)),
            "strip": _place(strip_number_place(sheet)),
        },
        "large": lying(sheet.size),
        "blocks": [_plain(block) for block in sheet.blocks],
    }


def _logo(heading: Heading) -> dict[str, object] | None:
    """The picture that stands for the legal owner, and who that is."""
    logo, owner = heading.logo, legal_owner(heading.info)
    if logo is None:
        return None
    return {"data": list(logo.content), "format": logo.kind, "alt": owner}


def _place(place: tuple[float, ...]) -> dict[str, str]:
    return dict(zip(("left", "top", "width", "height"), map(_mm, place), strict=False))


def _mm(value: float) -> str:
    return f"{mm(value)}mm"


def _plain(block: Block) -> Block:
    """A block for the template: drawings written out as SVG, symbols in pieces."""
    if block["kind"] == "drawing":
        drawing: Any = block["drawing"]
        return {
            "kind": "drawing",
            "svg": write_svg(drawing),
            "width": _mm(drawing.width),
            "alt": drawing.title or drawing.name,
        }
    for name in ("cells", "ways"):
        if name in block:
            cells: Any = block[name]
            return block | {name: [[_plain(c) for c in cell] for cell in cells]}
    if block["kind"] == "facts":
        pairs: Any = block["pairs"]
        return block | {"pairs": [[typeset_line(name), value] for name, value in pairs]}
    if block["kind"] == "table":
        heads: Any = block["heads"]
        return block | {"heads": [typeset_line(head) for head in heads]}
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


def _json(data: Mapping[str, object]) -> str:
    return json.dumps(data, ensure_ascii=False, sort_keys=True)


def _compile(
    pack: str,
    timestamp: datetime,
    template: str,
    form: Literal["pdf", "svg", "png"],
    density: float = 144.0,
    archive: Sequence[Sequence[str]] = (),
) -> list[bytes]:
    """The one PDF, or a page of SVG or a picture each; by the first standards that it can keep."""
    import typst

    tries: list[Any] = [*archive, ()]  # no archive takes a letter that its fonts lack: a plain PDF
    inputs = {"pack": pack}
    compiler = _compiler(template)
    for k, standards in enumerate(tries):
        try:
            made = compiler.compile(
                format=form,
                ppi=density,
                timestamp=timestamp,
                sys_inputs=inputs,
                pdf_standards=list(standards),
            )
            break
        except typst.TypstError as fault:
            if k == len(tries) - 1:
                raise OutputError(f"the sheets could not be laid out: {fault}") from fault
    pages = made if isinstance(made, list) else [made]
    if not all(isinstance(page, bytes) for page in pages):
        raise OutputError("the sheets came out as something else than pages")
    return [page for page in pages if page is not None]
