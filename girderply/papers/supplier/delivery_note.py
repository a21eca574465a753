"""The delivery note: what is in a delivery, which pack belongs to which bundle, what to order."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from girderply.drawing.lettering import breaking
from girderply.drawing.style import SMALL
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.heading import Heading
from girderply.papers.page.typeset import render_headed
from girderply.papers.supplier.labels import qr_svg
from girderply.schedule import cautions
from girderply.schedule.speech import their_voice
from girderply.schedule.total import delivery_units, total_order
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words, spec_words

__all__ = ["delivery_pdf", "delivery_sheet", "total_order"]

MOST_ROWS = 24  # pieces of a girder that get a row each; more share one
_DASH = "\u2013"
_PACK = 42.0  # least width of the column of packs, mm
_FACT = 115.0  # width of the column of facts, mm
_CODE = 30.0  # side of the code of the register, mm


def delivery_pdf(
    schedules: Sequence[Schedule], folders: Sequence[str] = (), head: str = ""
) -> bytes:
    """The delivery note of one or several girders, A4.

    Args:
        schedules: in the order of the note.
        folders: name of each girder's sheet pack; without them a pack is told by its hash alone.
        head: sha256 of the delivery's last entry in the register; empty for none.

    Raises:
        DeliveryError: no girder, the same one twice, or girders in different unit systems.
        OutputError: the page template could not be laid out.
    """
    voice = their_voice(schedules)
    sheet = delivery_sheet(schedules, folders, head)
    return render_headed(voice, delivery_heading(voice, schedules), [sheet])


def delivery_sheet(
    schedules: Sequence[Schedule], folders: Sequence[str] = (), head: str = ""
) -> Sheet:
    """The content of the delivery note; see `delivery_pdf`."""
    voice = their_voice(schedules)
    show = Printed(delivery_units(schedules), voice)
    packs = folders or [""] * len(schedules)
    count = sum(s.girder.quantity for s in schedules)
    pairs = list(zip(schedules, packs, strict=True))
    sheet = Sheet("delivery", voice.phrase("delivery.title"), "A4")
    sheet.blocks += [
        b.title(voice.phrase("delivery.title"), voice.phrase("delivery.girders", n=count)),
        *_warnings(voice, schedules),
        b.facts(_facts(voice, schedules, show)),
        b.heading(voice.phrase("delivery.contents")),
        _contents(voice, pairs, show),
        b.heading(voice.phrase("delivery.bundles")),
        b.words(voice.phrase("delivery.bundles_how")),
        _bundles(voice, pairs, show),
        b.heading(voice.phrase("delivery.to_order")),
        b.words(_allowance(voice, schedules, show)),
        *_order(voice, schedules, show),
        *_register(voice, head),
        b.keep(b.signatures(_names(voice))),
    ]
    return sheet


def _register(voice: Voice, head: str) -> Iterator[Block]:
    """The end of the register, as text and as a code: whoever has this note can prove it."""
    if not head:
        return
    words = [
        b.heading(voice.phrase("delivery.register")),
        b.words(voice.phrase("delivery.register_how"), head),
    ]
    code = b.image(qr_svg(head), _CODE, voice.phrase("delivery.register_alt"))
    yield b.keep(b.columns(("1fr", f"{_CODE}mm"), words, [code]))


def _names(voice: Voice) -> tuple[str, ...]:
    return (
        voice.phrase("delivery.loaded_by"),
        voice.phrase("delivery.received_by"),
        voice.phrase("sheet.date"),
    )


def delivery_heading(voice: Voice, schedules: Sequence[Schedule]) -> Heading:
    """Title block and flags of a delivery, which warns of whatever one of its girders does."""
    infos = [s.job.info for s in schedules]
    info = replace(
        infos[0],
        number=_one([i.number for i in infos], partial(_many_jobs, voice)),
        title=_one([i.title for i in infos], several=voice.phrase("delivery.several")),
        revision=_one([i.revision for i in infos]),
        date=max(i.date for i in infos),
        client=_one([i.client for i in infos], several=""),
        truss_designer=_one([i.truss_designer for i in infos], several=""),
        prepared_by=_one([i.prepared_by for i in infos], several=""),
        checked_by=_one([i.checked_by for i in infos], several=""),
        demo=all(i.demo for i in infos),
    )
    return Heading(
        info,
        mark=_one([s.girder.mark for s in schedules], partial(_many_girders, voice)),
        quantity=sum(s.girder.quantity for s in schedules),
        assembly=schedules[0].job.assembly,
        content_hash=delivery_hash(schedules),
        failed=any(s.failed for s in schedules),
        unconfirmed=any(s.unconfirmed for s in schedules),
        plates_assumed=any(s.plates_assumed for s in schedules),
        logo=schedules[0].logo,
    )


def _many_girders(voice: Voice, number: int) -> str:
    return voice.phrase("delivery.many_girders", number=number)


def _many_jobs(voice: Voice, number: int) -> str:
    return voice.phrase("delivery.many_jobs", number=number)


def delivery_hash(schedules: Sequence[Schedule]) -> str:
    """The sha256 over the content hashes of a delivery's girders; that of a single one itself."""
    if len(schedules) == 1:
        return schedules[0].content_hash
    return hashlib.sha256("\n".join(s.content_hash for s in schedules).encode()).hexdigest()


