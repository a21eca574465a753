"""Which way the point of a clenched nail is bent: across the grain, to a side that has room."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.layout.records import Bools, Fasteners, Ints, Stage
from girderply.layout.region import KeepOut
from girderply.layout.tape_side import tape_side
from girderply.model.girder import Array, Girder, Member

MIDDLE = 1.0  # mm; a row as near to the centreline as this stands on it
STEEP = 0.5  # a member is steep where less of its across goes up than this: then left and right


def usual_bend(girder: Girder, member: Member, offset: float, x: float) -> int:
    """The side that a point is bent to where both have room: towards the middle of its member.

    On the centreline upwards; on the centreline of a steep member towards the girder's middle, or
    in the middle away from the side where the tape of the bottom chord hooks.

    Returns:
        1 to the side of positive offsets, -1 to that of negative ones.
    """
    if abs(offset) > MIDDLE:
        return -1 if offset > 0 else 1
    across_x, across_y = -math.sin(member.angle), math.cos(member.angle)
    if abs(across_y) >= STEEP:
        return 1 if across_y > 0 else -1
    inward = girder.length / 2 - x
    inward = inward if abs(inward) > MIDDLE else -tape_side(girder)
    return 1 if across_x * inward >= 0 else -1


@dataclass(frozen=True, slots=True)
class Bends:
    """How the points of clenched nails are bent, (n,) each.

    Attributes:
        way: 1 to the side of positive offsets, -1 to that of negative ones, 0 not clenched.
        named: whether a person must be told its way: not towards the middle of its member, or on
            the centreline with room on one side only.
        stuck: whether neither side has room.
    """

    way: Ints
    named: Bools
    stuck: Bools


def bends(girder: Girder, obstacles: Sequence[KeepOut], f: Fasteners) -> Bends:
    """Which way each point is bent.

    Args:
        girder: whose outlines the bent points stay on.
        obstacles: plates, brackets and washers, as they lie on the face.
        f: every fastener.
    """
    found = Bends(np.zeros(len(f), np.int64), np.zeros(len(f), bool), np.zeros(len(f), bool))
    mine = np.flatnonzero(f.clench)
    if not len(mine):
        return found
    members = {m.id: m for m in girder.members}
    own = [members[name] for name in f.member[mine].tolist()]
    places = zip(own, f.offset[mine].tolist(), f.x[mine].tolist(), strict=True)
    usual = np.array([usual_bend(girder, m, offset, x) for m, offset, x in places])
    across = np.array([(-math.sin(m.angle), math.cos(m.angle)) for m in own])
    outlines = {m.id: shapely.polygons(m.outline) for m in girder.members}
    timber = np.array([outlines[m.id] for m in own])
    first, other = (
        _free(f, mine, across * side[:, None], timber, obstacles) for side in (usual, -usual)
    )
    found.way[mine] = np.where(first | ~other, usual, -usual)
    found.stuck[mine] = ~first & ~other
    found.named[mine] = np.where(np.abs(f.offset[mine]) > MIDDLE, ~first & other, first ^ other)
    return found


def side_of(member: Member, way: int) -> str:
    """Which way that is as seen on the front face: up, down, left or right."""
    x, y = -math.sin(member.angle) * way, math.cos(member.angle) * way
    if abs(y) >= STEEP:
        return "up" if y > 0 else "down"
    return "right" if x > 0 else "left"


def bent_in(f: Fasteners, stages: Sequence[Stage], stage: Stage) -> Bools:
    """(n,) fasteners whose points are bent over in this stage.

    That is the first stage after their own in which no nails are driven and the face that the
    points come out of is before the people.
    """
    mask = np.zeros(len(f), bool)
    for face in ("front", "back"):
        for number in sorted(set(f.stage[f.clench & (f.face == face)].tolist())):
            later = [
                s.number
                for s in stages
                if s.number > number
                and s.face_up != face
                and not set(s.kinds) - {FastenerKind.BOLT}
            ]
            if later and min(later) == stage.number:
                mask |= f.clench & (f.face == face) & (f.stage == number)
    return mask


def _free(
    f: Fasteners, mine: Ints, side: Array, timber: np.ndarray, obstacles: Sequence[KeepOut]
) -> Bools:
    """Whether a point bent to a side stays on the timber and off whatever lies there."""
    start = np.column_stack([f.x[mine], f.y[mine]])
    lines = shapely.linestrings(np.stack([start, start + side * f.protrusion[mine, None]], axis=1))
    free = np.asarray(shapely.covers(timber, lines), bool)
    if obstacles:
        tree = shapely.STRtree([shapely.Polygon(o.outline) for o in obstacles])
        free[np.unique(tree.query(lines, predicate="intersects")[0])] = False
    return free
