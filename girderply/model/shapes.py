"""From a trade shape to nodes and uncut members."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from girderply.errors import Finding
from girderply.jobfile.job import GirderSpec, MemberSpec, Role
from girderply.model.frame import Frame, error, nearest
from girderply.shapes.faults import fit_faults, size_faults
from girderply.shapes.registry import shapes
from girderply.shapes.sizes import settle
from girderply.shapes.skeleton import Skeleton, skeleton


def frame_from_shape(spec: GirderSpec, butt: float) -> tuple[Frame | None, list[Finding]]:
    """Turn `spec.shape` into nodes and members; the frame is None when a finding is an error."""
    if spec.shape is None:
        return None, [error("no-shape", "girder", "give a shape, or nodes and members")]
    findings = [*size_faults(spec.shape), *depth_faults(spec)]
    if findings:
        return None, findings
    sizes = settle(spec.shape, shapes()[spec.shape.kind], spec.depths, butt)
    findings = [*fit_faults(sizes)]
    return (None, findings) if findings else (_frame(skeleton(sizes), sizes.butt), [])


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
