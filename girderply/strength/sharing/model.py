"""All plies together: frames side by side, fasteners between them, loads on the plies they enter.

Displacements are numbered displacement by displacement and within each ply by ply, so that what
fasteners connect lies close together in the matrix.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.errors import RangeError
from girderply.model.girder import Girder
from girderply.strength.sharing.factor import Factoring
from girderply.strength.sharing.mesh import MERGE, Floats, Ints, make_mesh
from girderply.strength.sharing.ply_frame import PlyFrame, make_frame, refuse_mechanism
from girderply.strength.sharing.springs import Springs, make_springs
from girderply.strength.stack_columns import FastenerColumns


@dataclass(frozen=True, slots=True)
class Model:
    """The girder ready to be solved for any fastener stiffness and any load.

    Attributes:
        plies: n. frame: of one ply. springs: between plies. fasteners: how many, F.
        free: numbers of the displacements of all plies that no bearing holds, rising.
        factoring: of all plies with fasteners.
    """

    plies: int
    frame: PlyFrame
    springs: Springs
    fasteners: int
    free: Ints
    factoring: Factoring

    def bare(self, moved: Floats, *, size: bool = False) -> Floats:
        """(size n,) forces that hold all plies without fasteners displaced, N and N mm.

        Args:
            moved: (size n,) displacements.
            size: sum of the magnitudes of all terms instead.
        """
        shape = (self.frame.mesh.size, self.plies)
        return self.frame.product(moved.reshape(shape), size=size).ravel()

    def load_vector(self, loads: Floats) -> Floats:
        """Nodal forces of hung loads.

        Args:
            loads: (L, n) what each load of the girder puts into each ply, N, downward positive.

        Returns:
            (size n,) N and N mm.
        """
        places, mesh, n = self.frame.mesh.loads, self.frame.mesh, self.plies
        loads = np.asarray(loads, float)
        if loads.shape != (len(places.node), n):
            raise RangeError(f"loads must be {(len(places.node), n)}, not {loads.shape}")
        if not np.isfinite(loads).all():
            raise RangeError("loads must be finite numbers")
        vector = np.zeros((mesh.size, n))
        dof = mesh.dof[places.node]
        np.add.at(vector, dof[:, 1], -loads)
        np.add.at(vector, dof[:, 2], -loads * places.arm[:, :1])
        return vector.ravel()


def make_model(girder: Girder, columns: FastenerColumns, E: float, merge: float = MERGE) -> Model:
    """Cut the plies, assemble their stiffness, connect them.

    Args:
        girder: geometry, plies, bearings, loads.
        columns: fasteners.
        E: modulus of elasticity of the timber, N/mm2.
        merge: places closer than this along a member share a node, mm.

    Raises:
        FrameError: the plies do not stand on their bearings.
        RangeError: a fastener reaches outside the plies, or E is out of range.
    """
    n = girder.plies
    refuse_mechanism(girder, E)
    mesh = make_mesh(girder, columns, merge)
    frame = make_frame(girder, mesh, E)
    free = (frame.free[:, None] * n + np.arange(n)).ravel()
    springs = make_springs(columns, mesh, n)
    factoring = Factoring(frame, springs, n)
    return Model(n, frame, springs, len(columns.member), free, factoring)
