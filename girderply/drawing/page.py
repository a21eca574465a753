"""The collector: what one drawing holds, in paper mm."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from girderply.drawing.dimension import dimension_lines
from girderply.drawing.lettering import text_box
from girderply.drawing.placement import Placement
from girderply.drawing.primitives import Cross, Dimension, Dot, Point, Shape, Text, moved

Box = tuple[Point, Point, Point, Point]
Extent = tuple[float, float, float, float]  # left, right, low, high
_MORE = 20  # boxes that are looked at one by one before they join the array
_AROUND = 0.4  # mm that is kept free around a label
_SLACK = 1e-6  # mm that boxes may lie over each other
_SHRINK = (_SLACK, -_SLACK, _SLACK, -_SLACK)


@dataclass(slots=True)
class Drawing:
    """Shapes on a piece of paper `width` x `height` mm, origin top left, y down.

    Attributes:
        name: which drawing. title: for people. scale: n of 1:n, or 0 for none.
    """

    name: str
    width: float
    height: float
    title: str = ""
    scale: int = 0
    shapes: list[Shape] = field(default_factory=list)

    def add(self, *shapes: Shape) -> None:
        """Put shapes on, which are in paper mm already."""
        for shape in shapes:
            if isinstance(shape, Dimension):
                self.shapes.extend(dimension_lines(shape))
            else:
                self.shapes.append(shape)

    def place(self, placement: Placement, *shapes: Shape) -> None:
        """Put shapes on, which are in model mm."""
        for shape in shapes:
            self.shapes.extend(placement.place(shape))

    def moved(self, dx: float, dy: float) -> list[Shape]:
        """All shapes, further right and down by so many mm."""
        return [moved(s, dx, dy) for s in self.shapes]

    def texts(self) -> Iterator[Text]:
        """All lettering."""
        return (s for s in self.shapes if isinstance(s, Text))

    def tagged(self, prefix: str) -> list[Shape]:
        """Shapes whose tag starts with this."""
        return [s for s in self.shapes if s.tag.startswith(prefix)] if prefix else []

    def obstacles(self) -> Obstacles:
        """Boxes that a new label must keep off: lettering, dots and crosses."""
        return Obstacles(b for s in self.shapes if (b := obstacle(s)) is not None)

    def label(self, candidates: Iterable[Text], obstacles: Obstacles) -> bool:
        """Add the first candidate that hits no obstacle and stays on the paper.

        The box of the text joins the obstacles. False when none of them is free.
        """
        for text in candidates:
            if self.has_room(text, obstacles):
                self.shapes.append(text)
                obstacles.append(text_box(text, _AROUND))
                return True
        return False

    def has_room(self, text: Text, obstacles: Obstacles) -> bool:
        """Whether a label hits no obstacle and stays on the paper."""
        box = text_box(text, _AROUND)
        return inside(box, self.width, self.height) and not obstacles.hit(box)


class Obstacles:
    """Boxes to keep off, with their extents, so that most are told apart by those alone."""

    def __init__(self, boxes: Iterable[Box] = ()) -> None:
        """Begin with these boxes, paper mm."""
        self._known: list[tuple[Extent, Box]] = []
        self._extents = np.empty((0, 4))
        self.extend(boxes)

    def __len__(self) -> int:
        return len(self._known)

    def append(self, box: Box) -> None:
        """One more."""
        self._known.append((_extent(box), box))

    def extend(self, boxes: Iterable[Box]) -> None:
        """More of them."""
        self._known += [(_extent(box), box) for box in boxes]

    def join(self, other: Obstacles) -> None:
        """All of another's."""
        self._known += other._known

    def cut(self, length: int) -> None:
        """Forget all but the first so many."""
        del self._known[length:]
        self._extents = self._extents[:length]

    def hit(self, box: Box) -> bool:
        """Whether a box shares an area with any of them."""
        left, right, low, high = (v + s for v, s in zip(_extent(box), _SHRINK, strict=True))
        if len(self._known) > len(self._extents) + _MORE:
            more = [extent for extent, _ in self._known[len(self._extents) :]]
            self._extents = np.concatenate([self._extents, more])
        a, b, c, d = self._extents.T
        near = np.flatnonzero((right > a) & (b > left) & (high > c) & (d > low))
        if any(boxes_overlap(box, self._known[k][1]) for k in near):
            return True
        for (x, y, z, w), other in self._known[len(self._extents) :]:
            if right > x and y > left and high > z and w > low and boxes_overlap(box, other):
                return True
        return False


def obstacle(shape: Shape) -> Box | None:
    """The box that a label must keep off, or None for lines."""
    if isinstance(shape, Text):
        return text_box(shape)
    if isinstance(shape, Dot):
        return _square(shape.centre, shape.diameter / 2 + 0.2)
    if isinstance(shape, Cross):
        return _square(shape.centre, shape.size / 2 + 0.2)
    return None


def _square(centre: Point, half: float) -> Box:
    x, y = centre
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


def inside(box: Sequence[Point], width: float, height: float, slack: float = 1e-6) -> bool:
    """Whether every corner lies on the paper."""
    return all(-slack <= x <= width + slack and -slack <= y <= height + slack for x, y in box)


def boxes_overlap(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Whether two rectangles, turned as they may be, share an area (separating axes)."""
    left, right, low, high = _extent(a)
    other_left, other_right, other_low, other_high = _extent(b)
    if (
        right <= other_left + _SLACK
        or other_right <= left + _SLACK
        or high <= other_low + _SLACK
        or other_high <= low + _SLACK
    ):
        return False
    for p, q in ((a[0], a[1]), (a[1], a[2]), (b[0], b[1]), (b[1], b[2])):
        axis = (q[0] - p[0], q[1] - p[1])
        along_a = [axis[0] * x + axis[1] * y for x, y in a]
        along_b = [axis[0] * x + axis[1] * y for x, y in b]
        if max(along_a) <= min(along_b) + _SLACK or max(along_b) <= min(along_a) + _SLACK:
            return False
    return True


def _extent(box: Sequence[Point]) -> Extent:
    """Left, right, low and high."""
    x, y = zip(*box, strict=True)
    return min(x), max(x), min(y), max(y)
