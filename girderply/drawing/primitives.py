"""What a drawing is made of: few plain shapes, in model mm before and paper mm after placing.

Points move with the placement. Line widths, lettering, dots and crosses are sizes on paper and
do not. Text is never mirrored and never upside down.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from girderply.drawing.style import DIMENSION, MEDIUM, SMALL, THIN, Pen

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Level = Literal["base", "middle", "top"]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line from `a` to `b`."""

    a: Point
    b: Point
    pen: Pen = THIN
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Polyline:
    """An open chain of straight lines."""

    points: tuple[Point, ...]
    pen: Pen = THIN
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline; `fill` is a grey (0 black, 1 white) or None for none."""

    points: tuple[Point, ...]
    pen: Pen | None = MEDIUM
    fill: float | None = None
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle of true size: radius in the units of the drawing."""

    centre: Point
    radius: float
    pen: Pen = THIN
    fill: float | None = None
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Dot:
    """A round mark of a size on paper: `diameter` in paper mm over its line."""

    centre: Point
    diameter: float
    pen: Pen = THIN
    filled: bool = True
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Cross:
    """An upright cross of a size on paper: `size` is the length of its arms, paper mm."""

    centre: Point
    size: float
    pen: Pen = MEDIUM
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering.

    Attributes:
        at: where it is anchored. text: literally this. height: of the capitals, paper mm.
        angle: of reading, degrees counter-clockwise. shift: from `at`, paper mm, right and down.
        mask: white behind it, so that lines do not cross it.
        hollow: outlines of the letters only, so that what is under them stays readable.
    """

    at: Point
    text: str
    height: float = SMALL
    anchor: Anchor = "middle"
    level: Level = "middle"
    angle: float = 0.0
    bold: bool = False
    grey: float = 0.0
    shift: Point = (0.0, 0.0)
    mask: bool = False
    hollow: bool = False
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension line from `a` to `b`, `offset` paper mm to its left (negative: right)."""

    a: Point
    b: Point
    text: str
    offset: float = 8.0
    height: float = SMALL
    pen: Pen = DIMENSION
    tag: str = ""


Shape = Line | Polyline | Polygon | Circle | Dot | Cross | Text | Dimension


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """The same shape `dx`, `dy` further on."""

    def move(p: Point) -> Point:
        return (p[0] + dx, p[1] + dy)

    if isinstance(shape, Text):
        return replace(shape, at=move(shape.at))
    if isinstance(shape, Polyline | Polygon):
        return replace(shape, points=tuple(move(p) for p in shape.points))
    if isinstance(shape, Circle | Dot | Cross):
        return replace(shape, centre=move(shape.centre))
    return replace(shape, a=move(shape.a), b=move(shape.b))
