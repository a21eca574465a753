"""What hung loads put on the bearings: by levers, or by the frame where levers leave it open.

Two bearings under a girder are statically determinate: no stiffness and no standard is in it. With
more of them one ply is solved as a frame, which shares every load as the whole girder does.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from girderply.model.girder import Girder
from girderply.strength.sharing.mesh import NOTHING, FrameError, make_mesh
from girderply.strength.sharing.ply_frame import make_frame

Floats = NDArray[np.float64]
ANY_E = 1.0e4  # N/mm2: reactions of one material do not depend on it


def lever(bearings: Sequence[float], x: Floats, values: Floats) -> Floats:
    """Reactions of two bearings, upward positive, N.

    Args:
        bearings: x of both, mm; they differ.
        x: (L,) of the loads, mm.
        values: (L,) downward, N.

    >>> lever((0.0, 1000.0), np.array([250.0]), np.array([100.0])).tolist()
    [75.0, 25.0]
    """
    a, b = bearings
    right = float(np.sum(values * (x - a)) / (b - a))
    return np.array([float(np.sum(values)) - right, right])


def reactions(girder: Girder, values: Sequence[float]) -> Floats | None:
    """Reactions under hung loads of these sizes, upward positive, N.

    Args:
        girder: bearings, and loads in the order of `values`.
        values: (L,) of each hung load, downward, N.

    Returns:
        (B,) in the order of the bearings; None where they cannot be told: one bearing that does
        not carry alone, or a girder that is no frame that stands.
    """
    loads = np.asarray(values, float)
    if len(girder.bearings) == 2:
        at = [b.x for b in girder.bearings]
        return lever(at, np.array([v.x for v in girder.loads]), loads) if at[0] != at[1] else None
    if len(girder.bearings) < 2:
        return None
    try:
        return _by_frame(girder, loads)
    except (FrameError, np.linalg.LinAlgError):
        return None


def _by_frame(girder: Girder, loads: Floats) -> Floats:
    mesh = make_mesh(girder, NOTHING)
    frame = make_frame(girder, mesh, ANY_E)
    force = np.zeros(mesh.size)
    dof = mesh.dof[mesh.loads.node]
    np.add.at(force, dof[:, 1], -loads)
    np.add.at(force, dof[:, 2], -loads * mesh.loads.arm[:, 0])
    full, free = frame.full(), frame.free
    moved = np.zeros(mesh.size)
    moved[free] = np.linalg.solve(full[np.ix_(free, free)], force[free])
    held = full @ moved - force
    return np.asarray(held[mesh.dof[mesh.bearings][:, 1]], float)
