"""Protection of fasteners against corrosion (4.2)."""

from __future__ import annotations

from girderply.standards import guards
from girderply.standards.tables import load

THIN = 4.0  # mm, nails and screws up to this ask for more


def least_protection(d: float, service_class: int, *, bolt: bool) -> str:
    """Least protection of a nail, screw or bolt.

    [EN 1995-1-1:2004+A2:2014, 4.2(2), Table 4.1]

    Args:
        d: diameter, mm.
        service_class: one of 1, 2, 3.
        bolt: True for a bolt or dowel, False for a nail or screw.

    Returns:
        The protection, one of "bare", "Fe/Zn 12c", "Fe/Zn 25c".

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    guards.choice((1, 2, 3), service_class=service_class)
    fastener = "other" if bolt or d > THIN else "thin nail or screw"
    row = load(__package__, "table_4_1").row(fastener=fastener, service_class=str(service_class))
    return row["protection"]
