"""The drawing with names put on it: what was taken for what, to be looked at before it is used."""

from __future__ import annotations

import math

import numpy as np
from shapely import Polygon as Area

from girderply.drawing.page import Drawing
from girderply.drawing.placement import Placement
from girderply.drawing.primitives import Dot, Polygon, Shape, Text
from girderply.drawing.style import MEDIUM, PLATE_ASSUMED, SMALL, THIN
from girderply.drawing.svg import write_svg
from girderply.tracing.traced import TracedGirder

WIDTH, MARGIN, HEAD = 380.0, 15.0, 14.0  # paper mm
SIGN = 1.6


def picture(girder: TracedGirder, title: str) -> str:
    """An SVG of the members with their names, panel points, plates and bearings."""
    corners = np.array([p for o in girder.outlines.values() for p in o])
    low, high = corners.min(axis=0), corners.max(axis=0)
    scale = (WIDTH - 2 * MARGIN) / float(high[0] - low[0])
    height = float(high[1] - low[1]) * scale + 2 * MARGIN + HEAD
    drawing = Drawing("trace", WIDTH, height, title)
    origin = (MARGIN - float(low[0]) * scale, height - MARGIN + float(low[1]) * scale)
    place = Placement(origin, scale)
    drawing.place(place, *_shapes(girder))
    drawing.add(Text((MARGIN, MARGIN), title, anchor="start", bold=True))
    words = "black dot: panel point; dashed: nail plate"
    drawing.add(Text((MARGIN, MARGIN + 6), words, anchor="start"))
    _names(drawing, place, girder)
    return write_svg(drawing)


def _shapes(girder: TracedGirder) -> list[Shape]:
    shapes: list[Shape] = [Polygon(o, MEDIUM) for o in girder.outlines.values()]
    for plate in girder.plates:
        c, s = math.cos(plate.angle), math.sin(plate.angle)
        w, h = plate.width / 2, plate.height / 2
        box = tuple(
            (plate.centre[0] + c * x - s * y, plate.centre[1] + s * x + c * y)
            for x, y in ((-w, -h), (w, -h), (w, h), (-w, h))
        )
        shapes.append(Polygon(box, PLATE_ASSUMED))
    for b in girder.bearings:
        x, w = b.x, b.width / 2
        shapes.append(Polygon(((x - w, -60), (x + w, -60), (x + w, 0), (x - w, 0)), THIN))
    shapes += [Dot((n.x, n.y), SIGN) for n in girder.nodes]
    return shapes


def _names(drawing: Drawing, place: Placement, girder: TracedGirder) -> None:
    """Names of members along them, names of panel points beside them, where there is room."""
    obstacles = drawing.obstacles()
    at = {n.id: (n.x, n.y) for n in girder.nodes}
    for m in girder.members:
        a, b = at[m.nodes[0]], at[m.nodes[-1]]
        turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        centre = Area(girder.outlines[m.id]).centroid if m.id in girder.outlines else None
        middle = (centre.x, centre.y) if centre else ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        spots = (
            (middle[0] + k * (b[0] - a[0]), middle[1] + k * (b[1] - a[1]))
            for k in (0.0, 0.08, -0.08, 0.16, -0.16, 0.24, -0.24)
        )
        angle = place.reading(turn)
        drawing.label(
            (Text(place.point(p), m.id, angle=angle, bold=True, mask=True) for p in spots),
            obstacles,
        )
    for n in girder.nodes:
        spot = place.point((n.x, n.y))
        shifts = ((3.5, -3.0), (-3.5, -3.0), (3.5, 3.0), (-3.5, 3.0), (0.0, 5.0), (0.0, -5.0))
        drawing.label(
            (Text((spot[0] + dx, spot[1] + dy), n.id, SMALL, mask=True) for dx, dy in shifts),
            obstacles,
        )
