"""Scales of ISO 5455 (value from memory), and the largest one at which a thing fits."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.errors import RangeError

SCALES = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
# Scales between, where a sheet would be half empty with those; ISO 5455 lets them be chosen in
# exceptional cases (from memory). Each sheet says its own.
FINE = (1, 2, 5, 10, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500, 1000)


def fitting_scale(
    width: float, height: float, room: tuple[float, float], scales: Sequence[int] = SCALES
) -> int:
    """The largest scale 1:n, as n, at which width x height mm fits in room mm x mm.

    Raises:
        RangeError: nothing in the series is small enough.
    """
    for n in scales:
        if width / n <= room[0] + 1e-9 and height / n <= room[1] + 1e-9:
            return n
    raise RangeError(f"{width:g} x {height:g} mm does not fit on {room[0]:g} x {room[1]:g} mm")


def scale_words(n: int) -> str:
    """How a scale is written: 1:50."""
    return f"1:{n}"
