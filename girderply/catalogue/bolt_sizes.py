"""Bolts and washers of the catalogue."""

from __future__ import annotations

from functools import cache

from girderply.catalogue.catalogue_types import Bolt, Washer
from girderply.catalogue.csv_files import Table, mm, required, table
from girderply.catalogue.find_by_name import pick
from girderply.units.exact import MM_PER_IN, MPA_PER_PSI

_WASHERS = {
    "DIN 436": "washers_din_436",
    "ISO 7094": "washers_iso_7094",
    "ISO 7093-1": "washers_iso_7093_1",
    "ISO 7089": "washers_iso_7089",
    "ISO 7091": "washers_iso_7091",
    "cut": "washers_nds_l6",
}


def bolt(key: str) -> Bolt:
    """The bolt of this size.

    Args:
        key: "M12" or "1/2 in"; spacing is forgiven.

    Raises:
        CatalogueError: no such bolt.
    """
    return pick("bolt", key, {b.key: b for b in bolts()})


@cache
def bolts() -> tuple[Bolt, ...]:
    """Every bolt of the catalogue: metric, then inches, each by diameter."""
    return (*_metric_bolts(), *_inch_bolts())


def washer(key: str) -> Washer:
    """The washer of this standard and size.

    Args:
        key: "DIN 436 M12", "ISO 7094 M12" or "cut 1/2 in"; spacing is forgiven.

    Raises:
        CatalogueError: no such washer.
    """
    return pick("washer", key, {w.key: w for w in washers()})


@cache
def washers() -> tuple[Washer, ...]:
    """Every washer of the catalogue, by standard, then by size."""
    return tuple(
        _washer(standard, table(name), row)
        for standard, name in _WASHERS.items()
        for row in table(name).rows
    )


def _metric_bolts() -> tuple[Bolt, ...]:
    source = table("bolts_iso_4014")
    listed = [required(r, "length_mm") for r in table("bolts_iso_4014_lengths").rows]
    made = []
    for row in source.rows:
        d = required(row, "d_mm")
        least, most = required(row, "length_min_mm"), required(row, "length_max_mm")
        made.append(
            Bolt(
                key=row["key"],
                d=d,
                pitch=required(row, "pitch_mm"),
                head_height=required(row, "head_height_mm"),
                nut_height=required(row, "nut_height_mm"),
                across_flats=required(row, "across_flats_mm"),
                hole=d + 1.0,  # EN 1995-1-1, 10.4.3(1): no more than 1 mm larger than the bolt
                hole_max=d + 1.0,
                lengths=tuple(length for length in listed if least <= length <= most),
                fu=required(row, "fu_N_mm2"),
                fy=required(row, "fy_N_mm2"),
                source=source.source,
                mark=source.mark,
            )
        )
    return tuple(made)


def _inch_bolts() -> tuple[Bolt, ...]:
    source = table("bolts_nds_l1")
    lengths = tuple(mm(required(r, "length_in")) for r in table("bolts_inch_lengths").rows)
    made = []
    for row in source.rows:
        d = required(row, "d_in")
        made.append(
            Bolt(
                key=row["key"],
                d=mm(d),
                pitch=MM_PER_IN / required(row, "threads_per_in"),
                head_height=mm(required(row, "head_height_in")),
                nut_height=mm(required(row, "nut_height_in")),
                across_flats=mm(required(row, "across_flats_in")),
                hole=mm(d + 1 / 16),  # NDS 2018, 12.1.3.2: 1/32 to 1/16 in larger
                hole_max=mm(d + 1 / 16),
                lengths=lengths,
                fu=required(row, "fu_psi") * MPA_PER_PSI,
                fy=required(row, "fy_psi") * MPA_PER_PSI,
                imperial=True,
                source=source.source,
                mark=source.mark,
            )
        )
    return tuple(made)


def _washer(standard: str, source: Table, row: dict[str, str]) -> Washer:
    def size(what: str) -> float:
        metric = f"{what}_mm" in row
        return required(row, f"{what}_mm") if metric else mm(required(row, f"{what}_in"))

    return Washer(
        key=f"{standard} {row['bolt']}",
        bolt=row["bolt"],
        shape=row["shape"],
        hole=size("hole"),
        outer=size("outer"),
        thickness=size("thickness"),
        source=source.source,
        mark=source.mark,
    )