def _one(
    values: Sequence[str], many: Callable[[int], str] | None = None, several: str | None = None
) -> str:
    """What all say; where they differ, each once, or `several`; from three on their number.

    Args:
        values: of the girders, in order.
        many: says a number of them where the room is small; None to list them all.
        several: words instead, where they differ.
    """
    found = list(dict.fromkeys(values))
    if len(found) > 1 and several is not None:
        return several
    return many(len(found)) if many and len(found) > 2 else ", ".join(found)


def _warnings(voice: Voice, schedules: Sequence[Schedule]) -> Iterator[Block]:
    refused = [_name(s) for s in schedules if s.failed]
    if refused:
        lines: list[str] = [voice.phrase("delivery.refused", girders=", ".join(refused))]
        yield b.callout(voice.told(cautions.not_for_assembly()), lines, heavy=True)
    lines = []
    demo = [_name(s) for s in schedules if s.job.info.demo]
    if demo:
        words = cautions.demo()
        whole = len(demo) == len(schedules)
        lines.append(voice.told(words if whole else _of(voice, demo, voice.told(words))))
    assumed = [_name(s) for s in schedules if s.plates_assumed]
    if assumed:
        lines.append(_of(voice, assumed, voice.told(cautions.plates_assumed())))
    if lines:
        yield b.callout(voice.phrase("delivery.mind"), lines)


def _of(voice: Voice, girders: Sequence[str], words: str) -> str:
    """What is so of some girders only."""
    on = f"{words[0].lower()}{words[1:]}"
    return voice.phrase("delivery.of_girders", girders=", ".join(girders), words=on)


def _name(schedule: Schedule) -> str:
    return f"{schedule.job.info.number} {schedule.girder.mark}"


def _facts(voice: Voice, schedules: Sequence[Schedule], show: Printed) -> list[tuple[str, str]]:
    infos = [s.job.info for s in schedules]
    timber = sum(s.masses.plies * s.girder.quantity for s in schedules)
    fasteners = sum(s.masses.fasteners * s.girder.quantity for s in schedules)
    plies = sum(s.girder.quantity * s.girder.plies for s in schedules)
    longest = max(s.girder.length for s in schedules)
    heaviest = max(s.masses.plies for s in schedules)
    return [
        (voice.phrase("delivery.job"), _breakable(_one([i.number for i in infos]))),
        (voice.phrase("delivery.client"), _breakable(_one([i.client for i in infos]))),
        (voice.phrase("delivery.site"), _breakable(_one([i.site for i in infos]))),
        (voice.phrase("label.consignee"), _breakable(_one([i.consignee for i in infos]))),
        (voice.phrase("label.delivery"), _breakable(_one([i.delivery for i in infos]))),
        (
            voice.phrase("delivery.bundle_count"),
            show.number(sum(s.girder.quantity for s in schedules)),
        ),
        (voice.phrase("delivery.plies_in_all"), show.number(plies)),
        (voice.phrase("delivery.longest"), show.span(longest)),
        (voice.phrase("delivery.heaviest"), show.mass(heaviest)),
        (voice.phrase("delivery.mass_plies"), show.mass(timber)),
        (voice.phrase("delivery.mass_fasteners"), show.mass(fasteners)),
    ]


def _breakable(text: str) -> str:
    """The text with places to break words that are too long for the column of facts."""
    return breaking(text, _FACT, SMALL, bold=True)


