"""The strip at the foot of every sheet but the first of a document, 12 mm high.

Whose it is, what is done, which face is up, the cautions in short, the flags, and the place of the
sheet's number. On lying paper also the bar that proves the scale.
"""

from __future__ import annotations

from girderply.drawing import style
from girderply.drawing.dimension import inch_bar, scale_bar
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Polygon, Text
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.flags import flags
from girderply.papers.page.heading import Heading
from girderply.papers.page.paper import LEFT, OTHER, PAPER, STRIP, lying
from girderply.schedule import cautions
from girderply.units.show import Show
from girderply.wording import Voice
from girderply.wording.words import face_up_words

NUMBER = 20.0  # width of the sheet's number, mm
_LINE, _LINES = 3.6, 3
_BAR = 107.0
_PAD = 5.0
_HOOK = 6.0  # from the end of the stage's name to the middle of the sign of a hook end


def strip_number_place(sheet: Sheet) -> tuple[float, float, float]:
    """Left, top and width on paper, mm, of the place of the page number."""
    width, height = PAPER[sheet.size]
    return width - OTHER - NUMBER, height - OTHER - STRIP + 1.0, NUMBER


def continuation(voice: Voice, page: Drawing, heading: Heading, sheet: Sheet) -> None:
    """Draw it at the foot of a page."""
    top, bottom = page.height - OTHER - STRIP, page.height - OTHER
    right = page.width - OTHER
    page.add(Line((LEFT, top), (right, top), style.HEAVY, tag="strip"))
    page.add(Line((right - NUMBER, top), (right - NUMBER, bottom), style.MEDIUM, tag="strip"))
    left = LEFT
    if lying(sheet.size):
        _bar(voice, page, heading, left, bottom)
        left += _BAR
    columns: list[tuple[list[str], bool]] = [
        (_whose(voice, heading), True),
        (_what(voice, heading, sheet), True),
        ([voice.told(cautions.short())], False),
        (flags(voice, heading), True),
    ]
    widths = _widths([_need(parts, bold) for parts, bold in columns], right - NUMBER - left)
    for (parts, bold), width in zip(columns, widths, strict=True):
        _column(page, (left, top, width), parts, bold)
        left += width
    if sheet.face:
        beside = left - sum(widths[1:]) + text_width(columns[1][0][0], style.SMALL, True)
        _hook(page, (beside + _HOOK, top + STRIP / 2 - _LINE / 2), sheet)


def _need(parts: list[str], bold: bool) -> tuple[float, float]:
    """Width of the longest word, and that at which the parts take three lines at most, mm."""
    words = [w for part in parts for w in part.split()]
    longest = max((text_width(w, style.SMALL, bold) for w in words), default=0.0)
    whole = sum(text_width(part, style.SMALL, bold) for part in parts)
    own = max((text_width(part, style.SMALL, bold) for part in parts), default=0.0)
    lines = max(longest, own if len(parts) > 1 else 0.0, whole / _LINES * 1.25)
    return longest + _PAD, lines + _PAD


def _widths(needs: list[tuple[float, float]], free: float) -> list[float]:
    """Widths of the columns: what each needs, and what is left shared alike.

    Where there is less, columns give alike of what is more than their longest word.
    """
    words, lines = (sum(column) for column in zip(*needs, strict=True))
    if free >= lines:
        return [need + (free - lines) / len(needs) for _, need in needs]
    if free <= words or lines <= words:
        return [word * free / words for word, _ in needs]
    part = (free - words) / (lines - words)
    return [word + part * (need - word) for word, need in needs]


def _bar(voice: Voice, page: Drawing, heading: Heading, left: float, bottom: float) -> None:
    imperial = Show(heading.info.units).imperial
    bar = inch_bar if imperial else scale_bar
    words = voice.phrase("sheet.bar_print_inch") if imperial else voice.phrase("sheet.bar_print")
    page.add(*bar((left + 3.0, bottom - 4.2), words))


def _whose(voice: Voice, heading: Heading) -> list[str]:
    info = heading.info
    return [
        f"{info.number} \u00b7 {heading.mark}",
        voice.phrase(
            "sheet.strip_revision", revision=info.revision, hash=heading.content_hash[:12]
        ),
    ]


def _what(voice: Voice, heading: Heading, sheet: Sheet) -> list[str]:
    if not sheet.face:
        return [sheet.title]
    face_up = voice.told(face_up_words(sheet.face, heading.assembly.upright))
    return [sheet.title, face_up.upper()]


def _hook(page: Drawing, at: tuple[float, float], sheet: Sheet) -> None:
    """The sign of a hook end, as on the members: at the left on the front, at the right behind."""
    x, y = at
    turn = 1.0 if sheet.face == "front" else -1.0
    page.add(
        Line((x - 2.0 * turn, y - 1.7), (x - 2.0 * turn, y + 1.7), style.HEAVY, tag="hook"),
        Polygon(((x + 2.4 * turn, y), (x - 1.2 * turn, y + 1.3), (x - 1.2 * turn, y - 1.3)),
                None, 0.0, tag="hook"),
    )  # fmt: skip


def _column(
    page: Drawing, place: tuple[float, float, float], parts: list[str], bold: bool = False
) -> None:
    """Lines of one column, centred in the height of the strip."""
    x, top, width = place
    lines = [line for part in parts for line in wrap(part, width - 3.0, style.SMALL, bold)]
    pitch = min(_LINE, (STRIP - 1.0) / max(len(lines), 1))
    y = top + STRIP / 2 - pitch * (len(lines) - 1) / 2
    for line in lines:
        page.add(Text((x + 2.0, y), line, style.SMALL, "start", bold=bold, tag="strip"))
        y += pitch
