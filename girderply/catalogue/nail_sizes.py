"""Nails: the catalogue's tables, and any nail that a job spells out by its size."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache

from girderply.catalogue.catalogue_types import Nail
from girderply.catalogue.csv_files import Table, mm, number, required, table
from girderply.catalogue.find_by_name import squeeze, unknown
from girderply.errors import CatalogueError
from girderply.units.exact import MM_PER_IN, MPA_PER_PSI

# EN 14592 asks for wire of at least 600 N/mm2 and a head of at least 2.5 times the shank's area
# (values from memory, to be checked). Where no table gives a head, this least head is taken,
# which is the safe side for pulling through.
FU_LEAST = 600.0  # N/mm2
HEAD_LEAST = math.sqrt(2.5)  # multiples of d

_METRIC = (
    "nails_din_1151",
    "nails_din_1143",
    "nails_din_1144",
    "nails_wire_trade",
    "nails_gun_trade",
    "nails_ring_trade",
)
_TYPED = re.compile(r"(\d+(?:\.\d+)?)x(\d+(?:\.\d+)?)(ring)?(in)?(ring)?")
_D_RANGE = (1.8, 8.8)  # mm, what the tables hold
_LENGTH_RANGE = (20.0, 300.0)  # mm
_ALLOWED = (
    "a nail of the catalogue, or a size such as '3.1 x 82', '3.1 x 90 ring' (mm) or "
    f"'0.131 x 3 in', shank {_D_RANGE[0]} to {_D_RANGE[1]} mm, length {_LENGTH_RANGE[0]:g} to "
    f"{_LENGTH_RANGE[1]:g} mm and at least 10 shanks"
)


def nail(key: str) -> Nail:
    """The nail of this name, or of this size when the name is a size.

    Args:
        key: "4.0 x 100" (mm), "3.1 x 90 ring", "16d common" or "0.131 x 3 in". Spacing, "x"
            or "×" and a decimal comma are forgiven. A size that no table holds is taken as it
            stands, with `source` "typed in the job".

    Raises:
        CatalogueError: no such nail.
    """
    for known in nails():
        if squeeze(known.key) == squeeze(key):
            return known
    typed = _typed(key)
    if typed is None:
        raise unknown("nail", key, (n.key for n in nails()), _ALLOWED)
    return next((n for n in nails() if n.key == typed.key), typed)


@cache
def nails() -> tuple[Nail, ...]:
    """Every nail of the catalogue: metric by shank and length, then inches by kind."""
    metric: dict[str, Nail] = {}
    for name in _METRIC:
        for row in table(name).rows:
            _merge(metric, _metric_nail(table(name), row))
    ordered = sorted(metric.values(), key=lambda n: (n.surface != "smooth", n.d, n.length))
    return (*ordered, *_pennyweights(), *_gun_inch())


def f_yb(d: float) -> float | None:
    """Bending yield strength of a low to medium carbon steel nail by its diameter.

    [NDS 2018, table I1; value from memory, to be checked]

    Args:
        d: shank diameter, mm.

    Returns:
        N/mm2, or None outside the table (2.5 to 9.5 mm).
    """
    for i, row in enumerate(table("nails_nds_f_yb").rows):
        over, up_to = required(row, "d_over_in"), required(row, "d_up_to_in")
        size = round(d / MM_PER_IN, 6)
        if over < size <= up_to or (i == 0 and size == over):
            return required(row, "F_yb_psi") * MPA_PER_PSI
    return None


def _merge(found: dict[str, Nail], new: Nail) -> None:
    """Keep one nail per size: both sources, and the head of whichever table gives it."""
    old = found.get(new.key)
    if old is None:
        found[new.key] = new
        return
    head = new.head if "head" in old.mark else old.head
    mark = new.mark if "head" in old.mark else old.mark
    found[new.key] = replace(old, head=head, mark=mark, source=f"{old.source}; {new.source}")


def _metric_nail(source: Table, row: dict[str, str]) -> Nail:
    d, length = required(row, "d_mm"), required(row, "length_mm")
    head, mark = _head(number(row, "head_mm"), d, row["mark"] or source.mark)
    kind = f" {row['kind']}" if row["kind"] else ""
    return Nail(
        key=f"{_metric_key(d, length)}{kind}",
        d=d,
        length=length,
        head=head,
        fu=FU_LEAST,
        surface=row["surface"],
        source=source.source,
        mark=mark,
    )


def _pennyweights() -> tuple[Nail, ...]:
    source = table("nails_nds_l4")
    return tuple(
        Nail(
            key=f"{row['pennyweight']} {row['type']}",
            d=mm(required(row, "d_in")),
            length=mm(required(row, "length_in")),
            head=mm(required(row, "head_in")),
            fu=FU_LEAST,
            f_yb=required(row, "F_yb_psi") * MPA_PER_PSI,
            pennyweight=row["pennyweight"],
            source=source.source,
            mark=row["mark"] or source.mark,
        )
        for row in source.rows
    )


def _gun_inch() -> tuple[Nail, ...]:
    source = table("nails_gun_inch")
    return tuple(
        replace(
            _inch_nail(required(row, "d_in"), required(row, "length_in")),
            source=source.source,
            mark=_head(None, 1.0, row["mark"] or source.mark)[1],
        )
        for row in source.rows
    )


def _inch_nail(d: float, length: float) -> Nail:
    return Nail(
        key=f"{d:.3f} x {length:g} in",
        d=mm(d),
        length=mm(length),
        head=HEAD_LEAST * mm(d),
        fu=FU_LEAST,
        f_yb=f_yb(mm(d)),
    )


def _head(head: float | None, d: float, mark: str) -> tuple[float, str]:
    if head is not None:
        return head, mark
    return HEAD_LEAST * d, f"{mark}; head not published: the least of EN 14592 (from memory)"


def _metric_key(d: float, length: float) -> str:
    return f"{d:.1f} x {length:g}" if round(d, 1) == d else f"{d:g} x {length:g}"


def _typed(key: str) -> Nail | None:
    """A nail from its size alone, or None when the text is no size of a nail."""
    match = _TYPED.fullmatch(squeeze(key))
    if match is None:
        return None
    d, length = float(match[1]), float(match[2])
    ring = bool(match[3] or match[5])
    made = _inch_nail(d, length) if match[4] else _typed_metric(d, length)
    _refuse_odd_size(key, made)
    surface, end = ("other", " ring") if ring else ("smooth", "")
    mark = _head(None, made.d, "as typed; fu: the least of EN 14592 (from memory)")[1]
    return replace(made, key=made.key + end, surface=surface, source="typed in the job", mark=mark)


def _typed_metric(d: float, length: float) -> Nail:
    return Nail(_metric_key(d, length), d, length, HEAD_LEAST * d, FU_LEAST)


def _refuse_odd_size(key: str, made: Nail) -> None:
    in_range = _D_RANGE[0] <= made.d <= _D_RANGE[1]
    in_range &= _LENGTH_RANGE[0] <= made.length <= _LENGTH_RANGE[1]
    if not in_range or made.length < 10 * made.d:
        raise CatalogueError(f"{key!r} is not the size of a nail; allowed: {_ALLOWED}")
