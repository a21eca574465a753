"""Words that stand out on every page: NOT FOR ASSEMBLY, ASSUMED VALUES, plates assumed, demo."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.drawing import style
from girderply.drawing.lettering import text_width
from girderply.drawing.primitives import Point, Polygon, Shape, Text
from girderply.papers.page.heading import Heading
from girderply.schedule import cautions
from girderply.wording import Voice

HIGH, _DOWN = 5.4, 6.4


def flags(voice: Voice, heading: Heading) -> list[str]:
    """Words that stand out on every page; plates are among the values that are assumed."""
    found = [
        (heading.failed, voice.told(cautions.not_for_assembly())),
        (bool(heading.unconfirmed), voice.told(cautions.assumed_values())),
        (heading.plates_assumed and not heading.unconfirmed, voice.phrase("sheet.flag_plates")),
        (heading.info.demo, voice.phrase("sheet.flag_demo")),
    ]
    return [word for holds, word in found if holds]


@dataclass(frozen=True, slots=True)
class FlagBox:
    """One flag: where it lies in a row of flags, mm right and down, its width and its words."""

    x: float
    y: float
    width: float
    words: str
    black: bool

    def shapes(self, at: Point) -> list[Shape]:
        """A box with the words in it, `at` being the top left of the row."""
        x, y = at[0] + self.x, at[1] + self.y
        box = ((x, y), (x + self.width, y), (x + self.width, y + HIGH), (x, y + HIGH))
        fill, ink = (0.0, 1.0) if self.black else (1.0, 0.0)
        middle = (x + self.width / 2, y + HIGH / 2)
        return [
            Polygon(box, style.OUTLINE, fill=fill, tag="flag"),
            Text(middle, self.words, style.SMALL, bold=True, grey=ink, tag="flag"),
        ]


def flag_boxes(voice: Voice, heading: Heading, width: float) -> tuple[list[FlagBox], int]:
    """Flags side by side in as many rows as it takes, and how many rows those are."""
    boxes: list[FlagBox] = []
    x, row = 0.0, 0
    for word in flags(voice, heading):
        wide = text_width(word, style.SMALL, True) + 4.0
        if x and x + wide > width:
            x, row = 0.0, row + 1
        boxes.append(
            FlagBox(x, row * _DOWN, wide, word, word == voice.told(cautions.not_for_assembly()))
        )
        x += wide + 2.0
    return boxes, row + 1 if boxes else 0
