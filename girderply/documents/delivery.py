"""The delivery note: what is in a delivery, which pack belongs to which bundle, what to order."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.render import render_made
from girderply.drawing.lettering import shorten, text_width
from girderply.drawing.style import SMALL
from girderply.schedule import cautions
from girderply.schedule.total import delivery_units, total_order
from girderply.schedule.types import Schedule
from girderply.units.show import Show

__all__ = ["delivery_pdf", "delivery_sheet", "total_order"]

MOST_ROWS = 24  # pieces of a girder that get a row each; more share one
_DASH = "\u2013"
_PACK = 42.0  # least width of the column of packs, mm
_FACT = 115.0  # width of the column of facts, mm


def delivery_pdf(schedules: Sequence[Schedule], folders: Sequence[str] = ()) -> bytes:
    """The delivery note of one or several girders, A4.

    Args:
        schedules: in the order of the note.
        folders: name of each girder's sheet pack; without them a pack is told by its hash alone.

    Raises:
        DeliveryError: no girder, the same one twice, or girders in different unit systems.
        OutputError: the page template could not be laid out.
    """
    sheet = delivery_sheet(schedules, folders)
    return render_made(_together(schedules), [sheet])


def delivery_sheet(schedules: Sequence[Schedule], folders: Sequence[str] = ()) -> Sheet:
    """The content of the delivery note; see `delivery_pdf`."""
    show = Show(delivery_units(schedules))
    packs = folders or [""] * len(schedules)
    pairs = list(zip(schedules, packs, strict=True))
    sheet = Sheet("delivery", "Delivery note", "A4")
    sheet.blocks += [
        b.title("Delivery note", _count(sum(s.girder.quantity for s in schedules), "girder")),
        *_warnings(schedules),
        b.facts(_facts(schedules, show)),
        b.heading("What is in the delivery"),
        _contents(pairs, show),
        b.heading("Bundles and their sheets"),
        b.words(
            "A bundle is the plies of one girder; its label carries the same hash as its sheets. "
            "Tick what has arrived, and that the sheets are with it."
        ),
        _bundles(pairs, show),
        b.heading("Fasteners to order for all of it"),
        b.words(_allowance(schedules, show)),
        *_order(schedules, show),
        b.keep(b.signatures(("Loaded by", "Received by", "Date"))),
    ]
    return sheet


def _together(schedules: Sequence[Schedule]) -> Schedule:
    """A stand-in for all girders, so that title block and flags speak of the whole delivery."""
    first = schedules[0]
    infos = [s.job.info for s in schedules]
    girder = replace(
        first.girder,
        mark=_one([s.girder.mark for s in schedules], "girders"),
        quantity=sum(s.girder.quantity for s in schedules),
        plates=tuple(p for s in schedules for p in s.girder.plates),
    )
    info = replace(
        infos[0],
        number=_one([i.number for i in infos], "jobs"),
        title=_one([i.title for i in infos], several="Several girders"),
        revision=_one([i.revision for i in infos]),
        date=max(i.date for i in infos),
        client=_one([i.client for i in infos], several=""),
        truss_designer=_one([i.truss_designer for i in infos], several=""),
        prepared_by=_one([i.prepared_by for i in infos], several=""),
        checked_by=_one([i.checked_by for i in infos], several=""),
        demo=any(i.demo for i in infos),
    )
    return replace(
        first,
        job=replace(first.job, info=info),
        girder=girder,
        checks=tuple(c for s in schedules for c in s.checks),
        findings=tuple(f for s in schedules for f in s.findings),
        content_hash=delivery_hash(schedules),
    )


def delivery_hash(schedules: Sequence[Schedule]) -> str:
    """The sha256 over the content hashes of a delivery's girders; that of a single one itself."""
    if len(schedules) == 1:
        return schedules[0].content_hash
    return hashlib.sha256("\n".join(s.content_hash for s in schedules).encode()).hexdigest()


def _one(values: Sequence[str], what: str = "", several: str | None = None) -> str:
    """What all say; where they differ, each once, or `several`; from three on their number.

    Args:
        values: of the girders, in order.
        what: plural, for a number of them where the room is small; empty to list them all.
        several: words instead, where they differ.
    """
    found = list(dict.fromkeys(values))
    if len(found) > 1 and several is not None:
        return several
    return f"{len(found)} {what}" if what and len(found) > 2 else ", ".join(found)


def _count(n: int, word: str) -> str:
    return f"{n} {word}" if n == 1 else f"{n} {word}s"


def _warnings(schedules: Sequence[Schedule]) -> Iterator[Block]:
    refused = [_name(s) for s in schedules if s.failed]
    if refused:
        lines = [f"{', '.join(refused)}: see the cover of the sheets for what is wrong."]
        yield b.callout(cautions.not_for_assembly(), lines, heavy=True)
    lines = []
    if any(s.job.info.demo for s in schedules):
        lines.append(cautions.demo())
    assumed = [_name(s) for s in schedules if s.plates_assumed]
    if assumed:
        lines.append(f"{', '.join(assumed)}: {cautions.plates_assumed()[0].lower()}"
                     f"{cautions.plates_assumed()[1:]}")  # fmt: skip
    if lines:
        yield b.callout("Mind", lines)


