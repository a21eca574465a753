"""The handling sheet: each lift and turn with its mass and who does it, balance, slings."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.furniture import room
from girderply.documents.handling_words import (
    long_words,
    move_words,
    people_words,
    team_words,
)
from girderply.drawing.lifting import lifting_elevation
from girderply.drawing.scales import scale_words
from girderply.schedule.handling import Balance, balance
from girderply.schedule.handling import handling as moves_of
from girderply.schedule.types import Schedule
from girderply.units.show import Show


def handling(schedule: Schedule) -> Sheet:
    """Lifts and turns of all stages, centre of gravity, suggested slinging points."""
    show, found = Show(schedule.job.info.units), balance(schedule.girder)
    drawing = lifting_elevation(schedule, room("A4").width, 90.0)
    sheet = Sheet("handling", "Lifting and turning", "A4", scale=scale_words(drawing.scale))
    sheet.blocks += [
        b.title("Lifting and turning", f"girder {schedule.girder.mark}"),
        _moves(schedule, show),
        b.words(
            "Masses: timber at its mean density and the fasteners. Nail plates, brackets and wet "
            "timber add to them.",
            team_words(show),
        ),
        b.keep(b.heading("Balance and slings"), b.picture(drawing), *_balance(found, show)),
    ]
    if found.long:
        head, *rest = long_words(show)
        sheet.blocks.append(b.keep(b.callout("Long girder", [head], heavy=True), b.steps(rest)))
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
    heads = ("Stage", "Do", "Mass moved", "By", "Then on the trestles")
    align = ("left", "left", "right", "left", "right")
    return b.table(heads, rows, ("auto", "1fr", "auto", "auto", "auto"), align, tall=True)


def _balance(found: Balance, show: Show) -> Iterator[Block]:
    side = f"{show.span(found.x)} from the left end, {show.span(found.y)} above the underside"
    yield b.facts([("Centre of gravity", side), *_slings(found, show)])
    if found.slings is None:
        words = "No pair of top-chord joints lies on both sides of the balance and above it: "
        yield b.callout("Slings", [words + "none is suggested."])
    yield b.callout(
        "Only a suggestion",
        [
            "Left and right as seen on the front face. Slings go round the top chord at joints, "
            "never at the middle of a panel or round a web. The lifting plan, the gear and the "
            "angle of the slings are the competent person's. Lift only when the girder is "
            "finished and inspected."
        ],
    )


def _slings(found: Balance, show: Show) -> Iterator[tuple[str, str]]:
    for s in found.slings or ():
        yield (
            f"Sling at {s.joint}",
            f"{show.span(s.x)} from the left end; {s.chord} station {show.span(s.station)}; "
            f"carries {show.percent(s.share)}",
        )
