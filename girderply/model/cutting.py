"""Boards become members: every end cut as a saw would, in the plane of the truss.

Chords first: mitred where two runs of a chord meet (plumb at a symmetric apex), bevelled under
the top chord at a heel, plumb at free ends. Then webs: cut along the edges of the chords they run
to, by the timber itself where two runs of a chord make a corner, and along the line between two
webs where they would overlap (double cut).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from girderply.jobfile.job import MemberSpec, Role
from girderply.model.frame import Frame, is_end
from girderply.model.girder import Array
from girderply.model.lines import (
    FAR,
    Axis,
    Line,
    half_plane,
    line_through,
    piece_with,
    plumb_line,
    strip,
)

TOUCHING = 1.0  # overlap of two webs that is not worth a cut, mm2
WIDE = np.cos(np.radians(150))  # webs further apart than 150 degrees are not mitred to each other
STEEP = np.sin(np.radians(60))  # steeper chords are cut square instead of plumb


def cut_frame(frame: Frame) -> dict[str, Polygon | None]:
    """Outlines by member id as really cut; None where nothing is left of a member.

    Outlines given outright are taken as they are, and webs are cut to fit them.
    """
    given = {m.id: Polygon(m.outline) for m in frame.members if m.outline is not None}
    cut: dict[str, Polygon | None] = {}
    for m in frame.members:
        if m.id not in given and m.role.is_chord:
            cut[m.id] = piece_with(_cut_chord(frame, m), frame.axis(m).middle)
    solid = {**cut, **given}
    for m in frame.members:
        if m.id not in given and not m.role.is_chord:
            cut[m.id] = piece_with(_cut_web(frame, m, solid), frame.axis(m).middle)
    for node in frame.nodes:
        _part_webs(frame, node, cut)
    for m in frame.members:
        if m.id in given:
            cut[m.id] = given[m.id]
        else:
            cut[m.id] = _clear_of(cut[m.id], frame.axis(m).middle, _met(frame, m, given))
    return {m.id: cut[m.id] for m in frame.members}


def _met(frame: Frame, m: MemberSpec, given: dict[str, Polygon]) -> list[Polygon]:
    """Outlines given outright that a member gives way to: a chord only to another chord."""
    met = [o for k in m.nodes for o in frame.at(k)]
    near = {o.id for o in met if o.role.is_chord or not m.role.is_chord}
    return [shape for i, shape in given.items() if i in near]


def _clear_of(shape: Polygon | None, middle: Array, others: list[Polygon]) -> Polygon | None:
    for other in others:
        if shape is not None and shape.intersects(other):
            shape = piece_with(shape.difference(other), middle)
    return shape


# --- chords -----------------------------------------------------------------------------------


def _cut_chord(frame: Frame, chord: MemberSpec) -> BaseGeometry:
    axis = frame.axis(chord)
    board: BaseGeometry = strip(axis)
    for node in (chord.nodes[0], chord.nodes[-1]):
        for line in _chord_cuts(frame, chord, node):
            board = board.intersection(half_plane(line, axis.middle))
    return board


def _chord_cuts(frame: Frame, chord: MemberSpec, node: str) -> Iterator[Line]:
    others = [o for o in frame.at(node) if o.role.is_chord and o.id != chord.id]
    same = [o for o in others if o.role is chord.role]
    cross = [o for o in others if o.role is not chord.role]
    axis = frame.axis(chord)
    if same and is_end(same[0], node):
        yield mitre(axis, frame.axis(same[0]), frame.nodes[node])
    elif same:
        yield frame.axis(same[0]).edge(axis.middle)
    elif cross:
        yield from _heel_cuts(frame, chord, cross[0], node)
    else:
        yield _free_end(frame, chord, node)


def _heel_cuts(frame: Frame, chord: MemberSpec, other: MemberSpec, node: str) -> Iterator[Line]:
    """The top chord runs over; the bottom chord is bevelled under it and leaves a butt cut."""
    axis, cross = frame.axis(chord), frame.axis(other)
    if chord.role is Role.BOTTOM_CHORD:
        yield cross.edge(axis.middle)
        yield heel_face(axis, cross, frame.butts.get(node, frame.butt), frame.nodes[node])
    elif is_end(other, node):
        yield heel_face(cross, axis, frame.butts.get(node, frame.butt), frame.nodes[node])
    else:
        yield cross.edge(axis.middle)


def heel_face(bottom: Axis, top: Axis, butt: float, node: Array) -> Line:
    """Plumb line through the outer face of a heel, where the butt is as high as asked."""
    side = 1.0 if bottom.side(top.middle) > 0 else -1.0
    butt_line = bottom.shifted(side * (butt - bottom.depth / 2))
    spot = butt_line.crossing(top.edge(bottom.middle))
    return plumb_line(node if spot is None else spot)


def heel_joint(frame: Frame, node: str, chords: list[MemberSpec]) -> Array:
    """Where the centrelines of the chords meet at a heel, but never outside its outer face.

    With a butt cut of half the bottom chord or more the centrelines meet far out in the air; the
    joint is then where the bottom chord's centreline leaves the timber.
    """
    spot = frame.nodes[node]
    bottom_spec = next(m for m in chords if m.role is Role.BOTTOM_CHORD)
    if not is_end(bottom_spec, node):
        return spot
    bottom = frame.axis(bottom_spec)
    top = frame.axis(next(m for m in chords if m.role is Role.TOP_CHORD))
    face = heel_face(bottom, top, frame.butts.get(node, frame.butt), spot)
    inside = face.side(spot) * face.side(bottom.middle) >= 0
    end = bottom.crossing(face)
    return spot if inside or end is None else end


def mitre(a: Axis, b: Axis, node: Array) -> Line:
    """The line on which two runs that end at a node are cut, from outer to inner corner."""
    p, q = a.away_from(node), b.away_from(node)
    left = p.shifted(a.depth / 2).crossing(q.shifted(-b.depth / 2))
    right = p.shifted(-a.depth / 2).crossing(q.shifted(b.depth / 2))
    if left is None or right is None or np.hypot(*(left - right)) < 1e-6:
        return Line(p.point, a.n)
    return line_through(left, right)


def _free_end(frame: Frame, chord: MemberSpec, node: str) -> Line:
    """Plumb at the node, or as far out as the webs that end there need to bear fully."""
    axis = frame.axis(chord)
    outward = -axis.away_from(frame.nodes[node]).u
    reach = [0.0]
    for web in frame.at(node):
        if web.id != chord.id and is_end(web, node):
            reach += list(_bearing_reach(axis, frame.axis(web), frame.nodes[node], outward))
    line = Line(axis.away_from(frame.nodes[node]).point, axis.n)
    if abs(axis.u[1]) < STEEP:
        line = plumb_line(line.point)
        outward = np.array([np.sign(outward[0]), 0.0])
    return Line(line.point + max(reach) * outward, line.u)


def _bearing_reach(chord: Axis, web: Axis, node: Array, outward: Array) -> Iterator[float]:
    """How far beyond the node the edges of a web meet the chord's near and far edge, mm."""
    level = np.array([np.sign(outward[0]), 0.0]) if abs(chord.u[1]) < STEEP else outward
    for side in (-0.5, 0.5):
        spot = web.shifted(side * web.depth).crossing(chord.edge(web.middle))
        if spot is not None:
            yield float((spot - node) @ level)