def _name(schedule: Schedule) -> str:
    return f"{schedule.job.info.number} {schedule.girder.mark}"


def _facts(schedules: Sequence[Schedule], show: Show) -> list[tuple[str, str]]:
    infos = [s.job.info for s in schedules]
    timber = sum(s.masses.plies * s.girder.quantity for s in schedules)
    fasteners = sum(s.masses.fasteners * s.girder.quantity for s in schedules)
    longest = max(s.girder.length for s in schedules)
    heaviest = max(s.masses.plies for s in schedules)
    return [
        ("Job", _breakable(_one([i.number for i in infos]))),
        ("Client", _breakable(_one([i.client for i in infos]))),
        ("Site", _breakable(_one([i.site for i in infos]))),
        ("Bundles", show.number(sum(s.girder.quantity for s in schedules))),
        ("Plies in all", show.number(sum(s.girder.quantity * s.girder.plies for s in schedules))),
        ("Longest girder", show.span(longest)),
        ("Heaviest bundle", show.mass(heaviest)),
        ("Mass of all plies", show.mass(timber)),
        ("Mass of fasteners needed", show.mass(fasteners)),
    ]


def _breakable(text: str) -> str:
    """The text with words too long for the column of facts shortened."""
    return " ".join(shorten(word, _FACT, SMALL, bold=True) for word in text.split())


def _contents(pairs: Sequence[tuple[Schedule, str]], show: Show) -> Block:
    rows: list[list[b.Cell]] = []
    for s, _ in pairs:
        g = s.girder
        size = f"{show.length(g.length)} \u00d7 {show.length(g.height)}"
        rows.append([
            b.strong(shorten(_name(s), 34.0, SMALL, bold=True)),
            shorten(s.job.info.revision, 14.0, SMALL), f"{g.quantity}",
            f"{g.plies} \u00d7 {show.small(g.ply_thickness)}", size,
            show.mass(s.masses.plies), show.mass(s.masses.plies * g.quantity),
        ])  # fmt: skip
    heads = ("Job, girder", "Rev.", "Pieces", "Plies", f"Size ({show.unit('length')})",
             "One bundle", "All bundles")  # fmt: skip
    align = ("left", "left", *["right"] * 5)
    return b.table(heads, rows, ("1fr", *["auto"] * 6), align)


def _bundles(pairs: Sequence[tuple[Schedule, str]], show: Show) -> Block:
    rows = [row for s, pack in pairs for row in _bundle_rows(s, pack, show)]
    heads = ("Bundle", "Label", "Mass", "Sheet pack", "Content hash", "Arrived", "Sheets")
    align = ("left", "left", "right", "left", "left", "center", "center")
    return b.table(
        heads, rows, ("auto", "auto", "auto", "1fr", "auto", "auto", "auto"), align, True
    )


def _bundle_rows(schedule: Schedule, pack: str, show: Show) -> Iterator[list[b.Cell]]:
    info, girder = schedule.job.info, schedule.girder
    count = girder.quantity
    labels = [f"{k} of {count}" for k in range(1, count + 1)]
    if count > MOST_ROWS:
        labels = [f"1 to {count} of {count}"]
    for label in labels:
        yield [
            b.strong(shorten(girder.mark, 26.0, SMALL, bold=True)), label,
            show.mass(schedule.masses.plies),
            _pack_words(pack or f"{info.number} {girder.mark} rev. {info.revision}"),
            schedule.content_hash[:12], b.BOX, b.BOX,
        ]  # fmt: skip


def _pack_words(name: str) -> str:
    """The pack's name whole where it can be broken at its hyphens to fit its column."""
    parts = re.split("[- ]", name)
    fits = all(text_width(f"{part}-", SMALL) <= _PACK for part in parts)
    return name if fits else shorten(name, _PACK, SMALL)


def _allowance(schedules: Sequence[Schedule], show: Show) -> str:
    shares = sorted({s.job.fastening.order_allowance for s in schedules})
    words = " to ".join(show.percent(x) for x in dict.fromkeys((shares[0], shares[-1])))
    return (
        "The sum of the girders' own order lists, each as many times as there are pieces. "
        f"Order: with an allowance of {words}, rounded up for each girder."
    )


def _order(schedules: Sequence[Schedule], show: Show) -> Iterator[Block]:
    """The order list, its notes below it by number."""
    lines = total_order(schedules)
    notes = {
        note: f"({i})" for i, note in enumerate(dict.fromkeys(x.note for x in lines if x.note), 1)
    }
    rows: list[list[b.Cell]] = [
        [
            line.kind, b.strong(line.spec), show.number(line.needed),
            b.strong(show.number(line.ordered)), show.mass(line.mass) if line.mass else _DASH,
            notes.get(line.note, ""),
        ]
        for line in lines
    ]  # fmt: skip
    heads = ("", "Name", "Needed", "Order", "Mass", "Note")
    align = ("left", "left", "right", "right", "right", "left")
    yield b.table(heads, rows, ("auto", "1fr", *["auto"] * 4), align)
    if notes:
        yield b.words(*(f"{number} {note}" for note, number in notes.items()))
