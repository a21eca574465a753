"""What is wrong with a shape: keys that it needs or refuses, sizes that cannot be."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from typing import Final

from girderply.errors import Finding, Severity
from girderply.shapes.all_shapes import kinds_that_take, shapes
from girderply.shapes.shape import Shape
from girderply.shapes.shape_spec import KEYS, ShapeSpec, given_keys
from girderply.shapes.sizes import MOST_PANELS, NEAR, Sizes
from girderply.shapes.webs import PATTERNS
from girderply.units.short_text import did_you_mean, one_of, shown

AT: Final = "girder.shape"
STEEPEST: Final = math.radians(75)
FLATTEST: Final = math.radians(2)
SHORTEST_WEB: Final = 20.0  # clear distance of level chords below which no web fits, mm
MANY: Final = 5  # so many shapes are told by what they have in common
ROUNDING: Final = 1.0  # panels may miss the span by this, mm; the last one takes it up
_SLOPING: Final = "a shape with a sloping top chord"


def _error(code: str, key: str, message: str, tip: str = "") -> Finding:
    return Finding(code, Severity.ERROR, f"{AT}.{key}" if key else AT, message, tip=tip)


def key_faults(shape: Shape, given: Collection[str]) -> Iterator[Finding]:
    """Keys of a job file that a shape needs and has not, or has and refuses.

    Args:
        shape: the trade shape.
        given: keys that the job gives.
    """
    for group in shape.needs:
        yield from _group_fault(shape, group, [k for k in group if k in given])
    for key in KEYS:
        if key in given and key not in shape.takes:
            kinds = kinds_that_take(key)
            whose = _SLOPING if len(kinds) > MANY else one_of(kinds)
            yield _error("not-for-shape", key, f"{key} belongs to {whose}, not to {shape.kind}")


def _group_fault(shape: Shape, group: tuple[str, ...], given: list[str]) -> Iterator[Finding]:
    first, *others = group
    if not given and not others:
        yield _error("missing-key", first, f"a {shape.kind} shape needs its {first}")
    elif not given:
        message = f"neither {first} nor {others[0]} is given; one is needed"
        yield _error(_either(group), "", message)
    elif len(given) > 1:
        message = f"{' and '.join(given)} are both given; one of the two is allowed"
        yield _error(_either(group), "", message)


def _either(group: tuple[str, ...]) -> str:
    return "-or-".join(group).replace("_", "-")


def size_faults(s: ShapeSpec) -> Iterator[Finding]:
    """Everything wrong with a shape's own sizes."""
    shape = shapes().get(s.kind)
    if shape is None:
        tip = did_you_mean(s.kind, shapes()) or f"known: {', '.join(shapes())}"
        yield _error("unknown-shape", "kind", shown(s.kind), tip)
        return
    yield from _number_faults(s)
    yield from key_faults(shape, given_keys(s))
    if s.pitch is not None and not FLATTEST <= s.pitch <= STEEPEST:
        message = f"{math.degrees(s.pitch):.1f} degrees; allowed are 2 to 75 degrees"
        yield _error("pitch-out-of-range", "pitch", message)
    yield from _panel_faults(s, shape)
    yield from _length_faults(s, shape)
    if s.web_pattern is not None and s.web_pattern not in PATTERNS:
        tip = did_you_mean(s.web_pattern, PATTERNS) or f"known: {', '.join(PATTERNS)}"
        yield _error("unknown-pattern", "web_pattern", shown(s.web_pattern), tip)


def _number_faults(s: ShapeSpec) -> Iterator[Finding]:
    for key in ("span", "pitch", "height", "heel_height", "flat_height"):
        value = getattr(s, key)
        if value is not None and not (math.isfinite(value) and value > 0):
            yield _error("not-positive", key, f"{value:g} must be more than zero")
    if not (math.isfinite(s.overhang) and s.overhang >= 0):
        yield _error("not-positive", "overhang", f"{s.overhang:g} must not be negative")


