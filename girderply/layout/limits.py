"""Least distances of nails and bolts in one member: the larger of rule set and standard.

The force between plies under a hung load is vertical, so its angle to the grain of a chord is
90 degrees less the chord's slope. Nobody knows on site which nail will be loaded which way, so
the least distance for every angle between that one and along the grain is kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from girderply.catalogue.types import Nail, Screw
from girderply.layout.brief import Brief
from girderply.layout.holes import hole_for
from girderply.model.girder import Member
from girderply.standards.en1995_1_1_2014.nailing import a_4_min_split_prone
from girderply.standards.en1995_1_1_2014.screws import screw_counts_as_bolt
from girderply.standards.en1995_1_1_2014.spacing import Distances, bolt_distances, nail_distances
from girderply.standards.nds_2018 import geometry
from girderply.units.exact import MM_PER_IN

EN_NAILS = "EN 1995-1-1:2004+A2:2014, Table 8.2"
EN_SPLIT = "EN 1995-1-1:2004+A2:2014, 8.3.1.2(7)"
EN_SCREWS = "EN 1995-1-1:2004+A2:2014, 8.7.1(4)"
EN_BOLTS = "EN 1995-1-1:2004+A2:2014, Table 8.4"
NDS_NAILS = "NDS 2018 Commentary, Table C12.1.6.6"
NDS_BOLTS = "NDS 2018, Tables 12.5.1A to D"


@dataclass(frozen=True, slots=True)
class Limits:
    """Least distances, mm: a1 along a row, a2 between rows, a3 to an end, a4 to an edge."""

    a1: float
    a2: float
    a3: float
    a4: float
    clause: str


def _worst(one: Distances, two: Distances) -> Distances:
    """The larger of each distance."""
    return Distances(*(max(getattr(one, f.name), getattr(two, f.name)) for f in fields(one)))


def _angles(member: Member) -> tuple[float, float]:
    """Angles to the grain that a force may have here, rad."""
    if not member.role.is_chord:
        return 0.0, 0.0
    lean = abs(math.sin(member.angle))
    return 0.0, math.acos(min(1.0, lean))


def nail_limits(brief: Brief, member: Member, nail: Nail) -> Limits:
    """Least distances of a nail in a member, mm."""
    own = brief.rules.limits
    if brief.standard.startswith("NDS"):
        base, clause = _nds_nail(brief, nail), NDS_NAILS
    else:
        base, clause = _en_nail(brief, member, nail)
    declared = nail.least if isinstance(nail, Screw) else (0.0,) * 4
    return Limits(
        a1=max(base.a1, (own.spacing_min_d or 0.0) * nail.d, declared[0]),
        a2=max(base.a2, declared[1]),
        a3=max(base.a3, (own.end_min_d or 0.0) * nail.d, own.end_min or 0.0, declared[2]),
        a4=max(base.a4, (own.edge_min_d or 0.0) * nail.d, own.edge_min or 0.0, declared[3]),
        clause=clause,
    )


def _en_nail(brief: Brief, member: Member, nail: Nail) -> tuple[Limits, str]:
    drilled, rho = hole_for(nail, brief.girder.predrilled) > 0, brief.rho_k
    if isinstance(nail, Screw) and screw_counts_as_bolt(1.1 * nail.d_root):
        return _en_thick_screw(member, nail)
    flat, steep = (nail_distances(nail.d, a, rho, predrilled=drilled) for a in _angles(member))
    worst = _worst(flat, steep)
    edge = worst.a_4_t if member.role.is_chord else worst.a_4_c
    clause = EN_NAILS
    if brief.girder.split_prone and brief.job.basis.split_clause and not drilled:
        need = a_4_min_split_prone(nail.d, rho)
        if need > edge:
            edge, clause = need, EN_SPLIT
    return Limits(worst.a_1, worst.a_2, worst.a_3_t, edge, clause), clause


def _en_thick_screw(member: Member, screw: Screw) -> tuple[Limits, str]:
    """Least distances of a screw that follows the rules of bolts."""
    flat, steep = (bolt_distances(screw.d, a) for a in _angles(member))
    worst, clause = _worst(flat, steep), f"{EN_SCREWS}; {EN_BOLTS}"
    edge = worst.a_4_t if member.role.is_chord else worst.a_4_c
    return Limits(worst.a_1, worst.a_2, worst.a_3_t, edge, clause), clause


def _nds_nail(brief: Brief, nail: Nail) -> Limits:
    least = geometry.nail_distances_in(nail.d / MM_PER_IN, prebored=brief.girder.predrilled)
    return Limits(
        a1=least.spacing_parallel * MM_PER_IN,
        a2=least.row_in_line * MM_PER_IN,
        a3=least.end_tension * MM_PER_IN,
        a4=least.edge * MM_PER_IN,
        clause=NDS_NAILS,
    )


def bolt_limits(brief: Brief, member: Member, d: float) -> Limits:
    """Least distances of a bolt of diameter `d` (mm) in a member, mm."""
    loaded = brief.job.fastening.transfer_by == "bolt" and member.role.is_chord
    own = brief.rules.bolts
    if brief.standard.startswith("NDS"):
        a1, a2, a3, a4 = _nds_bolt(brief, d, loaded)
        clause = NDS_BOLTS
    else:
        flat, steep = (bolt_distances(d, a) for a in _angles(member))
        w, clause = _worst(flat, steep), EN_BOLTS
        a1, a2 = w.a_1, w.a_2
        a3, a4 = (w.a_3_t, w.a_4_t) if loaded else (w.a_3_c, w.a_4_c)
    if own is not None:
        a2 = max(a2, (own.gauge_min_d or 0.0) * d)
        a1 = max(a1, (own.spacing_min_d or 0.0) * d)
        a3 = max(a3, (own.end_min_d or 0.0) * d)
        a4 = max(a4, (own.edge_min_d or 0.0) * d)
    return Limits(a1, a2, a3, a4, clause)


def _nds_bolt(brief: Brief, d: float, loaded: bool) -> tuple[float, float, float, float]:
    """Full-value distances of a bolt, loaded along the grain or across it, mm."""
    D_in, l_in = d / MM_PER_IN, brief.girder.ply_thickness / MM_PER_IN  # noqa: N806
    case = "end parallel tension softwood"
    rows = [geometry.row_spacing_parallel_in(D_in)]
    if loaded:
        rows.append(geometry.row_spacing_perpendicular_in(D_in, l_in))
    return (
        geometry.end_full_in(D_in, "spacing parallel") * MM_PER_IN,
        max(rows) * MM_PER_IN,
        geometry.end_full_in(D_in, case) * MM_PER_IN,
        geometry.edge_perpendicular_in(D_in, loaded=loaded) * MM_PER_IN,
    )
