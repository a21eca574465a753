"""A gauge card: one repeat of a nail pattern at 1:1, holes to prick through, edge of the member.

The lower line of a card is laid flush with the edge that row 1 is nearest to. What does not fit
is cut off at a break line that says what comes after it; nothing is shrunk.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style
from girderply.drawing.lettering import wrap
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Circle, Cross, Dimension, Line, Point, Polyline, Text
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words

_SIDE, _RIM = 8.0, 6.0  # beside the first and last hole, and over the last row, mm
_FOOT = 10.5  # for the centres under the card, mm
_ARM, _HOLE = 9.0, 4.0  # cross and circle of a hole, mm


@dataclass(frozen=True, slots=True)
class Card:
    """One distinct pattern.

    Attributes:
        name: of the pattern. members: that have it. depth: of the member, mm; size: that in words.
        rows: distance of each line of nails from the edge at row 1, mm, rising.
        labels: what each of those lines is called.
        centres: from nail to nail along the member, mm. alternate: lines take turns.
        slant: straight from nail to nail of a zigzag, mm; 0 where it is none. kind: nail or screw.
    """

    name: str
    members: tuple[str, ...]
    depth: float
    rows: tuple[float, ...]
    labels: tuple[str, ...]
    centres: float
    alternate: bool
    slant: float
    kind: str = FastenerKind.NAIL
    size: str = ""

    @property
    def repeat(self) -> float:
        """Length of one repeat along the member, mm."""
        return self.centres * (2 if self.alternate else 1)

    def holes(self, line: int) -> tuple[float, float]:
        """Stations of a line's nails in a repeat that starts at 0: the first and the next."""
        first = self.centres if self.alternate and line % 2 else 0.0
        return first, first + self.repeat


def gauge_card(voice: Voice, card: Card, show: Printed, room: tuple[float, float]) -> Drawing:
    """One card at 1:1, at most `room` mm wide and high."""
    width, most = room
    head = _head(voice, card, show, width, card.rows)
    tall = _tall(card, most - _over(head) - _FOOT - 1.0)
    rows = tuple(r for r in card.rows if r + _RIM <= tall + 1e-9)
    if len(rows) < len(card.rows):
        head = _head(voice, card, show, width, rows)
    edge = _over(head) + tall
    drawing = Drawing(card.name, width, edge + _FOOT, title=card.name, scale=1)
    drawing.add(Text((0.0, 2.2), card.name, style.NORMAL, "start", bold=True, tag="card"))
    for k, line in enumerate(head):
        drawing.add(Text((0.0, 6.8 + 4.3 * k), line, style.SMALL, "start", tag="card"))
    fits = _shown(card, width, len(rows))
    _timber(voice, drawing, card, (edge, tall), card.repeat in fits)
    for i in range(len(rows)):
        _row(drawing, card, show, i, edge)
    _centres(voice, drawing, card, show, fits)
    return drawing


def _over(head: Sequence[str]) -> float:
    """Height of name and words above a card, mm."""
    return 5.0 + 4.3 * len(head)


def _tall(card: Card, most: float) -> float:
    """Height of the card: to the other edge, or past the last row that fits; mm."""
    if card.depth <= most:
        return card.depth
    inside = [r + _RIM for r in card.rows if r + _RIM <= most]
    return max(inside, default=most)


def _shown(card: Card, width: float, lines: int) -> list[float]:
    """Stations of holes that fit on the card, of its first `lines` lines of nails."""
    found = sorted({s for i in range(lines) for s in card.holes(i)})
    return [s for s in found if s <= width - 2 * _SIDE + 1e-9]


def _head(
    voice: Voice, card: Card, show: Printed, width: float, rows: Sequence[float]
) -> list[str]:
    """What the card is for, how it is used and what was cut off it."""
    own = card.size or show.small(card.depth)
    said = [
        voice.phrase("gauge.use", members=", ".join(card.members), depth=own),
        *_cut_rows(voice, card, show, rows),
        *_cut_words(voice, card, show, width, len(rows)),
    ]
    return [line for words in said for line in wrap(words, width - 2.0)]


