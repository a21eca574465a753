"""What one unit of a drawing is: said, or the only one that makes a girder of its size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from girderply.errors import Finding
from girderply.tracing.drawing import Drawing, Guess, Options, refusal
from girderply.wording import figures, said

MM: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
LENGTHS: Final = (1500.0, 60_000.0)  # of a girder, mm
DEPTHS: Final = (35.0, 620.0)  # of its deepest member, mm


def unit_of(
    drawing: Drawing, length: float, depth: float, options: Options
) -> tuple[float, list[Guess], list[Finding]]:
    """How many mm one unit is, with the scale in it; what was guessed; why it is refused.

    `length` and `depth` are those of the whole and of its deepest long member, in drawing units.
    """
    if options.unit and options.unit not in MM:
        known = ", ".join(MM)
        return 1.0, [], [refusal("unit", "unit", f'"{options.unit}" is none of {known}')]
    fitting = list(_fitting(length * options.scale, depth * options.scale))
    stated = options.unit or drawing.unit
    if stated and (stated in fitting or options.unit):
        return MM[stated] * options.scale, [], []
    if len(fitting) == 1 and not stated:
        (unit,) = fitting
        size = figures(_size(length, unit, options))
        why = said("tracing.why_unit", unit=unit, size=size)
        return MM[unit] * options.scale, [Guess("drawing.unit", unit, why)], []
    return 1.0, [], [_unclear(fitting, stated, length, options)]


def _size(length: float, unit: str, options: Options) -> str:
    return f"{length * MM[unit] * options.scale / 1000:.3f} m"


def _fitting(length: float, depth: float) -> Iterator[str]:
    for unit, size in MM.items():
        if LENGTHS[0] <= length * size <= LENGTHS[1] and DEPTHS[0] <= depth * size <= DEPTHS[1]:
            yield unit


def _unclear(fitting: list[str], stated: str, length: float, options: Options) -> Finding:
    if stated:
        message = (
            f"the file says {stated}, but then the girder is {_size(length, stated, options)} long"
        )
    elif fitting:
        sizes = " or ".join(f"{u} ({_size(length, u, options)} long)" for u in fitting)
        message = f"the file names no unit and may be in {sizes}"
    else:
        message = f"in no unit is this the size of a girder; it is {length:g} units long"
    tip = "say it: --unit mm (cm, m, in, ft), with --scale 20 for a drawing at 1:20"
    return refusal("unit", "unit", message, tip)


def scaled(drawing: Drawing, mm: float) -> Drawing:
    """The drawing in mm."""

    def point(p: tuple[float, float]) -> tuple[float, float]:
        return p[0] * mm, p[1] * mm

    return replace(
        drawing,
        outlines=[replace(o, corners=tuple(map(point, o.corners))) for o in drawing.outlines],
        words=[(text, point(p)) for text, p in drawing.words],
        points=[(point(p), layer) for p, layer in drawing.points],
        plates=[replace(o, corners=tuple(map(point, o.corners))) for o in drawing.plates],
        unit="mm",
    )
