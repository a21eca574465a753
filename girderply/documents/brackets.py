"""The bracket set-out: where each bracket sits, so that it can be fixed before lifting."""

from __future__ import annotations

from collections.abc import Mapping

from girderply.documents import blocks as b
from girderply.documents.blocks import Sheet
from girderply.documents.fastening import unit_words
from girderply.schedule.types import BracketMark, Schedule
from girderply.units.show import Show


def brackets(schedule: Schedule) -> Sheet:
    """Where each bracket sits: chord, face, station, flush line, what to watch."""
    sheet = Sheet("brackets", "Bracket set-out", "A4")
    show = Show(schedule.job.info.units)
    sheet.blocks += [
        b.title("Bracket set-out", f"girder {schedule.girder.mark}"),
        b.words(
            unit_words(show),
            "The station is that of the middle of the bracket. Seat: where the lower edge of the "
            "bracket lies. Fix the brackets before the girder is lifted.",
        ),
    ]
    notes = dict.fromkeys(m.note for m in schedule.brackets if m.note)
    numbers = {note: f"({i})" for i, note in enumerate(notes, 1)}
    sheet.blocks += [
        b.table(
            ("Mark", "What", "Chord", "Face", "Station", "Seat", "Size", "Watch"),
            [_bracket_row(m, show, numbers) for m in schedule.brackets],
            ("auto", "1fr", *["auto"] * 6),
            ("left", "left", "left", "left", "right", "left", "right", "left"),
        ),
        b.words(*(f"{number} {note}" for note, number in numbers.items())),
    ]
    return sheet


def _bracket_row(m: BracketMark, show: Show, numbers: Mapping[str, str]) -> list[b.Cell]:
    plate = f"plate {m.on_plate}" if m.on_plate else ""
    watch = " ".join(w for w in (plate, numbers.get(m.note, "")) if w)
    size = f"{show.length(m.width)} \u00d7 {show.length(m.height)}" if m.width else "\u2013"
    station = b.strong(show.station(m.station))
    return [b.strong(m.load), m.what, m.chord, m.face, station, m.flush_edge, size, watch]
