"""From a trade shape to nodes and uncut members."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from girderply.errors import Finding
from girderply.jobfile.job import GirderSpec, MemberSpec, Role
from girderply.model.frame import Frame, error, nearest
from girderply.shapes.all_shapes import shapes
from girderply.shapes.faults import fit_faults, size_faults
from girderply.shapes.sizes import Sizes, settle
from girderply.shapes.skeleton import Skeleton, end_posts, skeleton


def frame_from_shape(spec: GirderSpec, butt: float) -> tuple[Frame | None, list[Finding]]:
    """Turn `spec.shape` into nodes and members; the frame is None when a finding is an error."""
    if spec.shape is None:
        return None, [error("no-shape", "girder", "give a shape, or nodes and members")]
    findings = [*size_faults(spec.shape), *depth_faults(spec)]
    if findings:
        return None, findings
    sizes = settle(spec.shape, shapes()[spec.shape.kind], spec.depths, butt)
    findings = [*fit_faults(sizes)] or [*own_depth_faults(spec, skeleton(sizes))]
    if findings:
        return None, findings
    if spec.own_depths:
        sizes = _with_own_posts(spec, sizes, butt)
    return _frame(skeleton(sizes, spec.own_depths), sizes.butt), []


def _with_own_posts(spec: GirderSpec, sizes: Sizes, butt: float) -> Sizes:
    """The posts at the ends stand flush with the ends, however deep they are."""
    assert spec.shape is not None, "it was settled before"
    left, right = (
        spec.own_depths.get(name, sizes.web) for name in end_posts(sizes, skeleton(sizes))
    )
    return settle(spec.shape, sizes.shape, spec.depths, butt, (left, right))


def _frame(lines: Skeleton, butt: float) -> Frame:
    members = tuple(
        MemberSpec(p.id, Role(p.role), p.nodes, p.depth, compression=p.compression)
        for p in lines.pieces
    )
    return Frame({k: np.array(at) for k, at in lines.nodes.items()}, members, butt)


def depth_faults(spec: GirderSpec) -> Iterator[Finding]:
    """Depths that are missing, not positive or of no role."""
    roles = [r.value for r in Role]
    for role in roles:
        depth = spec.depths.get(role)
        where = f"girder.depths.{role}"
        if depth is None:
            yield error("depth-missing", where, f"no depth is given for the {role}")
        elif not (math.isfinite(depth) and depth > 0):
            yield error("not-positive", where, f"{depth:g} mm must be more than zero")
    for role in spec.depths:
        if role not in roles:
            yield error("unknown-role", f"girder.depths.{role}", f"{role!r}", nearest(role, roles))


def own_depth_faults(spec: GirderSpec, lines: Skeleton) -> Iterator[Finding]:
    """Depths of single members that no web of the shape has."""
    webs = {p.id for p in lines.pieces if p.role == Role.WEB.value}
    for name in spec.own_depths:
        where = f"girder.sections.members.{name}"
        if name in {p.id for p in lines.pieces} - webs:
            message = f"{name} is a chord; the chords of a shape have one depth each"
            tip = "write the girder by nodes and members: girderply trace JOB"
            yield error("chord-depth", where, message, tip)
        elif name not in webs:
            message = f"there is no web {name!r} in this shape"
            yield error("unknown-member", where, message, nearest(name, sorted(webs)))
