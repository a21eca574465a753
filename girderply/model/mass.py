"""Area, mass and centre of gravity of a ply, from the outlines as cut."""

from __future__ import annotations

import math

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from girderply.catalogue import timber as timber_named
from girderply.errors import RangeError
from girderply.jobfile.job import Point
from girderply.model.girder import Girder


def timber(girder: Girder) -> BaseGeometry:
    """All outlines of a ply as one geometry, mm."""
    return shapely.union_all([Polygon(m.outline) for m in girder.members])


def ply_area(girder: Girder) -> float:
    """Net area of one ply in elevation, mm2."""
    return float(sum(Polygon(m.outline).area for m in girder.members))


def ply_mass(girder: Girder, rho_mean: float) -> float:
    """Mass of the timber of one ply, kg; plates and fasteners are not in it.

    Args:
        girder: the girder; members of another timber have their own density.
        rho_mean: mean density of the girder's timber, kg/m3.

    Raises:
        RangeError: when the density is not a positive number.
    """
    if not (math.isfinite(rho_mean) and rho_mean > 0):
        raise RangeError(f"rho_mean={rho_mean} kg/m3 must be more than zero")
    more = sum(
        Polygon(m.outline).area * (timber_named(m.timber).rho_mean - rho_mean)
        for m in girder.members
        if m.timber
    )
    return (ply_area(girder) * rho_mean + more) * girder.ply_thickness * 1e-9


def centre_of_gravity(girder: Girder) -> Point:
    """Centre of gravity of a ply in elevation, mm: where a sling has to be above."""
    usual = timber_named(girder.timber).rho_mean if any(m.timber for m in girder.members) else 1.0
    shapes = [Polygon(m.outline) for m in girder.members]
    heavy = [timber_named(m.timber).rho_mean / usual if m.timber else 1.0 for m in girder.members]
    weights = [s.area * h for s, h in zip(shapes, heavy, strict=True)]
    total = sum(weights)
    x = sum(w * s.centroid.x for w, s in zip(weights, shapes, strict=True)) / total
    y = sum(w * s.centroid.y for w, s in zip(weights, shapes, strict=True)) / total
    return (x, y)
