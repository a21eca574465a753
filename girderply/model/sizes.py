"""The sizes of a shape: what is wrong with them, what is usual where the job is silent.

The underside of the top chord passes the outer face of the bottom chord (x = 0) at the height of
the butt cut; all other heights follow from there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from girderply.errors import Finding
from girderply.jobfile.job import GirderSpec, Role, ShapeSpec
from girderply.model.frame import error, nearest
from girderply.model.webs import PATTERNS

KINDS = (
    "king post",
    "queen post",
    "howe",
    "pratt",
    "fink",
    "warren",
    "parallel chord",
    "mono",
    "truncated",
)
LEVEL = ("warren", "parallel chord")
MOST_PANELS = 60
PANEL = 1600.0  # panels are about this long when the job does not say, mm (no source)
STEEPEST = math.radians(75)
SHORTEST_WEB = 20.0  # clear distance of level chords below which no web fits, mm
FLATTEST = math.radians(2)


@dataclass(frozen=True, slots=True)
class Sizes:
    """A shape with every size settled, mm and rad.

    Attributes:
        butt: height of the butt cut at x = 0 (a raised heel when it reaches the bottom chord).
        top, bottom, web: depths of the members.
        flat: underside of the bottom chord to the centreline of a level top chord, or None.
    """

    kind: str
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
            return self.web / 2
        return (self.low - self.slope_y(0)) / math.tan(self.pitch)

    def top_y(self, x: float) -> float:
        """Y of the top chord's centreline at x."""
        if self.pitch == 0 and self.flat is not None:
            return self.flat
        y = self.slope_y(x if self.kind == "mono" else min(x, self.span - x))
        return y if self.flat is None else min(y, self.flat)


def size_faults(s: ShapeSpec) -> Iterator[Finding]:
    """Everything wrong with a shape's own sizes."""
    at = "girder.shape."
    if s.kind not in KINDS:
        yield error("unknown-shape", at + "kind", f"{s.kind!r}", nearest(s.kind, KINDS))
        return
    for name in ("span", "pitch", "height", "heel_height", "flat_height"):
        value = getattr(s, name)
        if value is not None and not (math.isfinite(value) and value > 0):
            yield error("not-positive", at + name, f"{value:g} must be more than zero")
    if not (math.isfinite(s.overhang) and s.overhang >= 0):
        yield error("not-positive", at + "overhang", f"{s.overhang:g} must not be negative")
    yield from _slope_faults(s)
    yield from _panel_faults(s)
    if s.web_pattern is not None and s.web_pattern not in PATTERNS:
        tip = nearest(s.web_pattern, PATTERNS)
        yield error("unknown-pattern", at + "web_pattern", f"{s.web_pattern!r}", tip)


def _slope_faults(s: ShapeSpec) -> Iterator[Finding]:
    at = "girder.shape."
    if s.kind in LEVEL:
        yield from _level_faults(s)
    elif s.kind == "truncated":
        if s.pitch is None:
            yield error("pitch-missing", at + "pitch", "a truncated girder needs its pitch")
        if (s.flat_height is None) == (s.height is None):
            message = "a truncated girder needs flat_height (or height, which is the same)"
            yield error("height-missing", at + "flat_height", message)
    elif (s.pitch is None) == (s.height is None):
        yield error("pitch-or-height", at + "pitch", "give either pitch or height, and not both")
    if s.kind != "truncated" and s.flat_height is not None:
        yield error("not-for-shape", at + "flat_height", "only a truncated girder has a flat top")
    if s.pitch is not None and not FLATTEST <= s.pitch <= STEEPEST:
        message = f"{math.degrees(s.pitch):.1f} degrees; allowed are 2 to 75 degrees"
        yield error("pitch-out-of-range", at + "pitch", message)


def _level_faults(s: ShapeSpec) -> Iterator[Finding]:
    at = "girder.shape."
    if s.height is None:
        yield error("height-missing", at + "height", f"a {s.kind} girder needs its height")
    values = {"pitch": s.pitch, "heel_height": s.heel_height, "overhang": s.overhang or None}
    for name, given in values.items():
        if given is not None:
            yield error("not-for-shape", at + name, f"a {s.kind} girder has level chords")


