"""Area, mass and centre of gravity of a ply, from the outlines as cut."""

from __future__ import annotations

import math

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

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
        girder: the girder.
        rho_mean: mean density, kg/m3.

    Raises:
        RangeError: when the density is not a positive number.
    """
    if not (math.isfinite(rho_mean) and rho_mean > 0):
        raise RangeError(f"rho_mean={rho_mean} kg/m3 must be more than zero")
    return ply_area(girder) * girder.ply_thickness * rho_mean * 1e-9


def centre_of_gravity(girder: Girder) -> Point:
    """Centre of gravity of a ply in elevation, mm: where a sling has to be above."""
    shapes = [Polygon(m.outline) for m in girder.members]
    total = sum(s.area for s in shapes)
    x = sum(s.area * s.centroid.x for s in shapes) / total
    y = sum(s.area * s.centroid.y for s in shapes) / total
    return (x, y)
