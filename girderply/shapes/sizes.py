"""The sizes of a shape, settled: what is usual stands where the job is silent.

The underside of the top chord passes the outer face of the bottom chord (x = 0) at the height of
the butt cut; all other heights follow from there.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import TYPE_CHECKING, Final

from girderply.shapes.shape_spec import ShapeSpec

if TYPE_CHECKING:
    from girderply.shapes.shape import Shape

MOST_PANELS: Final = 60
NEAR: Final = 5.0  # a panel meets an apex or a knee that is so near, mm: rounded input
PANEL: Final = 1600.0  # panels are about this long when the job does not say, mm (no source)


@dataclass(frozen=True, slots=True)
class Sizes:
    """A shape with every size settled, mm and rad.

    Attributes:
        pattern: howe, pratt or warren.
        butt: height of the butt cut at x = 0 (a raised heel when it reaches the bottom chord).
        top, bottom, web: depths of the members.
        lengths: of the panels from the left end to the right; empty where all are alike.
        posts: depths of the posts that stand at the left and at the right end.
        flat: underside of the bottom chord to the centreline of a level top chord, or None.
    """

    shape: Shape
    pattern: str
    span: float
    pitch: float
    butt: float
    top: float
    bottom: float
    web: float
    panels: int
    overhang: float
    flat: float | None
    lengths: tuple[float, ...]
    posts: tuple[float, float]

    @property
    def raised(self) -> bool:
        """True when the top chord stands clear of the bottom chord at its end."""
        return self.pitch == 0 or self.butt >= self.bottom

    @property
    def low(self) -> float:
        """Y of the bottom chord's centreline."""
        return self.bottom / 2

    def slope_y(self, x: float) -> float:
        """Y of the sloping top chord's centreline at x, counted from the left heel."""
        return self.butt + self.top / 2 / math.cos(self.pitch) + x * math.tan(self.pitch)

    @property
    def knee(self) -> float:
        """X where the centrelines of slope and level top chord meet."""
        level = self.low if self.flat is None else self.flat
        return (level - self.slope_y(0)) / math.tan(self.pitch)

    @property
    def heel(self) -> float:
        """X of the left heel joint: end vertical, or where the centrelines of the chords meet."""
        if self.raised:
            return self.posts[0] / 2
        return (self.low - self.slope_y(0)) / math.tan(self.pitch)

    @property
    def right_end(self) -> float:
        """X of the right heel joint, or of the post of the high end."""
        post = self.raised or self.shape.top.single
        return self.span - (self.posts[1] / 2 if post else self.heel)

    @property
    def marks(self) -> tuple[float, ...]:
        """X where the panels meet whose lengths are given, the ends left out."""
        return tuple(accumulate(self.lengths[:-1]))

    def run(self, first: float, last: float) -> tuple[float, ...]:
        """X from first to last, and of every panel point between them that is given."""
        inner = (x for x in self.marks if first + NEAR < x < last - NEAR)
        return (first, *inner, last)

    @property
    def first_panel(self) -> float:
        """Length of the panel at the left end, from the outside."""
        return self.lengths[0] if self.lengths else self.span / self.panels

    def turned(self) -> Sizes:
        """The same sizes as they are seen from the back."""
        return replace(self, lengths=self.lengths[::-1], posts=self.posts[::-1])

    def top_y(self, x: float) -> float:
        """Y of the top chord's centreline at x."""
        if self.pitch == 0 and self.flat is not None:
            return self.flat
        y = self.slope_y(x if self.shape.top.single else min(x, self.span - x))
        return y if self.flat is None else min(y, self.flat)


def settle(
    s: ShapeSpec,
    shape: Shape,
    depths: Mapping[str, float],
    least_butt: float,
    posts: tuple[float, float] | None = None,
) -> Sizes:
    """Every size of a shape without faults, mm and rad.

    Args:
        s: as given.
        shape: the shape of that name.
        depths: of "top chord", "bottom chord" and "web", mm.
        least_butt: butt cut left at a heel where no heel height is given, mm.
        posts: depths of the posts at the ends, where they are not those of the webs, mm.
    """
    top = depths["top chord"]
    pitch = 0.0 if shape.top.level else s.pitch or _pitch_for(s, shape, top, least_butt)
    highest = s.flat_height or s.height
    flat = highest - top / 2 if shape.top.flat and highest else None
    heel = least_butt if s.heel_height is None else s.heel_height - top / math.cos(pitch)
    return Sizes(
        shape=shape,
        pattern=shape.pattern_of(s),
        span=s.span,
        pitch=pitch,
        butt=heel,
        top=top,
        bottom=depths["bottom chord"],
        web=depths["web"],
        panels=len(s.panel_lengths or ()) or s.panels or _usual_panels(s, shape),
        overhang=s.overhang,
        flat=flat,
        lengths=s.panel_lengths or (),
        posts=posts or (depths["web"], depths["web"]),
    )


def _pitch_for(s: ShapeSpec, shape: Shape, top: float, butt: float) -> float:
    """Pitch that gives the height: butt + top / cos p + run tan p = height, in closed form."""
    run = s.span if shape.top.single else s.span / 2
    height = s.height or 0.0
    if s.heel_height is not None:
        return math.atan2(height - s.heel_height, run)
    rise = height - butt
    return math.acos(min(1.0, top / math.hypot(run, rise))) - math.atan2(run, rise)


def _usual_panels(s: ShapeSpec, shape: Shape) -> int:
    if shape.panels:
        return shape.panels[0]
    length = max(1.2 * (s.height or PANEL), PANEL / 2) if shape.top.level else PANEL
    n = max(2 if shape.top.single else 4, round(s.span / length))
    return min(MOST_PANELS, n + n % 2)
