"""Which way the grain of an outline runs: its long parallel edges, or what it stands on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from girderply.model.girder import Array
from girderply.tracing.drawing import CONTACT, Outline

SAME: Final = math.radians(0.25)  # edges within this angle run the same way
CLEAR: Final = 0.8  # a second direction with less than this share of the edges is no rival
EDGE: Final = 10.0  # a shorter edge is a corner cut off, mm


@dataclass(frozen=True, slots=True)
class Board:
    """An outline with the direction of its grain.

    Attributes:
        u: unit vector along, pointing right, or up for an upright one.
        middle: on the centreline, half-way between the ends, mm.
        depth, length: across and along, mm.
        whole: both long edges are there; else the depth is what is left of it.
        sure: no other direction is as likely.
    """

    outline: Outline
    shape: Polygon
    u: Array
    middle: Array
    depth: float
    length: float
    whole: bool
    sure: bool

    @property
    def n(self) -> Array:
        """Unit vector across, to the left of `u`."""
        return np.array([-self.u[1], self.u[0]])

    def end(self, sign: int) -> Array:
        """The end of the centreline to the right (1) or to the left (-1)."""
        return self.middle + sign * self.length / 2 * self.u

    def off(self, point: Array) -> float:
        """How far a point lies off the centreline, mm."""
        return abs(float((np.asarray(point) - self.middle) @ self.n))


def board_of(outline: Outline, others: BaseGeometry | None = None) -> Board:
    """Find the grain of an outline.

    Args:
        outline: in mm.
        others: the outlines that it touches, asked where its edges leave it open.
    """
    shape = Polygon(outline.corners)
    ways = _ways(outline.corners)
    rivals = [w for w in ways if w[0] >= CLEAR * ways[0][0]]
    sure = len(rivals) == 1
    if not sure and others is not None:
        rivals.sort(key=lambda w: -_stands_on(shape, w[1], others))
    return _board(outline, shape, rivals[0][1], sure)


def _ways(corners: Sequence[tuple[float, float]]) -> list[tuple[float, Array]]:
    """Directions of the edges with how much of the outline runs that way, most first."""
    points = np.asarray(corners, float)
    edges = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    angles = np.arctan2(edges[:, 1], edges[:, 0]) % math.pi
    ways: list[tuple[float, Array]] = []
    left = set(np.flatnonzero(lengths > 1e-6).tolist())
    for i in np.argsort(-lengths).tolist():
        if i not in left:
            continue
        turn = np.abs((angles - angles[i] + math.pi / 2) % math.pi - math.pi / 2)
        same = [k for k in left if turn[k] <= SAME]
        left -= set(same)
        ways.append((float(lengths[same].sum()), _pointing(edges[i] / lengths[i])))
    return sorted(ways, key=lambda w: -w[0])


def _pointing(u: Array) -> Array:
    forward = u[1] > 0 if abs(u[0]) < 1e-9 else u[0] > 0
    return u if forward else -u


def _stands_on(shape: Polygon, u: Array, others: BaseGeometry) -> float:
    """How much of the contact with others is at the ends of this direction, less at its sides."""
    touching = shape.exterior.intersection(others.buffer(CONTACT))
    points = np.asarray(shape.exterior.coords)
    along = points @ u
    low, high = along.min(), along.max()
    mid = [g for g in getattr(touching, "geoms", [touching]) if g.length > 0]
    score = 0.0
    for g in mid:
        at = float(np.asarray(g.centroid.coords[0]) @ u)
        ends = min(at - low, high - at) < 0.25 * (high - low)
        score += g.length if ends else -g.length
    return score


def _board(outline: Outline, shape: Polygon, u: Array, sure: bool) -> Board:
    points = np.asarray(outline.corners, float)
    n = np.array([-u[1], u[0]])
    along, across = points @ u, points @ n
    low, high = across.min(), across.max()
    middle = u * (along.min() + along.max()) / 2 + n * (low + high) / 2
    return Board(
        outline, shape, u, middle, float(high - low), float(along.max() - along.min()),
        all(_edge_at(along, across, level) >= EDGE for level in (low, high)), sure,
    )  # fmt: skip


def _edge_at(along: Array, across: Array, level: float) -> float:
    """Length of the outline that runs at one extreme across, mm."""
    here = np.abs(across - level) < 0.5
    both = here & np.roll(here, -1)
    return float(np.abs(np.roll(along, -1) - along)[both].sum())