def _panel_faults(s: ShapeSpec) -> Iterator[Finding]:
    n, at = s.panels, "girder.shape.panels"
    if n is None:
        return
    fixed = {"king post": (2, 4), "queen post": (3,), "fink": (3,)}.get(s.kind)
    if fixed and n not in fixed:
        allowed = " or ".join(map(str, fixed))
        yield error("panels", at, f"a {s.kind} girder has {allowed} panels, not {n}")
    elif not 2 <= n <= MOST_PANELS:
        yield error("panels", at, f"{n} panels; allowed are 2 to {MOST_PANELS}")
    elif not fixed and n % 2 and _even(s.kind, _pattern(s)):
        message = f"{n} panels; howe and pratt webs need an even number to meet at midspan"
        yield error("panels", at, message, f"use {n - 1} or {n + 1}")


def _even(kind: str, pattern: str) -> bool:
    return kind != "mono" and pattern != "warren"


def _pattern(s: ShapeSpec) -> str:
    own = {"howe": "howe", "pratt": "pratt", "warren": "warren"}.get(s.kind)
    return own or s.web_pattern or ("warren" if s.kind == "parallel chord" else "howe")


def depth_faults(spec: GirderSpec) -> Iterator[Finding]:
    """Depths that are missing, not positive or of no role."""
    roles = [r.value for r in Role]
    for role in roles:
        depth = spec.depths.get(role)
        where = f"girder.depths.{role}"
        if depth is None:
            yield error("depth-missing", where, f"no depth is given for the {role}")
        elif not (math.isfinite(depth) and depth > 0):
            yield error("not-positive", where, f"{depth:g} mm must be more than zero")
    for role in spec.depths:
        if role not in roles:
            yield error("unknown-role", f"girder.depths.{role}", f"{role!r}", nearest(role, roles))


def settle(s: ShapeSpec, depths: dict[str, float], least_butt: float) -> Sizes:
    """Every size of a shape whose `size_faults` and `depth_faults` are none, mm and rad."""
    top = depths[Role.TOP_CHORD.value]
    pitch = 0.0 if s.kind in LEVEL else s.pitch or _pitch_for(s, top, least_butt)
    highest = s.flat_height or s.height
    flat = highest - top / 2 if s.kind in (*LEVEL, "truncated") and highest else None
    heel = least_butt if s.heel_height is None else s.heel_height - top / math.cos(pitch)
    return Sizes(
        kind=s.kind,
        pattern=_pattern(s),
        span=s.span,
        pitch=pitch,
        butt=heel,
        top=top,
        bottom=depths[Role.BOTTOM_CHORD.value],
        web=depths[Role.WEB.value],
        panels=s.panels or _usual_panels(s),
        overhang=s.overhang,
        flat=flat,
    )


def _pitch_for(s: ShapeSpec, top: float, butt: float) -> float:
    """Pitch that gives the height: butt + top / cos p + run tan p = height, in closed form."""
    run = s.span if s.kind == "mono" else s.span / 2
    height = s.height or 0.0
    if s.heel_height is not None:
        return math.atan2(height - s.heel_height, run)
    rise = height - butt
    return math.acos(min(1.0, top / math.hypot(run, rise))) - math.atan2(run, rise)


def _usual_panels(s: ShapeSpec) -> int:
    if s.kind in ("king post", "queen post", "fink"):
        return {"king post": 2, "queen post": 3, "fink": 3}[s.kind]
    length = PANEL if s.kind not in LEVEL else max(1.2 * (s.height or PANEL), PANEL / 2)
    least = 2 if s.kind == "mono" else 4
    n = max(least, round(s.span / length))
    return min(MOST_PANELS, n + n % 2)


def fit_faults(z: Sizes) -> Iterator[Finding]:
    """Sizes that are each possible but do not fit together."""
    at = "girder.shape"
    if z.kind not in LEVEL and z.pitch < FLATTEST:
        yield error("pitch-out-of-range", f"{at}.height", "leaves a pitch of less than 2 degrees")
        return
    if z.butt < 0:
        least = z.top / math.cos(z.pitch)
        message = f"less than the plumb depth of the top chord, {least:.0f} mm"
        yield error("does-not-fit", f"{at}.heel_height", message)
    if z.flat is not None and z.flat - z.top / 2 < z.bottom + SHORTEST_WEB:
        message = f"leaves less than {SHORTEST_WEB:g} mm between the chords"
        yield error("does-not-fit", f"{at}.height", message)
    elif z.kind == "truncated" and not z.heel < z.knee < 0.49 * z.span:
        message = f"the slopes reach it at x = {z.knee:.0f} mm, which must be before midspan"
        yield error("does-not-fit", f"{at}.flat_height", message)
    if z.span < 4 * max(z.top, z.bottom, z.web):
        yield error("does-not-fit", f"{at}.span", f"{z.span:g} mm is too short for these depths")