def _contents(voice: Voice, pairs: Sequence[tuple[Schedule, str]], show: Printed) -> Block:
    rows: list[list[b.Cell]] = []
    for s, _ in pairs:
        g = s.girder
        size = f"{show.length(g.length)} \u00d7 {show.length(g.height)}"
        rows.append([
            b.strong(breaking(_name(s), 30.0, SMALL, bold=True)),
            breaking(s.job.info.revision, 12.0, SMALL), f"{g.quantity}",
            f"{g.plies} \u00d7 {show.small(g.ply_thickness)}", size,
            show.mass(s.masses.plies), show.mass(s.masses.plies * g.quantity),
        ])  # fmt: skip
    heads = (
        voice.phrase("delivery.job_girder"),
        voice.phrase("delivery.revision"),
        voice.phrase("delivery.pieces"),
        voice.phrase("delivery.plies"),
        voice.phrase("delivery.size", unit=show.unit("length")),
        voice.phrase("delivery.one_bundle"),
        voice.phrase("delivery.all_bundles"),
    )
    align = ("left", "left", *["right"] * 5)
    return b.table(heads, rows, ("1fr", "16mm", *["auto"] * 5), align)


def _bundles(voice: Voice, pairs: Sequence[tuple[Schedule, str]], show: Printed) -> Block:
    rows = [row for s, pack in pairs for row in _bundle_rows(voice, s, pack, show)]
    heads = (
        voice.phrase("delivery.bundle"),
        voice.phrase("delivery.label"),
        voice.phrase("delivery.mass"),
        voice.phrase("delivery.pack"),
        voice.phrase("delivery.hash"),
        voice.phrase("delivery.arrived"),
        voice.phrase("delivery.sheets"),
    )
    align = ("left", "left", "right", "left", "left", "center", "center")
    return b.table(
        heads, rows, ("0.6fr", "auto", "auto", "1fr", "auto", "auto", "auto"), align, True
    )


def _bundle_rows(
    voice: Voice, schedule: Schedule, pack: str, show: Printed
) -> Iterator[list[b.Cell]]:
    info, girder = schedule.job.info, schedule.girder
    count = girder.quantity
    labels = [voice.phrase("delivery.piece", piece=k, all=count) for k in range(1, count + 1)]
    if count > MOST_ROWS:
        labels = [voice.phrase("delivery.pieces_to", all=count)]
    own = voice.phrase(
        "delivery.pack_name", job=info.number, mark=girder.mark, revision=info.revision
    )
    for label in labels:
        yield [
            b.strong(breaking(girder.mark, 24.0, SMALL, bold=True)), label,
            show.mass(schedule.masses.plies),
            breaking(pack or own, _PACK, SMALL),
            schedule.content_hash[:12], b.BOX, b.BOX,
        ]  # fmt: skip


def _allowance(voice: Voice, schedules: Sequence[Schedule], show: Printed) -> str:
    shares = sorted({s.job.fastening.order_allowance for s in schedules})
    low, high = show.percent(shares[0]), show.percent(shares[-1])
    share = low if len(shares) == 1 else voice.phrase("delivery.shares", low=low, high=high)
    return voice.phrase("delivery.allowance", share=share)


def _order(voice: Voice, schedules: Sequence[Schedule], show: Printed) -> Iterator[Block]:
    """The order list, its notes below it by number."""
    lines = total_order(schedules)
    notes = {
        note: f"({i})" for i, note in enumerate(dict.fromkeys(x.note for x in lines if x.note), 1)
    }
    rows: list[list[b.Cell]] = [
        [
            voice.told(kind_words(line.kind, 1)), b.strong(voice.told(spec_words(line.spec))),
            show.number(line.needed), b.strong(show.number(line.ordered)),
            show.mass(line.mass) if line.mass else _DASH, notes.get(line.note, ""),
        ]
        for line in lines
    ]  # fmt: skip
    heads = (
        "",
        voice.phrase("delivery.name"),
        voice.phrase("delivery.needed"),
        voice.phrase("delivery.order"),
        voice.phrase("delivery.mass"),
        voice.phrase("delivery.note"),
    )
    align = ("left", "left", "right", "right", "right", "left")
    yield b.table(heads, rows, ("auto", "1fr", *["auto"] * 4), align)
    if notes:
        yield b.words(*(f"{number} {voice.told(note)}" for note, number in notes.items()))
