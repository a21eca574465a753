"""What a plank of inches is called: 2x8 for 1 1/2 by 7 1/4."""

from __future__ import annotations

from typing import Final

from girderply.catalogue.csv_files import required, table
from girderply.units.exact import MM_PER_IN

_NEAR: Final = 0.5  # mm; a job may round a sixteenth


def nominal_size(thickness: float, depth: float) -> str | None:
    """The nominal size of a plank, or None where it has none.

    [NDS Supplement 2018, Table 1A; from memory]

    Args:
        thickness: as dressed, mm.
        depth: as dressed, mm.
    """
    names = [_nominal(thickness), _nominal(depth)]
    return "x".join(name for name in names if name) if all(names) else None


def _nominal(actual: float) -> str | None:
    rows = table("timber_nominal_inch").rows
    near = (r for r in rows if abs(required(r, "actual_in") * MM_PER_IN - actual) <= _NEAR)
    return next((r["nominal"] for r in near), None)
