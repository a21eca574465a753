"""Least distances and points by NDS."""

from __future__ import annotations

from girderply.bases.answers import Least, Limits, Place
from girderply.standards.nds_2018 import DOCUMENT, geometry
from girderply.standards.nds_2018.penetration import LIGHT, lead_hole_in, p_min_in
from girderply.units.exact import MM_PER_IN

NAILS = f"{DOCUMENT} Commentary, Table C12.1.6.6"
BOLTS = f"{DOCUMENT}, Tables 12.5.1A to D"


def nail_distances(d: float, place: Place) -> Limits:
    """Recommended least distances of a nail of diameter `d`, mm."""
    least = geometry.nail_distances_in(d / MM_PER_IN, prebored=place.predrilled)
    return Limits(
        a1=least.spacing_parallel * MM_PER_IN,
        a2=least.row_in_line * MM_PER_IN,
        a3=least.end_tension * MM_PER_IN,
        a4=least.edge * MM_PER_IN,
        clause=NAILS,
    )


def bolt_distances(d: float, place: Place, loaded: bool) -> Limits:
    """Full-value distances of a bolt of diameter `d` (mm), loaded along the grain or across it."""
    D_in, l_in = d / MM_PER_IN, place.thickness / MM_PER_IN
    rows = [geometry.row_spacing_parallel_in(D_in)]
    if loaded:
        rows.append(geometry.row_spacing_perpendicular_in(D_in, l_in))
    return Limits(
        geometry.end_full_in(D_in, "spacing parallel") * MM_PER_IN,
        max(rows) * MM_PER_IN,
        geometry.end_full_in(D_in, "end parallel tension softwood") * MM_PER_IN,
        geometry.edge_perpendicular_in(D_in, loaded=loaded) * MM_PER_IN,
        BOLTS,
    )


def nail_hole(d: float, G: float | None) -> float:
    """Greatest hole for a nail of diameter `d`, mm; that of light timber where `G` is not known."""
    return lead_hole_in(d / MM_PER_IN, G or LIGHT) * MM_PER_IN


def point(d: float) -> Least:
    """Least penetration of a nail of diameter `d`, mm."""
    return Least(p_min_in(d / MM_PER_IN) * MM_PER_IN, f"{DOCUMENT}, 12.1.6.4")