# --- webs -------------------------------------------------------------------------------------


def _cut_web(frame: Frame, web: MemberSpec, solid: Mapping[str, Polygon | None]) -> BaseGeometry:
    axis = frame.axis(web)
    if _buried(frame, web, axis, solid):
        return Polygon()
    ends = [carriers(frame, web, k) for k in (web.nodes[0], web.nodes[-1])]
    before, after = (FAR if met else web.depth / 2 for met in ends)
    board: BaseGeometry = strip(axis, before, after)
    for node, met in zip((web.nodes[0], web.nodes[-1]), ends, strict=True):
        corner = _corner(frame, axis, met, node)
        for chord in corner:
            shape = solid[chord.id]
            board = board if shape is None else board.difference(shape)
        for c in (frame.axis(m) for m in met if m not in corner):
            board = board.intersection(half_plane(c.edge(axis.middle), axis.middle))
    return board


def _corner(frame: Frame, web: Axis, met: list[MemberSpec], node: str) -> list[MemberSpec]:
    """Two runs of one chord that meet at a node, where a web sits on the outside of their corner.

    Their edges end at the corner: a web astride it (a birdsmouth), or low over one of the two on
    the far side of the other's line, is cut by the timber that is there. None of them elsewhere.
    """
    ends = [m for m in met if m.role.is_chord and is_end(m, node)]
    if len(ends) != 2 or ends[0].role is not ends[1].role:
        return []
    spot = frame.nodes[node]
    u, v = (frame.axis(m).away_from(spot).u for m in ends)
    w = web.away_from(spot).u
    turn = _cross(u, v)
    if abs(turn) <= 1e-6:  # in line: a step where their depths differ
        return [] if ends[0].depth == ends[1].depth else ends
    inside = _cross(u, w) * turn > 0 and _cross(w, v) * turn > 0
    return [] if inside else ends


