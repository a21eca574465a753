"""How the top chord of a shape runs, and so where its panel points lie. Elevation frame, mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from girderply.shapes.sizes import Sizes
from girderply.shapes.webs import Panels


def evenly(first: float, last: float, parts: int) -> list[float]:
    """Points from first to last that part the length into equal parts."""
    step = (last - first) / parts
    return [*(i * step + first for i in range(parts)), last]


@dataclass(frozen=True, slots=True)
class Top:
    """Two rafters that meet at midspan: the top chord of a gable.

    Attributes:
        needs: keys of which one is given, for each group.
        takes: keys that may be given besides.
    """

    needs: tuple[tuple[str, ...], ...] = (("pitch", "height"),)
    takes: tuple[str, ...] = ("heel_height", "overhang")
    level: bool = False  # from end to end
    single: bool = False  # one slope from the left end to the right
    flat: bool = False  # level, all of it or between the slopes

    @property
    def cut_off(self) -> bool:
        """Slopes that a level top chord cuts off."""
        return self.flat and not self.level

    def turns(self, z: Sizes) -> list[float]:
        """X where the top chord turns, between its ends."""
        return [z.span / 2]

    def panels(self, z: Sizes) -> Panels:
        """Panel points of the left half, or of the only slope."""
        half, n = z.span / 2, z.panels // 2
        slope = (z.heel, *(half * i / n for i in range(1, n + 1)))
        if z.lengths:
            slope = z.run(z.heel, half)
        return Panels(slope, slope[-1:], z.raised)

    def zigzag(self, z: Sizes) -> tuple[list[float], list[float], tuple[float, float]]:
        """Feet and heads of warren webs, and from where to where the top chord is level."""
        feet = evenly(z.heel, z.right_end, z.panels)
        if z.lengths:
            feet = [*z.run(z.heel, z.right_end)]
        return feet, [(a + b) / 2 for a, b in pairwise(feet)], (z.heel, z.right_end)


@dataclass(frozen=True, slots=True)
class LevelTop(Top):
    """A level top chord over a level bottom chord, with a post at each end."""

    needs: tuple[tuple[str, ...], ...] = (("height",),)
    takes: tuple[str, ...] = ()
    level: bool = True
    flat: bool = True

    def turns(self, z: Sizes) -> list[float]:  # noqa: ARG002  the others need the sizes
        """A level top chord does not turn."""
        return []

    def panels(self, z: Sizes) -> Panels:
        """Panel points of the left half."""
        level = tuple(evenly(z.heel, z.span / 2, z.panels // 2))
        if z.lengths:
            level = z.run(z.heel, z.span / 2)
        return Panels(level[:1], level, True)


@dataclass(frozen=True, slots=True)
class SingleTop(Top):
    """One rafter from the heel at the left to the post of the high end at the right."""

    single: bool = True

    def turns(self, z: Sizes) -> list[float]:  # noqa: ARG002  the others need the sizes
        """One rafter does not turn."""
        return []

    def panels(self, z: Sizes) -> Panels:
        """Panel points of the slope."""
        between = (z.span * i / z.panels for i in range(1, z.panels))
        points = (z.heel, *(z.marks or between), z.right_end)
        return Panels(points, points[-1:], z.raised)

    def zigzag(self, z: Sizes) -> tuple[list[float], list[float], tuple[float, float]]:
        """Heads half-way between the feet; no part of the top chord is level."""
        n = z.panels
        inner = z.marks or [z.span * i / n for i in range(1, n)]
        feet = [z.heel] * z.raised + [*inner, z.right_end]
        heads = [(a + b) / 2 for a, b in pairwise([0.0, *inner, z.span])]
        return feet, heads, (math.inf, math.inf)


@dataclass(frozen=True, slots=True)
class FlatTop(Top):
    """Two slopes cut off by a level top chord between the knees."""

    needs: tuple[tuple[str, ...], ...] = (("pitch",), ("flat_height", "height"))
    flat: bool = True

    def turns(self, z: Sizes) -> list[float]:
        """The two knees."""
        return [z.knee, z.span - z.knee]

    def panels(self, z: Sizes) -> Panels:
        """Panel points of the left half: a share of them up to the knee, by length."""
        n = z.panels // 2
        m = min(max(1, round(z.panels * z.knee / z.span)), n - 1)
        slope = (z.heel, *(z.knee * i / m for i in range(1, m + 1)))
        level = tuple(evenly(z.knee, z.span / 2, n - m))
        if z.lengths:
            slope, level = z.run(z.heel, z.knee), z.run(z.knee, z.span / 2)
        return Panels(slope, level, z.raised)

    def zigzag(self, z: Sizes) -> tuple[list[float], list[float], tuple[float, float]]:
        """Top panel points at the knees and evenly between, feet half-way between them."""
        far = z.span - z.knee
        m = min(max(1, round((z.panels + 1) * z.knee / z.span)), z.panels // 2)
        slope = [z.knee * i / m for i in range(1, m)]
        flat = evenly(z.knee, far, z.panels + 1 - 2 * m)
        heads = [*slope, *flat, *(z.span - x for x in reversed(slope))]
        feet = [(a + b) / 2 for a, b in pairwise(heads)]
        if z.raised:
            feet = [z.heel, *feet, z.right_end]
        return feet, heads, (z.knee, far)
