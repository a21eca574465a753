"""What a trade shape is: a name, the course of its top chord, and its webs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from girderply.shapes.given import ALWAYS, ShapeSpec
from girderply.shapes.sizes import Sizes
from girderply.shapes.tops import Top
from girderply.shapes.webs import Web, half_webs, mirrored, zigzag_webs

Chord = tuple[float, float]


def patterned(z: Sizes) -> list[Web]:
    """Howe, pratt or warren webs through the panel points of the top chord's course."""
    if z.pattern == "warren":
        posts = mirrored_posts(z) if not z.shape.top.single else side_post(z)
        webs = zigzag_webs(*z.shape.top.zigzag(z), not z.raised)
        return [*posts, *webs, *high_post(z)]
    webs = half_webs(z.shape.top.panels(z), z.pattern)
    return [*webs[:-1], *high_post(z)] if z.shape.top.single else mirrored(webs, z.span)


def side_post(z: Sizes) -> list[Web]:
    """The post at the left end where the top chord stands clear of the bottom chord."""
    return [Web(z.heel, z.heel, True)] if z.raised else []


def mirrored_posts(z: Sizes) -> list[Web]:
    """The posts at both ends."""
    return mirrored(side_post(z), z.span)


def high_post(z: Sizes) -> list[Web]:
    """The post of the high end of a single slope, which always stands."""
    return [Web(z.right_end, z.right_end, True)] if z.shape.top.single else []


@dataclass(frozen=True, slots=True)
class Shape:
    """One trade shape.

    Attributes:
        kind: its trade name, as the job file has it.
        top: how the top chord runs; it says which keys are needed.
        pattern: how the webs run, where one of the known ways applies.
        free: the job may choose another pattern with `web_pattern`.
        panels: numbers of panels that it can have, the usual one first; empty: any.
        webs: its webs, from the settled sizes.
        beam: x of the ends of a beam between points of the top chord, or None.
    """

    kind: str
    top: Top
    pattern: str = "howe"
    free: bool = False
    panels: tuple[int, ...] = ()
    webs: Callable[[Sizes], list[Web]] = patterned
    beam: Callable[[Sizes], Chord] | None = None

    @property
    def needs(self) -> tuple[tuple[str, ...], ...]:
        """Groups of keys; one key of each group is given, and not two."""
        return self.top.needs

    @property
    def takes(self) -> frozenset[str]:
        """Every key that this shape takes."""
        free = ("web_pattern",) if self.free else ()
        return frozenset([*ALWAYS, *self.top.takes, *free, *(k for g in self.needs for k in g)])

    def pattern_of(self, s: ShapeSpec) -> str:
        """How the webs run in a given girder of this shape."""
        return s.web_pattern if self.free and s.web_pattern else self.pattern

    def even(self, s: ShapeSpec) -> bool:
        """True where howe or pratt webs must meet at midspan."""
        return not self.top.single and self.pattern_of(s) != "warren"
