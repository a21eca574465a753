"""The supplier's document of one girder: what it is, what to order, how to lift it, its QR code."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.drawing.elevation import thumbnail
from girderply.drawing.lettering import breaking
from girderply.drawing.lifting import lifting_elevation
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.cited_words import rule_set_title
from girderply.papers.page.paper import Paper, room
from girderply.papers.page.ranked import rest_blocks, top_blocks
from girderply.papers.page.timber_words import timber_words
from girderply.papers.supplier.labels import qr_svg, qr_text
from girderply.papers.supplier.order_list import order_blocks
from girderply.papers.yard.lift_words import lift_notes, slings
from girderply.schedule.balance import balance
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import phrase

_QR = 30.0
_VALUES = 85.0  # mm beside the QR code for a word that must be broken


def girder_delivery(schedule: Schedule, paper: Paper, carries: Sequence[str] = ()) -> Sheet:
    """Cover, order list and lifting on two pages.

    Args:
        schedule: of the girder.
        paper: size of the sheet.
        carries: names of the files inside the PDF that it will be in.
    """
    sheet = Sheet("delivery", phrase("cover.title"), paper)
    width, upright = room(paper).width, schedule.job.assembly.upright
    qr = b.image(qr_svg(qr_text(schedule)), _QR, phrase("label.qr_alt"))
    beside = [b.words(phrase("cover.qr"))]
    if carries:
        beside.append(b.words(phrase("carried.inside", names=", ".join(carries))))
    sheet.blocks += [
        b.title(
            phrase("sheet.girder_head", mark=schedule.girder.mark),
            phrase("cover.made_of", n=schedule.girder.plies, quantity=schedule.girder.quantity),
        ),
        *top_blocks(schedule, designer=True),
        b.picture(thumbnail(schedule, width, 24.0)),
        b.columns(("1fr", f"{_QR + 4:g}mm"), [_what(schedule)], [qr, *beside]),
        b.keep(*order_blocks(schedule)),
        b.keep(
            b.heading(phrase(f"handling.title{'_standing' if upright else ''}")),
            b.picture(lifting_elevation(schedule, width, 58.0)),
            *_lifting(schedule),
        ),
        *rest_blocks(schedule, notes=False),
    ]
    return sheet


def _what(schedule: Schedule) -> Block:
    info, girder = schedule.job.info, schedule.girder
    show = Printed(info.units)
    thickness = show.small(girder.ply_thickness)
    pairs = [
        (phrase("cover.job"), info.number),
        (phrase("sheet.title"), info.title),
        (phrase("cover.client"), info.client),
        (phrase("cover.site"), info.site),
        (phrase("label.consignee"), info.consignee),
        (phrase("label.delivery"), info.delivery),
        (phrase("cover.designer"), info.truss_designer),
        (
            phrase("sheet.revision"),
            phrase("cover.revision_of", revision=info.revision, date=info.date),
        ),
        (phrase("cover.plies"), phrase("cover.plies_of", plies=girder.plies, thickness=thickness)),
        (phrase("cover.timber"), timber_words(girder, show)),
        (phrase("know.size"), f"{show.span(girder.length)} \u00d7 {show.span(girder.height)}"),
        (phrase("cover.ply_mass"), show.mass(schedule.masses.ply)),
        (phrase("cover.girder_mass"), show.mass(schedule.masses.total)),
        (phrase("cover.rule_set"), rule_set_title(schedule)),
        (phrase("cover.standard"), schedule.job.basis.standard),
    ]
    return b.facts((name, breaking(value, _VALUES, bold=True)) for name, value in pairs)


def _lifting(schedule: Schedule) -> list[Block]:
    show, found = Printed(schedule.job.info.units), balance(schedule.girder)
    side = phrase("handling.centre_at", x=show.span(found.x), y=show.span(found.y))
    blocks = [b.facts([(phrase("handling.centre"), side), *slings(found, show)])]
    if found.slings is None:
        blocks.append(b.words(phrase("handling.no_slings")))
    if found.long and not schedule.job.assembly.upright:
        blocks.append(b.callout(phrase("handling.long"), [phrase("handling.long_pieces")], True))
    return [*blocks, b.words(*lift_notes(schedule))]
