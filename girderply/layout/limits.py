"""Least distances of nails and bolts in one member: the larger of rule set and standard.

The force between plies under a hung load is vertical, so its angle to the grain of a chord is
90 degrees less the chord's slope. Nobody knows on site which nail will be loaded which way, so
the least distance for every angle between that one and along the grain is kept.
"""

from __future__ import annotations

import math

from girderply.bases.answers import Limits, Place
from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.layout.brief import Brief
from girderply.layout.holes import hole_for
from girderply.model.girder import Member


def place_of(brief: Brief, member: Member) -> Place:
    """A member as the basis asks for it; the force between plies is vertical."""
    lean = abs(math.sin(member.angle))
    chord, girder = member.role.is_chord, brief.girder
    return Place(
        alpha=math.acos(min(1.0, lean)) if chord else 0.0,
        chord=chord,
        rho_k=brief.rho_k,
        thickness=girder.ply_thickness,
        predrilled=girder.predrilled,
        split_prone=girder.split_prone,
    )


def nail_limits(brief: Brief, member: Member, nail: Nail) -> Limits:
    """Least distances of a nail in a member, mm."""
    own, spec = brief.rules.limits, brief.job.basis
    hole = hole_for(brief, nail)
    base = brief.basis.nail_distances(spec, nail, hole, place_of(brief, member))
    declared = nail.least if isinstance(nail, Screw) else (0.0,) * 4
    return Limits(
        a1=max(base.a1, (own.spacing_min_d or 0.0) * nail.d, declared[0]),
        a2=max(base.a2, declared[1]),
        a3=max(base.a3, (own.end_min_d or 0.0) * nail.d, own.end_min or 0.0, declared[2]),
        a4=max(base.a4, (own.edge_min_d or 0.0) * nail.d, own.edge_min or 0.0, declared[3]),
        clause=base.clause,
    )


def bolt_limits(brief: Brief, member: Member, d: float) -> Limits:
    """Least distances of a bolt of diameter `d` (mm) in a member, mm."""
    loaded = brief.job.fastening.transfer_by == FastenerKind.BOLT and member.role.is_chord
    own = brief.rules.bolts
    base = brief.basis.bolt_distances(brief.job.basis, d, place_of(brief, member), loaded)
    if own is None:
        return base
    return Limits(
        a1=max(base.a1, (own.spacing_min_d or 0.0) * d),
        a2=max(base.a2, (own.gauge_min_d or 0.0) * d),
        a3=max(base.a3, (own.end_min_d or 0.0) * d),
        a4=max(base.a4, (own.edge_min_d or 0.0) * d),
        clause=base.clause,
    )
