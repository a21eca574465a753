"""Solids that stand in one plane as a `Drawing`: their silhouettes, plies counted.

The plane is the one that most of their surface lies in; it is looked at from the front (from -y
for an upright one, from above for one that lies flat). Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from shapely import Polygon, union_all

from girderply.errors import TraceError
from girderply.model.girder import Array
from girderply.tracing.drawing import Drawing, Outline, Point, refusal

SAME: Final = 2.0  # middles of one ply lie within this, mm
THICK: Final = 160.0  # a member thicker than this across the plane is none, mm


@dataclass(frozen=True, slots=True)
class Solid:
    """One part of a model.

    Attributes:
        corners: (k, 3), mm. faces: corners of each face by number, three and more.
        hook: where it is measured from, if the file says so, (3,).
    """

    name: str
    corners: Array
    faces: Sequence[Sequence[int]]
    timber: str = ""
    hook: Array | None = None


@dataclass(frozen=True, slots=True)
class View:
    """Axes of a view: to the right, up, and away from the eye."""

    right: Array
    up: Array
    away: Array

    def flat(self, corners: Array) -> Array:
        """(k, 3) corners as (k, 2) of the view."""
        return np.column_stack([corners @ self.right, corners @ self.up])


def view_of(solids: Sequence[Solid]) -> View:
    """The plane that most of the surface lies in."""
    normals, areas = [], []
    for s in solids:
        for face in s.faces:
            n = _normal(s.corners[list(face)])
            area = float(np.linalg.norm(n))
            if area > 1.0:
                normals.append(n / area)
                areas.append(area)
    across = np.array(normals)
    same = np.abs(across @ across.T) > 0.9999
    best = int(np.argmax(same @ np.array(areas)))
    return _view(across[best])


def _normal(points: Array) -> Array:
    """Twice the area vector of a polygon."""
    after = np.roll(points, -1, axis=0)
    return np.asarray(np.cross(points - points[0], after - points[0]).sum(axis=0))


def _view(n: Array) -> View:
    if abs(n[2]) > 0.99:
        n = np.array([0.0, 0.0, -1.0])
        up = np.array([0.0, 1.0, 0.0])
    else:
        n = n if (n[1], n[0]) > (-1e-9, 0) or n[1] > 1e-9 else -n
        up = np.array([0.0, 0.0, 1.0]) - n[2] * n
        up /= np.linalg.norm(up)
    return View(np.cross(n, up), up, n)


def drawing_of(solids: Sequence[Solid], plates: Sequence[Solid], name: str) -> Drawing:
    """The silhouettes of the front ply, and how many plies there are.

    Raises:
        TraceError: no solid, or they do not stand in one plane.
    """
    if not solids:
        raise TraceError([refusal("no-member", name, "holds no member")])
    view = view_of(solids)
    layers = _layers(solids, view)
    thickness = float(np.median([_across(s, view)[1] for s in solids]))
    fronts = layers[0]
    if any(len(x) != len(fronts) for x in layers) or thickness > THICK:
        counts = ", ".join(str(len(x)) for x in layers[:8])
        message = f"its members do not stand in plies: behind each other there are {counts}"
        tip = "name the assembly, or the members, with --members"
        raise TraceError([refusal("not-in-plies", name, message, tip)])
    front = _across(fronts[0], view)[0]
    near = [p for p in plates if _across(p, view)[0] < front]
    drawing = Drawing(sure=True, unit="mm", thickness=thickness)
    drawing.plies = len(layers) if len(layers) > 1 else None
    drawing.outlines = [_outline(s, view) for s in fronts]
    drawing.plates = [replace(_outline(p, view), name="") for p in near]
    drawing.points = [
        ((float(s.hook @ view.right), float(s.hook @ view.up)), "HOOK-ENDS")
        for s in fronts
        if s.hook is not None
    ]
    return drawing


def _across(s: Solid, view: View) -> tuple[float, float]:
    """Middle and thickness across the view, mm."""
    depth = s.corners @ view.away
    return float(depth.min() + depth.max()) / 2, float(depth.max() - depth.min())


def _layers(solids: Sequence[Solid], view: View) -> list[list[Solid]]:
    by_depth = sorted(solids, key=lambda s: _across(s, view)[0])
    layers: list[list[Solid]] = []
    last = -np.inf
    for s in by_depth:
        middle = _across(s, view)[0]
        if middle - last > SAME:
            layers.append([])
        layers[-1].append(s)
        last = middle
    return layers


def _outline(s: Solid, view: View) -> Outline:
    """The outline that a solid shows: all its faces seen at once, holes filled."""
    flat = view.flat(s.corners)
    faces = [Polygon(flat[list(f)]) for f in s.faces]
    seen = union_all([f.buffer(0) for f in faces if f.area > 1e-3], grid_size=1e-4)
    whole = max(getattr(seen, "geoms", [seen]), key=lambda g: g.area)
    corners: tuple[Point, ...] = tuple((float(x), float(y)) for x, y in whole.exterior.coords[:-1])
    return Outline(corners, "", s.name, "", s.timber)
