"""The timber of a strip: outline, centreline, plates, brackets, hook end, break lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from shapely import Polygon as Area
from shapely import box as rectangle
from shapely.geometry.base import BaseGeometry

from girderply.drawing import style, symbols
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Box, Drawing
from girderply.drawing.placement import Placement
from girderply.drawing.primitives import Line, Point, Polygon, Polyline, Shape, Text
from girderply.drawing.strip_plan import Piece, StripPlan
from girderply.model.girder import Member, Plate
from girderply.schedule.types import Schedule


def timber(schedule: Schedule, piece: Piece, plan: StripPlan) -> list[Shape]:
    """Outline, centreline, plates, brackets and break lines of one piece, in local mm."""
    member, n = piece.member, plan.scale
    box = (piece.start - 1.0 * piece.first, piece.end + 1.0 * piece.last)
    shapes: list[Shape] = [
        Polygon(ring, style.MEDIUM, 1.0, tag="timber")
        for ring in _clip(symbols.as_points(member.to_local(member.outline)), box)
    ]
    shapes.append(Line((piece.start, 0.0), (piece.end, 0.0), style.CENTRE))
    for plate, local in _plates_on(schedule, member, box):
        for ring in _clip_to_member(local, member, box):
            pen = style.PLATE_ASSUMED if plate.assumed else style.PLATE
            shapes.append(Polygon(ring, pen, tag="plate"))
            if not plate.assumed:
                shapes += symbols.hatch(ring, 2.0 * n)
    for load in schedule.girder.loads:
        if load.chord == member.id and load.footprint is not None:
            pen = style.BRACKET if load.face == plan.face else style.BRACKET_BACK
            for ring in _clip(symbols.as_points(member.to_local(load.footprint)), box):
                shapes.append(Polygon(ring, pen, tag="bracket"))
    shapes += [_break(s, member.depth, n) for s in _broken(piece)]
    if piece.first:
        shapes += _hook(member, n)
    return shapes


def joint_names(body: Drawing, schedule: Schedule, piece: Piece, placement: Placement) -> None:
    """Names of the joints on their plates, where they are clear of every fastener."""
    obstacles = body.obstacles()
    obstacles.extend(_crossed(body))
    ends = (piece.start, piece.end)
    for plate, local in _plates_on(schedule, piece.member, ends):
        for ring in _clip_to_member(local, piece.member, ends):
            xs, ys = [p[0] for p in ring], [p[1] for p in ring]
            wide = (max(xs) - min(xs)) * placement.scale
            high = (max(ys) - min(ys)) * placement.scale
            if wide < text_width(plate.joint, style.SMALL) + 1.2 or high < style.SMALL + 1.0:
                continue
            spots = [
                Text(
                    placement.point((min(xs) + u * (max(xs) - min(xs)),
                                     min(ys) + v * (max(ys) - min(ys)))),
                    plate.joint, style.SMALL, mask=True, tag="joint",
                )
                for v in (0.5, 0.7, 0.3) for u in (0.5, 0.35, 0.65)
            ]  # fmt: skip
            body.label(spots, obstacles)


def _crossed(body: Drawing) -> list[Box]:
    """Boxes around the crosses of marks that stay empty, which no name may cover."""
    ends = [(s.a, s.b) for s in body.shapes if isinstance(s, Line) and s.tag == "left-out"]
    return [((ax, ay), (bx, ay), (bx, by), (ax, by)) for (ax, ay), (bx, by) in ends]


def _hook(member: Member, n: int) -> list[Shape]:
    half, out = member.depth / 2 + 1.0 * n, 0.9 * n
    return [
        Line((-out, -half), (-out, half), style.HEAVY, tag="hook"),
        Polygon(((2.8 * n, 0.0), (0.0, 1.0 * n), (0.0, -1.0 * n)), None, 0.0, tag="hook"),
    ]


def _broken(piece: Piece) -> list[float]:
    ends = [] if piece.first else [piece.start]
    return ends if piece.last else [*ends, piece.end]


def _break(station: float, depth: float, n: int) -> Polyline:
    """A zigzag break line across the member."""
    half, out, jag = depth / 2 + 2.0 * n, 1.2 * n, 1.5 * n
    points = ((0, half), (0, jag), (out, jag / 2), (-out, -jag / 2), (0, -jag), (0, -half))
    return Polyline(tuple((station + x, y) for x, y in points), style.BREAK, tag="break")


def _plates_on(
    schedule: Schedule, member: Member, box: tuple[float, float]
) -> Iterator[tuple[Plate, np.ndarray]]:
    """Plates that may lie on a piece of a member, told by their extent, and their local outline."""
    own = member.to_local(member.outline)
    low = np.maximum(own.min(axis=0), (box[0], -np.inf))
    high = np.minimum(own.max(axis=0), (box[1], np.inf))
    for plate in schedule.girder.plates:
        local = member.to_local(plate.outline)
        if (local.max(axis=0) >= low).all() and (local.min(axis=0) <= high).all():
            yield plate, local


def _clip(outline: tuple[Point, ...], box: tuple[float, float]) -> list[tuple[Point, ...]]:

    return _rings(outline, rectangle(box[0], -1e6, box[1], 1e6))


def _clip_to_member(
    outline: np.ndarray, member: Member, box: tuple[float, float]
) -> list[tuple[Point, ...]]:

    whole = Area(member.to_local(member.outline)).buffer(0)
    window = whole.intersection(rectangle(box[0], -1e6, box[1], 1e6))
    return _rings(symbols.as_points(outline), window)


def _rings(outline: Iterable[Point], window: BaseGeometry) -> list[tuple[Point, ...]]:

    cut = Area(list(outline)).buffer(0).intersection(window)
    parts = getattr(cut, "geoms", [cut])
    return [
        tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])
        for part in parts
        if part.geom_type == "Polygon" and part.area > 1.0
    ]
