"""The handling sheet: each lift and turn with its mass and who does it, balance, slings."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.drawing.lifting import lifting_elevation
from girderply.drawing.scales import scale_words
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.furniture import room
from girderply.papers.page.sheet_words import heads
from girderply.papers.yard.lift_words import (
    long_words,
    move_words,
    people_words,
    team_words,
)
from girderply.schedule.handling import Balance, balance
from girderply.schedule.handling import handling as moves_of
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import phrase


def handling(schedule: Schedule) -> Sheet:
    """Lifts and turns of all stages, centre of gravity, suggested slinging points."""
    show, found = Show(schedule.job.info.units), balance(schedule.girder)
    drawing = lifting_elevation(schedule, room("A4").width, 90.0)
    name = phrase("handling.title")
    sheet = Sheet("handling", name, "A4", scale=scale_words(drawing.scale))
    sheet.blocks += [
        b.title(name, phrase("sheet.girder", mark=schedule.girder.mark)),
        _moves(schedule, show),
        b.words(phrase("handling.masses"), team_words(show)),
        b.keep(b.heading(phrase("handling.balance")), b.picture(drawing), *_balance(found, show)),
    ]
    if found.long:
        head, *rest = long_words(show)
        callout = b.callout(phrase("handling.long"), [head], heavy=True)
        sheet.blocks.append(b.keep(callout, b.steps(rest)))
    return sheet


def _moves(schedule: Schedule, show: Show) -> Block:
    rows: list[list[b.Cell]] = []
    for part in moves_of(schedule):
        for i, move in enumerate(part.moves):
            head = f"{part.stage}" if i == 0 else ""
            after = show.mass(part.mass) if move is part.moves[-1] else ""
            rows.append(
                [
                    b.strong(head),
                    move_words(move),
                    b.strong(show.mass(move.mass)),
                    b.strong(people_words(move.people)),
                    "" if move.kind == "lift off" else after,
                ]
            )
    names = heads("stage", "do", "mass_moved", "by", "then")
    align = ("left", "left", "right", "left", "right")
    return b.table(names, rows, ("auto", "1fr", "auto", "auto", "auto"), align, tall=True)


def _balance(found: Balance, show: Show) -> Iterator[Block]:
    side = phrase("handling.centre_at", x=show.span(found.x), y=show.span(found.y))
    yield b.facts([(phrase("handling.centre"), side), *_slings(found, show)])
    if found.slings is None:
        yield b.callout(phrase("handling.slings"), [phrase("handling.no_slings")])
    yield b.callout(phrase("handling.only"), [phrase("handling.only_words")])


def _slings(found: Balance, show: Show) -> Iterator[tuple[str, str]]:
    for s in found.slings or ():
        place = phrase(
            "handling.sling_place",
            x=show.span(s.x),
            chord=s.chord,
            station=show.span(s.station),
            share=show.percent(s.share),
        )
        yield phrase("handling.sling_at", joint=s.joint), place
