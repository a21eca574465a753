"""The gauge cards of a girder: one at 1:1 for each distinct nail pattern."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from girderply.drawing.gauge_card import Card, gauge_card
from girderply.drawing.scales import scale_words
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.paper import room
from girderply.papers.page.timber_words import depth_words
from girderply.schedule.types import PatternNote, Schedule
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words


def cards(voice: Voice, schedule: Schedule) -> list[Card]:
    """Distinct patterns (depth, rows, gauge, centres) in the girder's order."""
    found: dict[object, list[PatternNote]] = {}
    depths = {m.id: m.depth for m in schedule.girder.members}
    for note in schedule.patterns:
        depth = depths[note.member]
        sizes = (depth, note.centres, note.pitch, note.slant, *lines_of(note, depth))
        key = (note.rows, *(round(v, 3) for v in sizes))
        found.setdefault(key, []).append(note)
    show = Printed(schedule.job.info.units, voice)
    size = partial(depth_words, voice, schedule.girder.ply_thickness, show=show)
    return [
        _card(voice, n, group, depths, schedule.driven, size)
        for n, group in enumerate(found.values(), 1)
    ]


def _card(
    voice: Voice,
    number: int,
    group: list[PatternNote],
    depths: dict[str, float],
    kind: str,
    size: Callable[[float], str],
) -> Card:
    note = group[0]
    depth = depths[note.member]
    lines = lines_of(note, depth)
    single = note.rows == 1
    labels: tuple[str, ...] = tuple(
        voice.phrase("sheet.one_row") if single else voice.phrase("sheet.row", number=i)
        for i in range(1, len(lines) + 1)
    )
    if single and len(lines) > 1:
        turns = voice.phrase("gauge.in_turn", many=kind_words(kind, 2))
        labels = (turns, voice.phrase("gauge.and_here"))
    return Card(
        name=voice.phrase("gauge.name", number=number),
        members=tuple(p.member for p in group),
        depth=depth,
        rows=lines,
        labels=labels,
        centres=note.centres,
        alternate=len(lines) > 1 and (single or note.pitch > note.centres + 1e-6),
        slant=note.slant,
        kind=kind,
        size=size(depth),
    )


def lines_of(note: PatternNote, depth: float) -> tuple[float, ...]:
    """Of the lines of nails from the edge that row 1 is nearest to, mm, rising.

    As laid out, else by the gauge.
    """
    lines = note.row_offsets or [note.gauge * (k - (note.rows - 1) / 2) for k in range(note.rows)]
    side = 1.0 if lines[0] <= lines[-1] else -1.0
    return tuple(depth / 2 + side * v for v in lines)


def gauge_cards(voice: Voice, schedule: Schedule) -> Sheet:
    """Every distinct pattern at 1:1, with what was cut off said beside it."""
    free, show = room("A4"), Printed(schedule.job.info.units, voice)
    sheet = Sheet("gauge-card", voice.phrase("gauge.title"), "A4", scale=scale_words(1))
    sheet.blocks += [
        b.picture(gauge_card(voice, card, show, (free.width, free.height - 2.0)))
        for card in cards(voice, schedule)
    ]
    return sheet
