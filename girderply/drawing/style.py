"""Line widths, dash patterns and lettering heights of the sheets, all in mm on paper.

Widths are the series of ISO 128-2 (0.18 to 0.7 mm), lettering heights the series of ISO 3098-1;
both values from memory. Everything is black or grey: a shade never carries a meaning alone.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn.

    Attributes:
        name: what it is for; also the class in the SVG.
        width: line width on paper, mm. dash: lengths of dashes and gaps, mm; empty: continuous.
        grey: 0 is black, 1 is white.
    """

    name: str
    width: float
    dash: tuple[float, ...] = ()
    grey: float = 0.0

    @property
    def colour(self) -> str:
        """The shade as an SVG colour."""
        return shade(self.grey)


def shade(grey: float) -> str:
    """A grey as an SVG colour; 0 is black, 1 is white."""
    level = round(255 * grey)
    return f"#{level:02x}{level:02x}{level:02x}"


LINE_WIDTHS = (0.18, 0.25, 0.35, 0.5, 0.7)

OUTLINE = Pen("outline", 0.5)
OUTLINE_LIGHT = Pen("outline-light", 0.25, grey=0.35)
MEDIUM = Pen("medium", 0.35)
THIN = Pen("thin", 0.18)
HATCH = Pen("hatch", 0.18, grey=0.45)
PLATE = Pen("plate", 0.25, grey=0.25)
PLATE_ASSUMED = Pen("plate-assumed", 0.25, (1.6, 0.9), grey=0.25)
CENTRE = Pen("centreline", 0.18, (5.0, 1.0, 0.7, 1.0), grey=0.35)
HIDDEN = Pen("hidden", 0.25, (2.0, 1.0))
BRACKET = Pen("bracket", 0.35)
BRACKET_BACK = Pen("bracket-back", 0.35, (1.2, 0.8))
BOLT = Pen("bolt", 0.7)
BOLT_LIGHT = Pen("bolt-light", 0.25, grey=0.45)
WASHER = Pen("washer", 0.35)
WASHER_LIGHT = Pen("washer-light", 0.18, grey=0.45)
NAIL = Pen("nail", 0.35)
NAIL_LIGHT = Pen("nail-light", 0.18, grey=0.45)
DIMENSION = Pen("dimension", 0.18)
BREAK = Pen("break", 0.25)
HEAVY = Pen("heavy", 0.7)

PENS = (
    OUTLINE, OUTLINE_LIGHT, MEDIUM, THIN, HATCH, PLATE, PLATE_ASSUMED, CENTRE, HIDDEN, BRACKET,
    BRACKET_BACK, BOLT, BOLT_LIGHT, WASHER, WASHER_LIGHT, NAIL, NAIL_LIGHT, DIMENSION, BREAK, HEAVY,
)  # fmt: skip

SMALL, NORMAL, LARGE, HUGE = 2.5, 3.5, 5.0, 7.0
LETTERING = (SMALL, NORMAL, LARGE)
LETTERING_LEAST = 2.5

NAIL_DOT = 1.5
NAIL_DOT_LEAST = 1.2
