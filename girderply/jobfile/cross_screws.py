"""What a declared screw can be: values outside of what steel and timber do are slips of the pen.

The bounds follow from the root of the thread and from what screws are made of: common practice,
no source; a declaration of performance gives the values themselves.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final

from girderply.errors import Finding
from girderply.jobfile.paths import Loc, error
from girderply.units.parse import Dimension, QuantityError, parse_quantity
from girderply.units.short_text import shown
from girderply.units.show import Printed
from girderply.wording import ENGLISH

STEEL: Final = (200.0, 1800.0)  # N/mm2: from soft wire to hardened steel
THREAD: Final = (2.4, 24.0)  # mm: outer diameters of EN 14592, from memory
WITHDRAWAL: Final = (3.0, 40.0)  # N/mm2 across the grain
PULL_THROUGH: Final = (3.0, 80.0)  # N/mm2
HEAD: Final = (1.2, 5.0)  # times the thread
TOLD: Final = 500.0  # N/mm2: beyond this the schema of the job speaks
LONGEST: Final = 100.0  # times the thread
SLIPS: Final = (0.001, 1000.0, 0.01, 100.0, 0.1, 10.0)


def plausible_screw(entry: Mapping[str, Any], loc: Loc, system: str) -> Iterator[Finding]:
    """Values of one declared screw that no screw has, each with the likely slip.

    Args:
        entry: of the job file, as it is read.
        loc: where it stands.
        system: unit system of bare numbers.
    """
    show = Printed(system, ENGLISH)

    def read(name: str, dimension: Dimension) -> float | None:
        try:
            return parse_quantity(entry.get(name), dimension, system)
        except QuantityError:
            return None

    d, root = read("d", "length"), read("d_root", "length")
    lengths: Callable[[float], str] = show.diameter
    if d is not None:
        yield from _within(entry, loc, "d", d, THREAD, lengths)
        for name, (low, high) in {"head": HEAD, "length": (3.0, LONGEST)}.items():
            value = read(name, "length")
            yield from _within(entry, loc, name, value, (low * d, high * d), lengths)
    for name, bounds in {"withdrawal": WITHDRAWAL, "pull_through": PULL_THROUGH}.items():
        value = read(name, "stress")
        if value is not None and value <= TOLD:
            yield from _within(entry, loc, name, value, bounds, show.stress)
    if root is None or root <= 0:
        return
    area, bending = math.pi / 4 * root**2, root**3 / 6
    tension = (STEEL[0] * area, STEEL[1] * area)
    yield from _within(entry, loc, "tension", read("tension", "force"), tension, show.force)
    moment = entry.get("yield_moment")
    if isinstance(moment, int | float) and not isinstance(moment, bool):
        bounds = (STEEL[0] * bending, STEEL[1] * bending)
        yield from _within(entry, loc, "yield_moment", float(moment), bounds, _moment)


def _moment(value: float) -> str:
    return f"{value:.0f} Nmm"


def _within(
    entry: Mapping[str, Any],
    loc: Loc,
    name: str,
    value: float | None,
    bounds: tuple[float, float],
    said: Callable[[float], str],
) -> Iterator[Finding]:
    low, high = bounds
    if value is None or not math.isfinite(value) or value <= 0 or low <= value <= high:
        return
    message = f"{shown(entry.get(name))} is no {name} of such a screw: {said(low)} to {said(high)}"
    meant = [said(value * f) for f in SLIPS if low <= value * f <= high]
    tip = f"was {' or '.join(meant[:2])} meant? Look at its unit" if meant else ""
    yield error("no-such-screw", (*loc, name), message, tip)
