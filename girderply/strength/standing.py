"""Whether members make a truss that stands: webs between chords, joints that hold each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from girderply.errors import Finding, Severity
from girderply.model.girder import Girder
from girderply.strength.reactions import ANY_E
from girderply.strength.sharing.mesh import FrameError
from girderply.strength.sharing.ply_frame import refuse_mechanism
from girderply.wording import Words, said

LOOSE = 1e-8  # of the largest: a way to move that costs no more than this costs nothing
MOVES = 0.5  # of the largest movement: joints that are named


def standing_findings(girder: Girder) -> Iterator[Finding]:
    """Errors of a girder that is no truss or does not stand; a warning where it stands by bending.

    A frame of continuous chords that can move without resistance falls. One that would fall if
    its chords were hinged at every joint stands only because they bend: a truss has a web there.
    """
    if not any(not m.role.is_chord for m in girder.members):
        yield _error("no-webs", "girder.members", said("standing.no_webs"))
        return
    if len(girder.bearings) < 2:
        return  # told by itself
    try:
        refuse_mechanism(girder, ANY_E)
    except FrameError as fault:
        text, tip = fault.finding.message, fault.finding.tip
        yield Finding("does-not-stand", Severity.ERROR, fault.finding.where, text, tip=tip)
        return
    loose = hinged_mechanism(girder)
    if loose:
        text = said("standing.by_bending", joints=", ".join(loose))
        tip = said("standing.web_missing")
        yield Finding("stands-by-bending", Severity.WARNING, "girder.members", text, tip=tip)


def hinged_mechanism(girder: Girder) -> tuple[str, ...]:
    """Joints that would move if every joint were a hinge; empty for a truss of triangles.

    The bars between neighbouring joints keep their lengths; three ways to move belong to the
    plane itself. What is left over is a panel without a diagonal.
    """
    at = {j.id: i for i, j in enumerate(girder.joints)}
    xy = np.array([(j.x, j.y) for j in girder.joints], float)
    rows = []
    for m in girder.members:
        known = [j for j in m.joints if j in at]
        for a, b in pairwise(known):
            rows.append(_bar(xy, at[a], at[b]))
    if len(xy) < 3 or not rows:
        return ()
    _, sizes, ways = np.linalg.svd(np.array(rows))
    rank = int(np.sum(sizes > LOOSE * sizes.max()))
    if rank >= 2 * len(xy) - 3:
        return ()
    moved = _beyond_rigid(ways[rank:], xy)
    size = np.hypot(moved[0::2], moved[1::2])
    return tuple(j.id for j, s in zip(girder.joints, size, strict=True) if s > MOVES * size.max())


def _bar(xy: np.ndarray, a: int, b: int) -> np.ndarray:
    """How the length of a bar changes with the places of all joints."""
    row = np.zeros(2 * len(xy))
    u = (xy[b] - xy[a]) / max(float(np.hypot(*(xy[b] - xy[a]))), 1e-9)
    row[2 * a : 2 * a + 2], row[2 * b : 2 * b + 2] = -u, u
    return row


def _beyond_rigid(ways: np.ndarray, xy: np.ndarray) -> np.ndarray:
    """The first way to move that is no movement of the whole plane."""
    rigid = np.zeros((3, 2 * len(xy)))
    rigid[0, 0::2] = rigid[1, 1::2] = 1.0
    rigid[2, 0::2], rigid[2, 1::2] = -(xy[:, 1] - xy[:, 1].mean()), xy[:, 0] - xy[:, 0].mean()
    basis = np.linalg.svd(rigid, full_matrices=False)[2]
    rest = ways - (ways @ basis.T) @ basis
    return np.asarray(rest[int(np.argmax(np.linalg.norm(rest, axis=1)))])


def _error(code: str, where: str, text: Words) -> Finding:
    return Finding(code, Severity.ERROR, where, text)
