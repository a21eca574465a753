"""A small sketch of each shape, for lists that offer them: centrelines of a usual girder."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from girderply.shapes.shape import Shape
from girderply.shapes.shape_spec import ShapeSpec
from girderply.shapes.sizes import settle
from girderply.shapes.skeleton import skeleton

Polyline = tuple[tuple[float, float], ...]

SPAN: Final = 8000.0
_DEPTHS: Final = {"top chord": 145.0, "bottom chord": 145.0, "web": 95.0}
_USUAL: Final = {"pitch": math.radians(22.5), "height": 1300.0, "flat_height": 1300.0}


def usual_spec(shape: Shape, span: float, usual: Mapping[str, float]) -> ShapeSpec:
    """A shape with the first key of every group that it needs.

    Args:
        shape: the trade shape.
        span: mm.
        usual: what stands for pitch (rad), height and flat_height (mm).
    """
    values = {group[0]: usual[group[0]] for group in shape.needs}
    return ShapeSpec(shape.kind, span, **values)  # type: ignore[arg-type]


def sketch(shape: Shape, width: float = 100.0) -> tuple[Polyline, ...]:
    """Centrelines of a usual girder of this shape as polylines, x to the right and y up.

    Args:
        shape: the trade shape.
        width: of the sketch; the heights follow.

    Returns:
        A polyline per member, chords first, rounded to hundredths; the lowest point lies at y = 0.
    """
    sizes = settle(usual_spec(shape, SPAN, _USUAL), shape, _DEPTHS, 6.0)
    lines = skeleton(sizes).lines()
    low = min(y for line in lines for _, y in line)
    left = min(x for line in lines for x, _ in line)
    right = max(x for line in lines for x, _ in line)
    scale = width / (right - left)
    return tuple(
        tuple((round((x - left) * scale, 2), round((y - low) * scale, 2)) for x, y in line)
        for line in lines
    )