def _panel_faults(s: ShapeSpec, shape: Shape) -> Iterator[Finding]:
    if s.panels is not None:
        yield from _number_of_panels(s.panels, s, shape)


def _number_of_panels(n: int, s: ShapeSpec, shape: Shape) -> Iterator[Finding]:
    if shape.panels and n not in shape.panels:
        allowed = " or ".join(map(str, shape.panels))
        yield _error("panels", "panels", f"a {s.kind} girder has {allowed} panels, not {n}")
    elif not 2 <= n <= MOST_PANELS:
        yield _error("panels", "panels", f"{n} panels; allowed are 2 to {MOST_PANELS}")
    elif not shape.panels and n % 2 and shape.even(s):
        message = f"{n} panels; howe and pratt webs need an even number to meet at midspan"
        yield _error("panels", "panels", message, f"use {n - 1} or {n + 1}")


def _length_faults(s: ShapeSpec, shape: Shape) -> Iterator[Finding]:
    lengths = s.panel_lengths
    if lengths is None:
        return
    if s.panels is not None:
        message = "panels and panel_lengths are both given; one of the two is allowed"
        yield _error("panels-or-panel-lengths", "panel_lengths", message)
    if not all(math.isfinite(x) and x > 0 for x in lengths):
        yield _error("not-positive", "panel_lengths", "every length must be more than zero")
    elif abs(sum(lengths) - s.span) > ROUNDING:
        message = f"they add up to {sum(lengths):.1f} mm, and the span is {s.span:.1f} mm"
        yield _error("panel-lengths", "panel_lengths", message)
    yield from _number_of_lengths(len(lengths), s, shape)


def _number_of_lengths(n: int, s: ShapeSpec, shape: Shape) -> Iterator[Finding]:
    if shape.panels or not 2 <= n <= MOST_PANELS:
        yield from _number_of_panels(n, s, shape)


def _course_faults(z: Sizes) -> Iterator[Finding]:
    """Panels that do not meet where the top chord or the webs turn."""
    if not z.lengths or z.shape.top.single:
        return
    meet = (0.0, *z.marks, z.span)
    if z.shape.top.cut_off and z.pattern == "warren":
        message = "warren webs under a flat top between slopes have panels of one length only"
        tip = "write the girder by nodes and members: girderply new --as nodes"
        yield _error("panel-lengths", "panel_lengths", message, tip)
        return
    for x, what in z.shape.met(z):
        near = min(meet, key=lambda m: abs(m - x))
        if abs(near - x) > NEAR:
            message = f"no panel ends {what}, at x = {x:.1f} mm; the nearest ends at {near:.1f} mm"
            yield _error("panel-lengths", "panel_lengths", message)
    if max(z.lengths[0], z.lengths[-1]) > z.span / 2 + NEAR:
        message = "the first and the last panel must end before midspan"
        yield _error("panel-lengths", "panel_lengths", message)


def fit_faults(z: Sizes) -> Iterator[Finding]:
    """Sizes that are each possible but do not fit together."""
    top = z.shape.top
    if not top.level and z.pitch < FLATTEST:
        yield _error("pitch-out-of-range", "height", "leaves a pitch of less than 2 degrees")
        return
    if z.butt < 0:
        least = z.top / math.cos(z.pitch)
        message = f"less than the plumb depth of the top chord, {least:.0f} mm"
        yield _error("does-not-fit", "heel_height", message)
    if z.flat is not None and z.flat - z.top / 2 < z.bottom + SHORTEST_WEB:
        message = f"leaves less than {SHORTEST_WEB:g} mm between the chords"
        yield _error("does-not-fit", "height", message)
    elif top.cut_off and not z.heel < z.knee < 0.49 * z.span:
        message = f"the slopes reach it at x = {z.knee:.0f} mm, which must be before midspan"
        yield _error("does-not-fit", "flat_height", message)
    yield from _course_faults(z)
    if z.span < 4 * max(z.top, z.bottom, z.web):
        yield _error("does-not-fit", "span", f"{z.span:g} mm is too short for these depths")
