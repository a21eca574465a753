"""All plies together: frames side by side, fasteners between them, loads on the plies they enter.

Displacements are numbered displacement by displacement and within each ply by ply, so that what
fasteners connect lies close together in the matrix.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from girderply.errors import RangeError
from girderply.model.girder import Girder
from girderply.strength.columns import FastenerColumns
from girderply.strength.sharing.frame import PlyFrame, make_frame, refuse_mechanism
from girderply.strength.sharing.mesh import MERGE, Floats, Ints, make_mesh
from girderply.strength.sharing.springs import Springs, make_springs

if TYPE_CHECKING:
    from scipy.sparse import csr_array


@dataclass(frozen=True, slots=True)
class Model:
    """The girder ready to be solved for any fastener stiffness and any load.

    Attributes:
        plies: n. frame: of one ply. springs: between plies. fasteners: how many, F.
        bare: (size n, size n) stiffness of all plies without fasteners, N and mm.
        free: numbers of the displacements of all plies that no bearing holds, rising.
    """

    plies: int
    frame: PlyFrame
    springs: Springs
    fasteners: int
    bare: csr_array[Any]
    free: Ints

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

    def with_springs(self, tangent: Floats) -> csr_array[Any]:
        """Stiffness of plies and fasteners.

        Args:
            tangent: (S, 2, 2) stiffness of each pair of springs, N/mm.
        """
        from scipy.sparse import bsr_array, csr_array  # noqa: PLC0415

        s = len(self.springs)
        if not s:
            return self.bare
        pairs = (tangent, np.arange(s), np.arange(s + 1))
        middle = bsr_array(pairs, shape=(2 * s, 2 * s)).tocsr()
        c = self.springs.connect
        return csr_array(self.bare + c.T @ (middle @ c))

    def solver(self, tangent: Floats) -> Callable[[Floats], Floats]:
        """Factor once; the result turns forces (size n,) into displacements (size n,)."""
        from scipy.sparse.linalg import splu  # noqa: PLC0415

        k = self.with_springs(tangent)[self.free][:, self.free].tocsc()
        factor = splu(k, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                      options={"SymmetricMode": True})  # fmt: skip

        def solve(forces: Floats) -> Floats:
            moved = np.zeros(len(forces))
            moved[self.free] = factor.solve(forces[self.free])
            return moved

        return solve


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
    from scipy.sparse import eye_array, kron  # noqa: PLC0415

    n = girder.plies
    refuse_mechanism(girder, E)
    mesh = make_mesh(girder, columns, merge)
    frame = make_frame(girder, mesh, E)
    bare = kron(frame.stiffness, eye_array(n), format="csr")
    free = (frame.free[:, None] * n + np.arange(n)).ravel()
    springs = make_springs(columns, mesh, n)
    return Model(n, frame, springs, len(columns.member), bare, free)
