"""What a trade shape is: a name, the course of its top chord, and its webs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from girderply.shapes.shape_spec import ALWAYS, ShapeSpec
from girderply.shapes.sizes import Sizes
from girderply.shapes.tops import Top
from girderply.shapes.webs import Web, half_webs, mirrored, zigzag_webs

Chord = tuple[float, float]


def patterned(z: Sizes) -> list[Web]:
    """Howe, pratt or warren webs through the panel points of the top chord's course."""
    if z.pattern == "warren":
        posts = both_halves(z, side_post) if not z.shape.top.single else side_post(z)
        webs = zigzag_webs(*z.shape.top.zigzag(z), not z.raised)
        return [*posts, *webs, *high_post(z)]
    if z.shape.top.single:
        return [*_left_webs(z)[:-1], *high_post(z)]
    return both_halves(z, _left_webs)


def _left_webs(z: Sizes) -> list[Web]:
    return half_webs(z.shape.top.panels(z), z.pattern)


def both_halves(z: Sizes, half: Callable[[Sizes], Iterable[Web]]) -> list[Web]:
    """Webs of the left half, and of the right one as the left of the girder seen from the back."""
    return [*half(z), *mirrored([*half(z.turned())], z.span)]


def side_post(z: Sizes) -> list[Web]:
    """The post at the left end where the top chord stands clear of the bottom chord."""
    return [Web(z.heel, z.heel, True)] if z.raised else []


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

    def met(self, z: Sizes) -> list[tuple[float, str]]:
        """X where a panel must end whose length is given, and what turns there."""
        odd = any(n % 2 for n in self.panels)
        places = [] if odd or z.pattern == "warren" else [(z.span / 2, "at midspan")]
        if self.top.cut_off:
            places += [(x, "at the knee of the top chord") for x in self.top.turns(z)]
        return places

    def even(self, s: ShapeSpec) -> bool:
        """True where howe or pratt webs must meet at midspan."""
        return not self.top.single and self.pattern_of(s) != "warren"
