"""A shape as somebody gives it: its trade name and a few sizes."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final


@dataclass(frozen=True, slots=True)
class ShapeSpec:
    """A parametric shape by its trade name.

    Attributes:
        kind: trade name, one of `girderply.shapes.all_shapes.shapes`.
        span: out to out of the bottom chord, mm.
        pitch: slope of the top chord, rad; None when `height` is given.
        height: underside of bottom chord to the highest top edge, mm; None when `pitch` is given.
        heel_height: underside of bottom chord to top edge of top chord at x = 0, mm; None for the
            smallest that leaves a butt cut.
        panels: number of panels of the bottom chord.
        overhang: horizontal, each sloping end, mm.
        web_pattern: howe, pratt or warren, for shapes whose webs may run in more than one way.
        flat_height: underside of bottom chord to top edge of a flat top between slopes, mm.
        panel_lengths: of the panels from the left end to the right, mm; None where all are alike.
    """

    kind: str
    span: float
    pitch: float | None = None
    height: float | None = None
    heel_height: float | None = None
    panels: int | None = None
    overhang: float = 0.0
    web_pattern: str | None = None
    flat_height: float | None = None
    panel_lengths: tuple[float, ...] | None = None


ALWAYS: Final = ("kind", "span", "panels", "panel_lengths")
"""Keys that every shape takes."""
KEYS: Final = tuple(f.name for f in fields(ShapeSpec))


def given_keys(spec: ShapeSpec) -> frozenset[str]:
    """Keys of a shape that say something; an overhang of nothing says nothing."""
    empty = {f.name: None if f.name in ALWAYS else f.default for f in fields(spec)}
    return frozenset(k for k in KEYS if getattr(spec, k) != empty[k])
