"""Sizes of paper, and what is free on them for the content of a sheet.

Borders of the frame after ISO 5457 (20 mm at the filing edge, 10 mm elsewhere); value from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

Paper = Literal["A4", "A3", "letter", "tabloid"]
PAPERS: Final[tuple[Paper, ...]] = get_args(Paper)
# Width and height, mm: A series upright or lying (ISO 216), inch sizes (ANSI/ASME Y14.1 A and B).
PAPER: Final[dict[Paper, tuple[float, float]]] = {
    "A4": (210.0, 297.0),
    "A3": (420.0, 297.0),
    "letter": (215.9, 279.4),
    "tabloid": (431.8, 279.4),
}
LEFT, OTHER = 20.0, 10.0
STRIP = 12.0  # height of the strip at the foot of a continuation sheet, mm
PAD, TOP_PAD = 6.5, 5.0
_OVER_FOOT = 2.0


@dataclass(frozen=True, slots=True)
class Room:
    """The part of a page that is free for a sheet's content, mm from the paper's edges."""

    left: float
    top: float
    right: float
    bottom: float
    width: float
    height: float


def lying(paper: Paper) -> bool:
    """Whether it is wider than high: the large sizes, for drawings."""
    width, height = PAPER[paper]
    return width > height


def room(paper: Paper, foot: float = STRIP) -> Room:
    """The free part of a page whose foot (strip or title block) is so high, mm."""
    width, height = PAPER[paper]
    bottom = OTHER + foot + _OVER_FOOT
    return Room(
        LEFT + PAD,
        OTHER + TOP_PAD,
        OTHER + PAD,
        bottom,
        width - LEFT - OTHER - 2 * PAD,
        height - OTHER - TOP_PAD - bottom,
    )
