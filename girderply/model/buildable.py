"""Can it be built? Outlines given outright, members after cutting, plates and bearings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon

from girderply.errors import Finding, Severity
from girderply.jobfile.job import GirderSpec, MemberSpec
from girderply.model.cutting import carriers
from girderply.model.frame import Frame, error, nearest
from girderply.model.girder import Plate
from girderply.wording import said

GAP = 3.0  # a wider gap at a joint does not bear, mm (common practice, no source)
OVERLAP = 2.0  # outlines that lie deeper in each other cannot both be real, mm
FLATTEST = 10.0  # webs flatter to their chord end in a feather edge, degrees (no source)
LEAST_AREA = 100.0  # an outline smaller than this is none, mm2


def outline_faults(members: Sequence[MemberSpec]) -> Iterator[Finding]:
    """Outlines given outright that are no outline: too few corners, not finite, self-crossing."""
    for m in members:
        if m.outline is not None:
            yield from _outline_fault(m, f"girder.members.{m.id}.outline")


def _outline_fault(m: MemberSpec, where: str) -> Iterator[Finding]:
    points = np.asarray(m.outline, float).reshape(-1, 2)
    if len(points) < 3:
        yield error("outline-too-few", where, f"{len(points)} corners make no outline")
    elif not np.isfinite(points).all():
        yield error("not-finite", where, "a corner is no number")
    elif not (shape := Polygon(points)).is_valid:
        reason = shapely.is_valid_reason(shape)
        yield error("outline-crosses-itself", where, f"the outline crosses itself ({reason})")
    elif shape.area < LEAST_AREA:
        yield error("zero-length", where, f"the outline has an area of {shape.area:.0f} mm2")


def cut_faults(frame: Frame, cut: Mapping[str, Polygon | None]) -> Iterator[Finding]:
    """Members of which nothing is left, that miss what they run to, or that overlap."""
    for m in frame.members:
        if cut[m.id] is None:
            yield _nothing_left(frame, m)
        elif m.outline is not None:
            yield from _off_centreline(frame, m, Polygon(m.outline))
    for m in frame.members:
        yield from _gaps(frame, m, cut)
    yield from _overlaps(cut)
    for m in frame.members:
        if not m.role.is_chord:
            yield from _flat(frame, m)


def _nothing_left(frame: Frame, m: MemberSpec) -> Finding:
    near = sorted({o.id for k in m.nodes for o in frame.at(k)} - {m.id})
    return error(
        "does-not-fit",
        m.id,
        f"nothing is left of {m.id} ({m.depth:g} mm deep) between {', '.join(near)}",
        "use shallower members, fewer panels, more height or a higher heel",
    )


def _off_centreline(frame: Frame, m: MemberSpec, shape: Polygon) -> Iterator[Finding]:
    axis = frame.axis(m)
    if not shape.intersects(shapely.Point(axis.middle)):
        where = f"girder.members.{m.id}.outline"
        message = f"the outline does not hold the middle of {m.id} between its nodes"
        yield error("outline-off-member", where, message)


def _gaps(frame: Frame, m: MemberSpec, cut: Mapping[str, Polygon | None]) -> Iterator[Finding]:
    shape = cut[m.id]
    if shape is None:
        return
    for node in (m.nodes[0], m.nodes[-1]):
        if m.role.is_chord:
            met = [o for o in frame.at(node) if o.role.is_chord and o.id != m.id]
        else:
            met = carriers(frame, m, node) or [o for o in frame.at(node) if o.id != m.id]
        gaps = {o.id: shape.distance(o_cut) for o in met if (o_cut := cut[o.id]) is not None}
        if gaps and min(gaps.values()) > GAP:
            o = min(gaps, key=lambda i: gaps[i])
            yield error(
                "members-do-not-meet",
                m.id,
                f"{m.id} misses {o} at {node} by {gaps[o]:.1f} mm; at most {GAP:g} mm bears",
                "move the node along the chord, or lengthen the chord",
            )


def _flat(frame: Frame, m: MemberSpec) -> Iterator[Finding]:
    """A web that runs almost along its chord: a feather edge that no plate holds well."""
    axis = frame.axis(m)
    for node in (m.nodes[0], m.nodes[-1]):
        for o in carriers(frame, m, node):
            u = frame.axis(o).u
            angle = math.degrees(math.asin(min(1.0, abs(float(np.linalg.det([axis.u, u]))))))
            if angle < FLATTEST:
                message = said("finding.web_flat", member=m.id, other=o.id, angle=f"{angle:.0f}")
                tip = said("finding.change_webs")
                yield Finding("web-too-flat", Severity.WARNING, m.id, message, tip=tip)


def _overlaps(cut: Mapping[str, Polygon | None]) -> Iterator[Finding]:
    ids = [i for i, shape in cut.items() if shape is not None]
    shapes = np.array([cut[i] for i in ids], dtype=object)
    shrunk = shapely.buffer(shapes, -OVERLAP / 2)
    pairs = shapely.STRtree(shrunk).query(shrunk, predicate="intersects")
    for a, b in sorted((int(a), int(b)) for a, b in pairs.T if a < b):
        area = shapely.intersection(shapes[a], shapes[b]).area
        message = f"{ids[a]} and {ids[b]} overlap over {area:.0f} mm2"
        yield error("members-overlap", ids[a], message, "let them meet at a node, or move one")


def reference_faults(spec: GirderSpec, frame: Frame) -> Iterator[Finding]:
    """Hook ends, timbers and plates that name a member or a joint that is not there."""
    members = [m.id for m in frame.members]
    for key in ("hook_ends", "timbers"):
        for i in getattr(spec, key):
            if i not in members:
                where, message = f"girder.{key}.{i}", f"there is no member {i!r}"
                yield error("unknown-member", where, message, nearest(i, members))
    joints = frame.joints()
    for n, p in enumerate(spec.plates, 1):
        where = f"girder.plates[{n}]"
        if p.joint not in joints:
            message = f"there is no joint {p.joint!r}"
            yield error("unknown-joint", f"{where}.joint", message, nearest(p.joint, joints))
        numbers = (*p.centre, p.width, p.height, p.angle)
        if not all(map(math.isfinite, numbers)):
            yield error("not-finite", where, "a size of the plate is no number")
        elif min(p.width, p.height) <= 0:
            message = f"the plate is {p.width:g} x {p.height:g} mm; both must be more than zero"
            yield error("zero-length", where, message)


def plate_faults(
    spec: GirderSpec, frame: Frame, plates: Sequence[Polygon], cut: Mapping[str, Polygon]
) -> Iterator[Finding]:
    """Given plates (in the order of `spec.plates`) that are too large or off their joint."""
    x0, y0, x1, y1 = shapely.union_all(list(cut.values())).bounds
    for n, (p, shape) in enumerate(zip(spec.plates, plates, strict=True), 1):
        where = f"girder.plates[{n}]"
        if max(p.width, p.height) > max(x1 - x0, y1 - y0) or min(p.width, p.height) > y1 - y0:
            message = (
                f"the plate at {p.joint} is {p.width:g} x {p.height:g} mm, larger than the girder "
                f"({x1 - x0:.0f} x {y1 - y0:.0f} mm)"
            )
            yield error("plate-too-large", where, message)
            continue
        missed = [m.id for m in frame.at(p.joint) if not shape.intersects(cut[m.id])]
        if len(missed) == len(frame.at(p.joint)):
            message = f"the plate at {p.joint} lies on none of the members that meet there"
            yield error("plate-off-joint", where, message)
        elif missed:
            told = said("finding.plate_misses", joint=p.joint, members=", ".join(missed))
            yield Finding("plate-misses-member", Severity.WARNING, where, told)


def plates_overlapping(plates: Sequence[Plate]) -> Iterator[Finding]:
    """Plates of two joints that lie on each other: one of them cannot be pressed as drawn."""
    shapes = np.array([Polygon(p.outline) for p in plates], dtype=object)
    pairs = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    for a, b in sorted((int(a), int(b)) for a, b in pairs.T if a < b):
        if shapely.intersection(shapes[a], shapes[b]).area > LEAST_AREA:
            where = f"{plates[a].joint}, {plates[b].joint}"
            message = said("finding.plates_overlap", first=plates[a].joint, second=plates[b].joint)
            tip = said("finding.give_plates")
            yield Finding("plates-overlap", Severity.WARNING, where, message, tip=tip)


def bearing_faults(spec: GirderSpec, left: float, right: float) -> Iterator[Finding]:
    """Bearings with no width, that are not under the girder, or one on another (mm)."""
    for n, b in enumerate(spec.bearings, 1):
        where = f"girder.bearings[{n}]"
        if not (math.isfinite(b.x) and math.isfinite(b.width) and b.width > 0):
            yield error("zero-length", where, f"x={b.x:g}, width={b.width:g} is no bearing")
        elif b.x + b.width / 2 < left or b.x - b.width / 2 > right:
            message = f"x = {b.x:.0f} mm is off the girder, {left:.0f} to {right:.0f} mm"
            yield error("bearing-off-girder", where, message)
        for k, other in enumerate(spec.bearings[: n - 1], 1):
            if abs(b.x - other.x) < (b.width + other.width) / 2 - 1e-6:
                message = f"bearings {k} and {n} lie on each other, at x = {b.x:.0f} mm"
                yield error("bearings-overlap", where, message)