def _buried(frame: Frame, web: MemberSpec, axis: Axis, solid: Mapping[str, Polygon | None]) -> bool:
    """True when the middle of a web lies inside a member that it runs to: no room for it."""
    for node in (web.nodes[0], web.nodes[-1]):
        met = carriers(frame, web, node)
        corner = _corner(frame, axis, met, node)
        shapes = (solid[c.id] for c in corner)
        if any(s is not None and s.intersects(shapely.Point(axis.middle)) for s in shapes):
            return True
        others = (c for c in met if c not in corner)
        if any(abs(frame.axis(c).side(axis.middle)) <= c.depth / 2 for c in others):
            return True
    return False


def carriers(frame: Frame, web: MemberSpec, node: str) -> list[MemberSpec]:
    """Members whose edge a web is cut to at a node: chords, and webs that run through."""
    others = [o for o in frame.at(node) if o.id != web.id]
    return [o for o in others if o.role.is_chord or not is_end(o, node)]


def _cross(a: Array, b: Array) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def _part_webs(frame: Frame, node: str, cut: dict[str, Polygon | None]) -> None:
    """Cut webs that end at one node apart, each from its neighbour, along the line between."""
    webs = [m for m in frame.at(node) if not m.role.is_chord and is_end(m, node) and m.id in cut]
    leaving = {m.id: frame.axis(m).away_from(frame.nodes[node]) for m in webs}
    webs.sort(key=lambda m: float(np.arctan2(leaving[m.id].u[1], leaving[m.id].u[0])))
    rounds = list(pairwise(webs))
    if len(webs) > 2:
        rounds.append((webs[-1], webs[0]))
    lines: list[tuple[MemberSpec, Line]] = []
    for a, b in rounds:
        if _overlap(cut[a.id], cut[b.id]) > TOUCHING:
            line = _between(frame, node, a, b)
            lines += [(a, line), (b, line)]
    for m, line in lines:
        shape, middle = cut[m.id], frame.axis(m).middle
        if shape is not None:
            cut[m.id] = piece_with(shape.intersection(half_plane(line, middle)), middle)


def _between(frame: Frame, node: str, a: MemberSpec, b: MemberSpec) -> Line:
    """From the node through the crossing of the facing edges; the bisector for equal depths."""
    spot = frame.nodes[node]
    p, q = frame.axis(a).away_from(spot), frame.axis(b).away_from(spot)
    if float(p.u @ q.u) < WIDE:
        return Line(spot, frame.axis(a).n)
    turn = np.sign(_cross(p.u, q.u))
    inner = p.shifted(turn * a.depth / 2).crossing(q.shifted(-turn * b.depth / 2))
    corner = p.crossing(q)
    if inner is None or corner is None:
        return Line(spot, (p.u + q.u) / np.hypot(*(p.u + q.u)))
    return line_through(corner, inner)


def _overlap(a: Polygon | None, b: Polygon | None) -> float:
    return 0.0 if a is None or b is None else float(a.intersection(b).area)
