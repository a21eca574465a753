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
from girderply.wording import Voice

_QR = 30.0
_VALUES = 85.0  # mm beside the QR code for a word that must be broken


def girder_delivery(
    voice: Voice, schedule: Schedule, paper: Paper, carries: Sequence[str] = ()
) -> Sheet:
    """Cover, order list and lifting on two pages.

    Args:
        voice: that tells it.
        schedule: of the girder.
        paper: size of the sheet.
        carries: names of the files inside the PDF that it will be in.
    """
    sheet = Sheet("delivery", voice.phrase("cover.title"), paper)
    width, upright = room(paper).width, schedule.job.assembly.upright
    qr = b.image(qr_svg(qr_text(voice, schedule)), _QR, voice.phrase("label.qr_alt"))
    beside = [b.words(voice.phrase("cover.qr"))]
    if carries:
        beside.append(b.words(voice.phrase("carried.inside", names=", ".join(carries))))
    sheet.blocks += [
        b.title(
            voice.phrase("sheet.girder_head", mark=schedule.girder.mark),
            voice.phrase(
                "cover.made_of", n=schedule.girder.plies, quantity=schedule.girder.quantity
            ),
        ),
        *top_blocks(voice, schedule, designer=True),
        b.picture(thumbnail(voice, schedule, width, 24.0)),
        b.columns(("1fr", f"{_QR + 4:g}mm"), [_what(voice, schedule)], [qr, *beside]),
        b.keep(*order_blocks(voice, schedule)),
        b.keep(
            b.heading(voice.phrase(f"handling.title{'_standing' if upright else ''}")),
            b.picture(lifting_elevation(voice, schedule, width, 58.0)),
            *_lifting(voice, schedule),
        ),
        *rest_blocks(voice, schedule, notes=False),
    ]
    return sheet


def _what(voice: Voice, schedule: Schedule) -> Block:
    info, girder = schedule.job.info, schedule.girder
    show = Printed(info.units, voice)
    thickness = show.small(girder.ply_thickness)
    pairs = [
        (voice.phrase("cover.job"), info.number),
        (voice.phrase("sheet.title"), info.title),
        (voice.phrase("cover.client"), info.client),
        (voice.phrase("cover.site"), info.site),
        (voice.phrase("label.consignee"), info.consignee),
        (voice.phrase("label.delivery"), info.delivery),
        (voice.phrase("cover.designer"), info.truss_designer),
        (
            voice.phrase("sheet.revision"),
            voice.phrase("cover.revision_of", revision=info.revision, date=info.date),
        ),
        (
            voice.phrase("cover.plies"),
            voice.phrase("cover.plies_of", plies=girder.plies, thickness=thickness),
        ),
        (voice.phrase("cover.timber"), timber_words(voice, girder, show)),
        (
            voice.phrase("know.size"),
            f"{show.span(girder.length)} \u00d7 {show.span(girder.height)}",
        ),
        (voice.phrase("cover.ply_mass"), show.mass(schedule.masses.ply)),
        (voice.phrase("cover.girder_mass"), show.mass(schedule.masses.total)),
        (voice.phrase("cover.rule_set"), rule_set_title(voice, schedule)),
        (voice.phrase("cover.standard"), schedule.job.basis.standard),
    ]
    return b.facts((name, breaking(value, _VALUES, bold=True)) for name, value in pairs)


def _lifting(voice: Voice, schedule: Schedule) -> list[Block]:
    show, found = Printed(schedule.job.info.units, voice), balance(schedule.girder)
    side = voice.phrase("handling.centre_at", x=show.span(found.x), y=show.span(found.y))
    blocks = [b.facts([(voice.phrase("handling.centre"), side), *slings(voice, found, show)])]
    if found.slings is None:
        blocks.append(b.words(voice.phrase("handling.no_slings")))
    if found.long and not schedule.job.assembly.upright:
        blocks.append(
            b.callout(voice.phrase("handling.long"), [voice.phrase("handling.long_pieces")], True)
        )
    return [*blocks, b.words(*lift_notes(voice, schedule))]
