"""DXF drawings of girders as different hands would draw them, by ezdxf's own writer."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path

import ezdxf
from shapely import affinity
from shapely.geometry import Polygon

from girderply.model.girder import Girder
from girderply.tracing.traced import TracedGirder

Way = Callable[[Polygon], Polygon]


def drawn(
    path: Path,
    girder: Girder,
    *,
    way: Way = lambda p: p,
    as_lines: bool = False,
    layers: tuple[str, str] = ("TIMBER", "METAL"),
    insunits: int = 4,
    version: str = "R2010",
    words: bool = True,
    block: bool = False,
) -> Path:
    """Draw members and plates of a girder.

    Args:
        path: of the file.
        girder: whose outlines are drawn.
        way: what is done to each outline, such as turning it.
        as_lines: single lines whose ends meet, instead of closed polylines.
        layers: of members and of plates.
        insunits: code of the unit in the header; 0 for none.
        version: of the format.
        words: names of the members are written on them.
        block: everything in one block, inserted at half its size.
    """
    file = ezdxf.new(version)
    file.header["$INSUNITS"] = insunits
    space = file.blocks.new("TRUSS") if block else file.modelspace()
    for m in girder.members:
        shape = way(Polygon(m.outline))
        _outline(space, shape, layers[0], as_lines)
        if words:
            at = shape.centroid.coords[0]
            space.add_text(m.id, height=20, dxfattribs={"layer": "TEXT"}).set_placement(at)
    for plate in girder.plates:
        _outline(space, way(Polygon(plate.outline)), layers[1], False)
    if block:
        file.modelspace().add_blockref("TRUSS", (1234.5, -77.7), {"xscale": 0.5, "yscale": 0.5})
    file.saveas(path)
    return path


def _outline(space, shape: Polygon, layer: str, as_lines: bool) -> None:
    corners = list(shape.exterior.coords)
    if as_lines:
        for a, b in pairwise(corners):
            space.add_line(a, b, {"layer": layer})
    elif space.doc is not None and space.doc.dxfversion < "AC1015":
        space.add_polyline2d(corners[:-1], close=True, dxfattribs={"layer": layer})
    else:
        space.add_lwpolyline(corners[:-1], close=True, dxfattribs={"layer": layer})


def turned(degrees: float, dx: float, dy: float, scale: float = 1.0) -> Way:
    """Turn about the origin, move, and scale."""

    def way(shape: Polygon) -> Polygon:
        there = affinity.rotate(shape, degrees, origin=(0, 0))
        return affinity.scale(affinity.translate(there, dx, dy), scale, scale, origin=(0, 0))

    return way


def same_girder(traced: TracedGirder, girder: Girder, tolerance: float = 0.1) -> None:
    """Members by name have the same roles, depths and outlines; joints lie in the same places."""
    assert sorted(m.id for m in traced.members) == sorted(m.id for m in girder.members)
    for m in traced.members:
        wanted = girder.member(m.id)
        assert m.role == wanted.role, m.id
        assert abs(m.depth - wanted.depth) < tolerance
        outline = Polygon(traced.outlines[m.id])
        assert outline.hausdorff_distance(Polygon(wanted.outline)) < tolerance, m.id
    at = {n.id: (n.x, n.y) for n in traced.nodes}
    _joints(traced, girder, at, tolerance)


def _joints(
    traced: TracedGirder, girder: Girder, at: dict[str, tuple[float, float]], tolerance: float
) -> None:
    """Where three members and more meet, or two chords off the heels."""
    meet: dict[frozenset[str], Sequence[float]] = {}
    for name, place in at.items():
        meet[frozenset(m.id for m in traced.members if name in m.nodes)] = place
    for joint in girder.joints:
        place = meet[frozenset(joint.members)]
        heel = {m[:2] for m in joint.members} >= {"TC", "BC"}
        if not heel:  # a heel's point lies where the centrelines cross, which may be in the air
            assert math.dist(place, (joint.x, joint.y)) < tolerance, joint.id
