"""Where the tape is hooked on a member: an end that a hand can reach and a rule that finds it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import Point, Polygon

from girderply.jobfile.job import GirderSpec, MemberSpec, Role
from girderply.model.frame import Frame, is_end
from girderply.model.girder import Plate
from girderply.model.lines import Axis

End = Literal["left", "right"]
UPRIGHT = 0.02  # a member within a degree of plumb is hooked at its bottom, not its left
IN_LINE = np.cos(np.radians(2.0))  # runs that meet at less than this angle are butted, not mitred


def hook_end(
    spec: GirderSpec, frame: Frame, m: MemberSpec, shape: Polygon, plates: Sequence[Plate]
) -> End:
    """Where the tape hooks: as the job says, else at the heel of a rafter, else where it is usual.

    Usual is the lower end in a shape, the left end of a level member and of one that is given with
    its nodes, the bottom of an upright. The other end is taken where the usual one is butted
    against the next run, or lies under a plate, and the other does not. Mirrored members of a
    shape are run alike, so that one set of stations marks both.

    Args:
        spec: the girder of the job.
        frame: nodes and members.
        m: the member.
        shape: its outline as cut.
        plates: nail plates, given or estimated.
    """
    said = spec.hook_ends.get(m.id, m.hook_end)
    if said is not None:
        return said
    axis = frame.axis(m)
    usual = _usual(spec, frame, m, axis)
    other: End = "left" if usual == "right" else "right"
    for wrong in (_butted(frame, m, axis), _covered(axis, shape, plates)):
        if wrong[usual] != wrong[other]:
            return other if wrong[usual] else usual
    return usual


def forward(axis: Axis, end: End) -> bool:
    """Whether stations from this end run as the axis does, from its first node to its last."""
    upright = abs(axis.u[0]) < UPRIGHT
    return bool((axis.u[1] > 0 if upright else axis.u[0] > 0) == (end == "left"))


def _usual(spec: GirderSpec, frame: Frame, m: MemberSpec, axis: Axis) -> End:
    if spec.shape is not None:
        falls = axis.u[0] * axis.u[1] < -UPRIGHT
        return "right" if m.role is not Role.BOTTOM_CHORD and falls else "left"
    if m.role is not Role.TOP_CHORD:
        return "left"
    heels = [_at_heel(frame, node) for node in (m.nodes[0], m.nodes[-1])]
    if heels[0] == heels[1]:
        return "left"
    first: End = "left" if forward(axis, "left") else "right"
    last: End = "right" if first == "left" else "left"
    return first if heels[0] else last


def _at_heel(frame: Frame, node: str) -> bool:
    return any(o.role is Role.BOTTOM_CHORD for o in frame.at(node))


def _butted(frame: Frame, m: MemberSpec, axis: Axis) -> dict[End, bool]:
    """Whether each end meets the next run of its chord in line: no tape gets hold of it."""
    found = []
    for node in (m.nodes[0], m.nodes[-1]):
        runs = [o for o in frame.at(node) if o.id != m.id and o.role is m.role and is_end(o, node)]
        lines = [frame.axis(o) for o in runs if m.role.is_chord]
        found.append(any(abs(float(line.u @ axis.u)) > IN_LINE for line in lines))
    return _by_end(axis, found)


def _covered(axis: Axis, shape: Polygon, plates: Sequence[Plate]) -> dict[End, bool]:
    """Whether each end of the centreline lies under a plate."""
    reach = axis.along(np.asarray(shape.exterior.coords))
    ends = [Point(axis.point + r * axis.u) for r in (reach.min(), reach.max())]
    cover = shapely.union_all([Polygon(p.outline) for p in plates])
    return _by_end(axis, [bool(cover.contains(end)) for end in ends])


def _by_end(axis: Axis, found: list[bool]) -> dict[End, bool]:
    first, last = found
    if forward(axis, "left"):
        return {"left": first, "right": last}
    return {"left": last, "right": first}