def _cut_rows(voice: Voice, card: Card, show: Printed, rows: Sequence[float]) -> Iterator[str]:
    for label, row in list(zip(card.labels, card.rows, strict=True))[len(rows) :]:
        here, there = show.small(row), show.small(card.depth - row)
        yield voice.phrase("gauge.cut_row", row=label, here=here, there=there)


def _cut_words(voice: Voice, card: Card, show: Printed, width: float, lines: int) -> Iterator[str]:
    fits = _shown(card, width, lines)
    if card.repeat not in fits:
        if len(fits) > 1:
            yield voice.phrase("gauge.flip", one=_one(voice, card))
        else:
            yield voice.phrase(
                "gauge.measure", one=_one(voice, card), centres=show.small(card.centres)
            )


def _one(voice: Voice, card: Card) -> str:
    return voice.told(kind_words(card.kind, 1))


def _timber(
    voice: Voice, drawing: Drawing, card: Card, place: tuple[float, float], whole: bool
) -> None:
    """Edges of the member: flush below; above the other edge or a break line.

    `place` is the y of the lower edge and the height of the card, mm.
    """
    (edge, tall), width = place, drawing.width
    top, right = edge - tall, width - 0.4
    drawing.add(Line((0.0, edge), (width, edge), style.HEAVY, tag="edge"))
    if tall == card.depth:
        drawing.add(Line((0.0, top), (width, top), style.HEAVY, tag="edge-far"))
    else:
        drawing.add(_break((0.0, top), (width, top)))
    drawing.add(Line((0.2, top), (0.2, edge), style.MEDIUM, tag="side"))
    if whole:
        drawing.add(Line((right, top), (right, edge), style.MEDIUM, tag="side"))
    else:
        drawing.add(_break((right - 1.2, top), (right - 1.2, edge)))
    words = voice.phrase("gauge.lay")
    at = (width - 4.0, edge - 3.0)  # beside the dimensions of the rows
    drawing.add(Text(at, words, style.SMALL, "end", mask=True, tag="card"))


def _break(a: Point, b: Point) -> Polyline:
    """A break line with a jag in its middle."""
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    level = abs(a[1] - b[1]) < 1e-9
    jag = ((-2.0, 0.0), (-0.8, -1.2), (0.8, 1.2), (2.0, 0.0))
    points = tuple((x + u, y + v) if level else (x + v, y + u) for u, v in jag)
    return Polyline((a, *points, b), style.BREAK, tag="break")


def _row(drawing: Drawing, card: Card, show: Printed, line: int, edge: float) -> None:
    """One line of nails: its axis, its holes, its distance from the edge."""
    offset = card.rows[line]
    y, width = edge - offset, drawing.width
    drawing.add(Line((0.0, y), (width, y), style.CENTRE, tag="row"))
    for station in card.holes(line):
        if station <= width - 2 * _SIDE + 1e-9:
            at = (_SIDE + station, y)
            drawing.add(
                Circle(at, _HOLE / 2, style.MEDIUM, tag="hole"),
                Cross(at, _ARM, style.MEDIUM, tag=f"hole:{line + 1}"),
            )
    x = width * (0.14 + 0.12 * (line % 3))
    drawing.add(Dimension((x, edge), (x, y), show.small(offset), 0.0, style.NORMAL, tag="offset"))
    spot = width * (0.62 if line % 2 == 0 else 0.8)
    drawing.add(Text((spot, y - 3.0), card.labels[line], style.SMALL, mask=True, tag="row-name"))


def _centres(
    voice: Voice, drawing: Drawing, card: Card, show: Printed, fits: Sequence[float]
) -> None:
    """Centres below the card, where two holes are on it."""
    y, words = drawing.height - _FOOT, show.small(card.centres)
    for a, b in pairwise(fits):
        left, right, said = (_SIDE + a, y), (_SIDE + b, y), show.small(b - a)
        drawing.add(Dimension(left, right, said, -7.0, style.NORMAL, tag="centres"))
    if len(fits) == 1:
        at, said = (
            (_SIDE + fits[0] + 4.0, y + 6.5),
            voice.phrase("gauge.next", one=_one(voice, card), centres=words),
        )
        drawing.add(Text(at, said, style.SMALL, "start", tag="centres"))
