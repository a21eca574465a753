"""Keyword guards: the argument's own name is in the message, NaN and infinity go first.

`positive(d=d, rho_k=rho_k)` passes in silence or raises `RangeError` naming the first fault.
"""

from __future__ import annotations

import math
from collections.abc import Collection

from girderply.errors import RangeError


def finite(**values: float) -> None:
    """Refuse NaN, infinities and what is no number at all.

    Raises:
        RangeError: naming the argument.
    """
    for name, value in values.items():
        if isinstance(value, (bool, str, bytes)) or not math.isfinite(value):
            raise RangeError(f"{name} must be a finite number, not {value!r}")


def positive(**values: float) -> None:
    """Refuse what is not finite and greater than zero.

    Raises:
        RangeError: naming the argument.
    """
    finite(**values)
    for name, value in values.items():
        if value <= 0:
            raise RangeError(f"{name} must be greater than 0, not {value!r}")


def not_negative(**values: float) -> None:
    """Refuse what is not finite, or is less than zero.

    Raises:
        RangeError: naming the argument.
    """
    finite(**values)
    for name, value in values.items():
        if value < 0:
            raise RangeError(f"{name} must not be negative, not {value!r}")


def within(low: float, high: float, **values: float) -> None:
    """Refuse what is not finite, or lies outside [low, high].

    Raises:
        RangeError: naming the argument and the limits.
    """
    finite(**values)
    for name, value in values.items():
        if not low <= value <= high:
            raise RangeError(f"{name} must be between {low!r} and {high!r}, not {value!r}")


def count(least: int = 1, /, **values: int) -> None:
    """Refuse what is not a whole number of at least `least`.

    Raises:
        RangeError: naming the argument.
    """
    for name, value in values.items():
        if isinstance(value, bool) or not isinstance(value, int) or value < least:
            raise RangeError(f"{name} must be a whole number of at least {least}, not {value!r}")


def choice(allowed: Collection[object], **values: object) -> None:
    """Refuse what is not one of the allowed words, to the letter.

    Raises:
        RangeError: naming the argument and every allowed word.
    """
    for name, value in values.items():
        if value not in allowed:
            words = ", ".join(repr(a) for a in allowed)
            raise RangeError(f"{name} must be one of {words}, not {value!r}")
