"""Stick lists, on demand: a member's stations at 1:1, tiled for A4 or whole for a plotter."""

from __future__ import annotations

from girderply.drawing import style
from girderply.drawing.dimension import scale_bar
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Text
from girderply.drawing.scales import scale_words
from girderply.drawing.stick import LAP, Mark, cuts, marks, strip
from girderply.model.girder import Member
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.flags import flags
from girderply.papers.page.heading import heading_of
from girderply.papers.page.paper import room
from girderply.papers.page.sheet_words import hook_words
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Voice

_LEAST_WIDTH = 280.0


def stick_list(voice: Voice, schedule: Schedule, member: Member) -> Sheet:
    """One member's stick: strips for A4 as pages, the whole of it as a plot."""
    sheet = Sheet(f"stick-{member.id}", voice.phrase("stick.title", member=member.id), "A4")
    sheet.scale = scale_words(1)
    found = marks(voice, schedule, member)
    pieces = list(cuts(member.length, _piece(schedule), found))
    sheet.blocks += [
        b.title(
            voice.phrase("stick.name", member=member.id),
            voice.phrase("stick.strips", count=len(pieces), hook=_hook(voice, schedule, member)),
        ),
        b.words(voice.phrase("stick.how")),
    ]
    for n, span in enumerate(pieces, 1):
        drawing = strip(voice, schedule, member, found, span)
        words = voice.phrase("stick.strip", member=member.id, number=n, all=len(pieces))
        _name(drawing, words)
        sheet.blocks.append(b.picture(drawing))
    sheet.plots = [_plot(voice, schedule, member, found)]
    return sheet


def _piece(schedule: Schedule) -> float:
    """A round length that fits across A4 with both laps: 150 mm or 6 in."""
    imperial = Show(schedule.job.info.units).imperial
    return min(6 * 25.4 if imperial else 150.0, room("A4").width - 2 * LAP)


def _hook(voice: Voice, schedule: Schedule, member: Member) -> str:
    return hook_words(voice, schedule, member.id)


def _name(drawing: Drawing, words: str) -> None:
    """In the middle under the edge, where the figures of both joins leave room."""
    boxes = drawing.obstacles()
    y = drawing.height - 2.6
    spots = [Text((drawing.width * u, y), words, style.SMALL, bold=True, tag="strip")
             for u in (0.5, 0.4, 0.6, 0.3, 0.7)]  # fmt: skip
    if not drawing.label(spots, boxes):
        drawing.height += 4.4
        drawing.add(Text((0.0, y + 4.2), words, style.SMALL, "start", bold=True, tag="strip"))


def _plot(voice: Voice, schedule: Schedule, member: Member, found: list[Mark]) -> Drawing:
    """The stick with what it belongs to, the cautions and the bar below it."""
    stick = strip(voice, schedule, member, found, (0.0, member.length))
    width = max(stick.width, _LEAST_WIDTH)
    name = f"{schedule.girder.mark}-stick-{member.id}"
    drawing = Drawing(
        name, width, 0.0, title=voice.phrase("stick.title", member=member.id), scale=1
    )
    drawing.add(*stick.moved(0.0, 0.0))
    y = stick.height + 3.0
    for k, line in enumerate(_belongs(voice, schedule, member)):
        drawing.add(Text((LAP, y), line, style.SMALL, "start", bold=k == 0, tag="plot"))
        y += 4.4
    drawing.add(*scale_bar((LAP, y + 4.0), voice.phrase("sheet.bar_plot")))
    x = LAP + 108.0
    for word in flags(voice, heading_of(schedule)):
        drawing.add(Text((x, y + 4.4), word, style.NORMAL, "start", bold=True, tag="flag"))
        x += text_width(word, style.NORMAL, True) + 6.0
    drawing.height = y + 8.0
    return drawing


def _belongs(voice: Voice, schedule: Schedule, member: Member) -> list[str]:
    info = schedule.job.info
    head = voice.phrase(
        "stick.belongs",
        job=info.number,
        mark=schedule.girder.mark,
        revision=info.revision,
        member=member.id,
        hook=_hook(voice, schedule, member),
        hash=schedule.content_hash[:12],
    )
    said = " ".join(
        (voice.phrase("stick.signs"), *map(voice.told, cautions.scope(schedule.job.assembly)))
    )
    return [head, *wrap(said, _LEAST_WIDTH - 2 * LAP)]
