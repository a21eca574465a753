"""Which documents and sheets a girder has, and their files.

A document is for one reader and is enough by itself; a sheet is a part of one, or comes on demand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from girderply.errors import GirderplyError
from girderply.papers.engineer.calculation import calculation
from girderply.papers.engineer.sharing_sheet import sharing
from girderply.papers.inspector.check_sheet import check_sheet
from girderply.papers.page.attached import Attached
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.paper import Paper
from girderply.papers.page.typeset import render_joined, render_made, svg_document, svg_pages
from girderply.papers.supplier.girder_delivery import girder_delivery
from girderply.papers.yard.elevation_sheet import elevation
from girderply.papers.yard.gauge_cards import gauge_cards
from girderply.papers.yard.know_sheet import know_sheet
from girderply.papers.yard.stage_sheet import stage_sheet
from girderply.papers.yard.stick_list import stick_list
from girderply.schedule.speech import own_voice
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Voice

Maker = Callable[[Voice, Schedule], Sheet]


class SheetError(GirderplyError, LookupError):
    """A sheet or a document that this girder does not have."""


@dataclass(frozen=True, slots=True)
class Document:
    """One reader's document.

    Attributes:
        name: of the document and, with ".pdf", of its file. drawn: it is mostly drawings, so its
            paper is the large one unless the user asks for another.
    """

    name: str
    drawn: bool = False

    @property
    def file(self) -> str:
        """Name of its file in a pack."""
        return f"{self.name}.pdf"

    def paper(self, schedule: Schedule, asked: Paper | None = None) -> Paper:
        """The one size of all its sheets: A3 and A4, in an imperial job tabloid and letter.

        What is asked for now goes before what the job asks for.
        """
        wanted = asked or schedule.job.info.paper
        if wanted is not None:
            return wanted
        imperial = Show(schedule.job.info.units).imperial
        if self.drawn:
            return "tabloid" if imperial else "A3"
        return "letter" if imperial else "A4"


YARD = Document("yard", drawn=True)
INSPECTION, DELIVERY, ENGINEER = (Document(n) for n in ("inspection", "delivery", "engineer"))
DOCUMENTS: Final = (YARD, INSPECTION, DELIVERY, ENGINEER)


JOINED: Final = "pack.pdf"


def document(name: str) -> Document:
    """The document of this name.

    Raises:
        SheetError: there is none.
    """
    for known in DOCUMENTS:
        if known.name == name:
            return known
    raise SheetError(f"no document {name!r}; there are {', '.join(d.name for d in DOCUMENTS)}")


def _of(
    document: Document,
    schedule: Schedule,
    paper: Paper | None,
    carries: Sequence[str] = (),
) -> Iterator[tuple[str, Maker]]:
    """Names of the sheets of a document, and what makes each; nothing is made yet."""
    size = document.paper(schedule, paper)
    if document is YARD:
        yield "know", partial(know_sheet, paper=size)
        for s in schedule.stages:
            yield f"stage-{s.number}", partial(stage_sheet, stage=s, paper=size)
    elif document is DELIVERY:
        yield document.name, partial(girder_delivery, paper=size, carries=carries)
    else:
        make = {INSPECTION: check_sheet, ENGINEER: calculation}[document]
        yield document.name, partial(make, paper=size)


def make_document(
    schedule: Schedule, name: str, paper: Paper | None = None, carries: Sequence[str] = ()
) -> list[Sheet]:
    """The sheets of one reader's document, all of one size.

    `carries` names the files that go into the supplier's PDF.

    Raises:
        SheetError: no document of this name.
    """
    voice = own_voice(schedule)
    return [make(voice, schedule) for _, make in _of(document(name), schedule, paper, carries)]


def render_document(
    schedule: Schedule,
    name: str,
    paper: Paper | None = None,
    attached: Sequence[Attached] = (),
) -> bytes:
    """One reader's document as PDF; the same schedule gives the same bytes.

    `attached` goes into the PDF.

    Raises:
        SheetError: no document of this name.
        OutputError: the page template could not be laid out.
    """
    sheets = make_document(schedule, name, paper, [f.name for f in attached])
    return render_made(schedule, sheets, attached=attached)


def render_all(schedule: Schedule, paper: Paper | None = None) -> bytes:
    """All documents in one PDF, each with its own title block and numbers.

    Raises:
        OutputError: the page template could not be laid out.
    """
    made = [make_document(schedule, d.name, paper) for d in DOCUMENTS]
    return render_joined(schedule, made)


def render_documents(
    schedule: Schedule,
    paper: Paper | None = None,
    join: bool = False,
    attached: Sequence[Attached] = (),
) -> tuple[dict[str, bytes], dict[str, str]]:
    """All documents as PDF by file name, and the pages of the yard's as SVG by name.

    `join` adds pack.pdf, all of them in one; `attached` goes into the supplier's PDF alone.

    Raises:
        OutputError: the page template could not be laid out.
    """
    inside = {DELIVERY: tuple(attached)}
    made = {
        d: make_document(schedule, d.name, paper, [f.name for f in inside.get(d, ())])
        for d in DOCUMENTS
    }
    pdfs = {d.file: render_made(schedule, made[d], attached=inside.get(d, ())) for d in DOCUMENTS}
    if join:
        made[DELIVERY] = make_document(schedule, DELIVERY.name, paper)
        pdfs[JOINED] = render_joined(schedule, list(made.values()))
    return pdfs, svg_document(schedule, made[YARD], YARD.name)


def makers(schedule: Schedule, paper: Paper | None = None) -> dict[str, Maker]:
    """Name -> what makes that sheet, in the order of the documents."""
    return {name: make for d in DOCUMENTS for name, make in _of(d, schedule, paper)}


def on_demand(schedule: Schedule) -> dict[str, Maker]:
    """Sheets that no document carries: the overall elevation, the sharing, cards, a stick each."""
    found: dict[str, Maker] = {
        "elevation": partial(elevation, paper=YARD.paper(schedule)),
        "sharing": sharing,
    }
    if schedule.patterns:
        found["gauge-card"] = gauge_cards
    used = set(schedule.fasteners.member.tolist())
    sticks = [m for m in schedule.girder.members if m.id in used]
    return found | {f"stick-{m.id}": partial(stick_list, member=m) for m in sticks}


def sheet_names(schedule: Schedule) -> tuple[str, ...]:
    """Names of the sheets of the documents, in order."""
    return tuple(makers(schedule))


def make_sheets(
    schedule: Schedule, names: Sequence[str] | None = None, paper: Paper | None = None
) -> list[Sheet]:
    """Sheets by name, in the order of the documents; None for all that these carry.

    Raises:
        SheetError: a name that is neither among `sheet_names` nor made on demand.
    """
    voice = own_voice(schedule)
    known = makers(schedule, paper)
    if names is None:
        return [make(voice, schedule) for make in known.values()]
    known |= on_demand(schedule)
    wrong = [n for n in names if n not in known]
    if wrong:
        raise SheetError(f"no sheet {wrong[0]!r}; there are {', '.join(known)}")
    return [make(voice, schedule) for name, make in known.items() if name in names]


def render_pdf(
    schedule: Schedule, sheets: Sequence[str] | None = None, paper: Paper | None = None
) -> bytes:
    """One PDF of the sheets named, or of all; the same schedule gives the same bytes.

    Raises:
        SheetError: a name that is not among `sheet_names`.
        OutputError: the page template could not be laid out.
    """
    if sheets is None:
        return render_all(schedule, paper)
    return render_made(schedule, make_sheets(schedule, sheets, paper))


def render_svg(schedule: Schedule, sheet: str, paper: Paper | None = None) -> dict[str, str]:
    """Name -> SVG of each full page of a sheet, complete as in the PDF.

    Raises:
        SheetError: a name that is not among `sheet_names`.
    """
    return svg_pages(schedule, make_sheets(schedule, [sheet], paper))
