"""From model mm to paper mm: the one placement of a drawing.

Paper has its origin at the top left, x to the right and y down, as SVG has.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import singledispatchmethod

from girderply.drawing.dimension import dimension_lines
from girderply.drawing.primitives import (
    Circle,
    Cross,
    Dimension,
    Dot,
    Line,
    Point,
    Polygon,
    Polyline,
    Shape,
    Text,
)
from girderply.errors import RangeError


def upright(angle: float) -> float:
    """The same line of reading, turned so that text is not upside down, degrees in (-90, 90]."""
    turned = (angle + 90.0) % 180.0 - 90.0
    return 90.0 if math.isclose(turned, -90.0, abs_tol=1e-9) else turned


@dataclass(frozen=True, slots=True)
class Placement:
    """Scale, rotation, mirror and translation, in that spirit and no other.

    Attributes:
        origin: where the model's (0, 0) comes to lie, paper mm.
        scale: paper mm for one model mm, such as 1/50.
        angle: turn of the model, degrees counter-clockwise as seen.
        mirror: left and right change places (after the turn).
    """

    origin: Point
    scale: float
    angle: float = 0.0
    mirror: bool = False

    def __post_init__(self) -> None:
        """Refuse what cannot be turned back."""
        numbers = (*self.origin, self.scale, self.angle)
        if not all(math.isfinite(v) for v in numbers) or self.scale <= 0:
            raise RangeError(f"placement needs finite numbers and a positive scale, got {self}")

    def point(self, p: Sequence[float]) -> Point:
        """A model point on paper."""
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        x, y = c * p[0] - s * p[1], s * p[0] + c * p[1]
        side = -1.0 if self.mirror else 1.0
        return (self.origin[0] + side * self.scale * x, self.origin[1] - self.scale * y)

    def back(self, q: Sequence[float]) -> Point:
        """The model point of a point on paper."""
        side = -1.0 if self.mirror else 1.0
        x = side * (q[0] - self.origin[0]) / self.scale
        y = -(q[1] - self.origin[1]) / self.scale
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        return (c * x + s * y, -s * x + c * y)

    def points(self, points: Iterable[Sequence[float]]) -> tuple[Point, ...]:
        """Several model points on paper."""
        return tuple(self.point(p) for p in points)

    def reading(self, angle: float) -> float:
        """The angle at which text along this model direction reads on paper, degrees."""
        turned = angle + self.angle
        return upright(180.0 - turned if self.mirror else turned)

    @singledispatchmethod
    def place(self, shape: Shape) -> tuple[Shape, ...]:
        """The shape in paper mm; a dimension comes apart into lines and its text."""
        raise TypeError(f"not a shape: {shape!r}")

    @place.register
    def _(self, shape: Line) -> tuple[Shape, ...]:
        return (replace(shape, a=self.point(shape.a), b=self.point(shape.b)),)

    @place.register
    def _(self, shape: Polyline) -> tuple[Shape, ...]:
        return (replace(shape, points=self.points(shape.points)),)

    @place.register
    def _(self, shape: Polygon) -> tuple[Shape, ...]:
        return (replace(shape, points=self.points(shape.points)),)

    @place.register
    def _(self, shape: Circle) -> tuple[Shape, ...]:
        radius = shape.radius * self.scale
        return (replace(shape, centre=self.point(shape.centre), radius=radius),)

    @place.register
    def _(self, shape: Dot) -> tuple[Shape, ...]:
        return (replace(shape, centre=self.point(shape.centre)),)

    @place.register
    def _(self, shape: Cross) -> tuple[Shape, ...]:
        return (replace(shape, centre=self.point(shape.centre)),)

    @place.register
    def _(self, shape: Text) -> tuple[Shape, ...]:
        return (replace(shape, at=self.point(shape.at), angle=self.reading(shape.angle)),)

    @place.register
    def _(self, shape: Dimension) -> tuple[Shape, ...]:
        moved = replace(shape, a=self.point(shape.a), b=self.point(shape.b))
        if self.mirror:
            moved = replace(moved, offset=-moved.offset)
        return dimension_lines(moved)
