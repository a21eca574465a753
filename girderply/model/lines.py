"""Straight lines and half planes: what a saw cut is made of. Elevation frame, mm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from girderply.model.girder import Array

FAR = 1.0e5  # longer than any girder, mm: strips and half planes reach this far
PARALLEL = 1.0e-3  # sine of the smallest angle at which two lines are said to cross


@dataclass(frozen=True, slots=True)
class Line:
    """A line through `point` along the unit vector `u`, mm."""

    point: Array
    u: Array

    @property
    def n(self) -> Array:
        """Unit normal to the left of `u`."""
        return np.array([-self.u[1], self.u[0]])

    def side(self, point: Array) -> float:
        """Distance of a point from the line, mm; positive to the left."""
        return float((np.asarray(point) - self.point) @ self.n)

    def along(self, points: Array) -> Array:
        """Positions of (k, 2) points along the line from `point`, (k,), mm."""
        return np.asarray((np.asarray(points) - self.point) @ self.u, float)

    def shifted(self, distance: float) -> Line:
        """The parallel line at a distance to the left, mm."""
        return Line(self.point + distance * self.n, self.u)

    def crossing(self, other: Line) -> Array | None:
        """Where two lines cross, (2,), or None when they are as good as parallel."""
        sine = float(self.u[0] * other.u[1] - self.u[1] * other.u[0])
        if abs(sine) < PARALLEL:
            return None
        d = other.point - self.point
        return self.point + self.u * float(d[0] * other.u[1] - d[1] * other.u[0]) / sine


@dataclass(frozen=True, slots=True)
class Axis(Line):
    """The centreline of a straight member of this depth, from its first node to its last."""

    depth: float
    length: float

    @property
    def middle(self) -> Array:
        """Half-way between the end nodes, (2,), mm."""
        return self.point + self.u * self.length / 2

    def edge(self, towards: Array) -> Line:
        """The edge of the member on the side of a point."""
        return self.shifted(self.depth / 2 if self.side(towards) > 0 else -self.depth / 2)

    def away_from(self, node: Array) -> Line:
        """The centreline as it leaves a node: through it, pointing to the member's middle."""
        sign = 1.0 if (self.middle - node) @ self.u >= 0 else -1.0
        return Line(node - self.side(node) * self.n, sign * self.u)


def axis_through(first: Array, last: Array, depth: float) -> Axis:
    """The axis from one node to another, which must not coincide."""
    d = np.asarray(last, float) - np.asarray(first, float)
    length = float(np.hypot(*d))
    return Axis(np.asarray(first, float), d / length, depth, length)


def line_through(a: Array, b: Array) -> Line:
    """The line from a to b, which must not coincide."""
    d = np.asarray(b, float) - np.asarray(a, float)
    return Line(np.asarray(a, float), d / np.hypot(*d))


def plumb_line(point: Array) -> Line:
    """The vertical line through a point."""
    return Line(np.asarray(point, float), np.array([0.0, 1.0]))


def half_plane(line: Line, keep: Array) -> Polygon:
    """The side of a line that holds the point `keep`, as a polygon of a very large size."""
    foot = line.point + line.u * float((np.asarray(keep) - line.point) @ line.u)
    n = line.n if line.side(keep) >= 0 else -line.n
    a, b = foot - FAR * line.u, foot + FAR * line.u
    return Polygon([a, b, b + FAR * n, a + FAR * n])


def strip(axis: Axis, before: float = FAR, after: float = FAR) -> Polygon:
    """The board before its ends are cut: the axis drawn out at both nodes, mm."""
    a = axis.point - before * axis.u
    b = axis.point + (axis.length + after) * axis.u
    h = axis.n * axis.depth / 2
    return Polygon([a - h, b - h, b + h, a + h])


def piece_with(shape: BaseGeometry, point: Array) -> Polygon | None:
    """The one polygon of a shape that holds a point, or None."""
    spot = shapely.Point(point)
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and part.intersects(spot):
            return part
    return None


def corners(shape: Polygon) -> Array:
    """(k, 2) corners, counter-clockwise from the leftmost (then lowest), rounded to 1e-6 mm."""
    ring = shape.simplify(1e-4).boundary
    clean = orient(Polygon(shapely.get_coordinates(ring)), 1.0)
    points = np.round(np.asarray(clean.exterior.coords, float)[:-1], 6) + 0.0
    start = int(np.lexsort((points[:, 1], points[:, 0]))[0])
    return np.roll(points, -start, axis=0)
