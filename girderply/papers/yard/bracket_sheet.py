"""The bracket set-out: where each bracket sits, so that it can be fixed before lifting."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from girderply.drawing.bracket_strips import bracket_strips
from girderply.drawing.page import Drawing
from girderply.drawing.scales import scale_words
from girderply.drawing.strip_plan import StripPlan
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.furniture import room
from girderply.papers.page.sheet_words import heads
from girderply.papers.supplier.fastening_table import unit_words
from girderply.schedule.types import BracketMark, Schedule
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import face_words

SCALE = 20


def brackets(schedule: Schedule) -> Sheet:
    """Where each bracket sits: chord, face, station, flush line, what to watch."""
    name = phrase("brackets.title")
    sheet = Sheet("brackets", name, "A4", scale=scale_words(SCALE))
    show = Show(schedule.job.info.units)
    sheet.blocks += [
        b.title(name, phrase("sheet.girder", mark=schedule.girder.mark)),
        b.words(unit_words(show), phrase("brackets.how")),
    ]
    notes = dict.fromkeys(m.note for m in schedule.brackets if m.note)
    numbers = {note: f"({i})" for i, note in enumerate(notes, 1)}
    sheet.blocks += [
        b.table(
            heads("mark", "what", "chord", "face", "station", "seat", "size", "watch"),
            [_bracket_row(m, show, numbers) for m in schedule.brackets],
            ("auto", "1fr", *["auto"] * 6),
            ("left", "left", "left", "left", "right", "left", "right", "left"),
        ),
        b.words(*(f"{number} {note}" for note, number in numbers.items())),
        *(b.picture(d) for d in _strips(schedule)),
    ]
    return sheet


def _strips(schedule: Schedule) -> Iterator[Drawing]:
    """Every chord with brackets, face by face, as it is seen from that face."""
    used = dict.fromkeys((m.chord, m.face) for m in schedule.brackets)
    for chord, face in used:
        member = schedule.girder.member(chord)
        plan = StripPlan(SCALE, face, room("A4").width, (), named=False)
        title = phrase(
            "brackets.face" if face == "front" else "brackets.face_back",
            chord=chord,
            face=face_words(face),
        )
        yield from bracket_strips(schedule, member, plan, title)


def _bracket_row(m: BracketMark, show: Show, numbers: Mapping[str, str]) -> list[b.Cell]:
    plate = phrase("brackets.plate", joint=m.on_plate) if m.on_plate else ""
    watch = " ".join(w for w in (plate, numbers.get(m.note, "")) if w)
    size = f"{show.length(m.width)} \u00d7 {show.length(m.height)}" if m.width else "\u2013"
    station = b.strong(show.station(m.station))
    face = face_words(m.face)
    return [b.strong(m.load), m.what, m.chord, face, station, m.flush_edge, size, watch]
