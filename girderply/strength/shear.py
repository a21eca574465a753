"""Shear of a ply's members beside a connection, from the frame: with all loads of a combination.

By equal shares every ply is a frame under its 1/n of everything that hangs on the girder. By
computed shares it is the ply on its springs, in every state of the fasteners.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.strength.load_sets import LoadCase, load_cases
from girderply.strength.sharing.mesh import MERGE, NOTHING, FrameError, Mesh, make_mesh
from girderply.strength.sharing.ply_forces import PlyForces
from girderply.strength.sharing.ply_frame import make_frame

Floats = NDArray[np.float64]
_ANY_E = 10_000.0  # N/mm2: one stiffness for all members has no say in their forces
_TINY = 1e-6  # mm
_AGAIN = 2  # corrections of the solution by what it leaves out of balance
_STIFF = 1e-10  # of its own stiffness: less is left to a place where a part moves freely


@dataclass(frozen=True, slots=True)
class MemberShear:
    """Shear along the members, positive as the nodes act on the first end of a piece.

    Attributes:
        girder: its members. cases: combinations.
        mesh: of a ply without fasteners; None where it is no frame that stands.
        equal: (c, E) of every piece of it, by equal shares, N.
        computed: forces of every ply on its springs, or None before the fasteners are known.
        _beside: pieces beside stretches that were asked for. _most: (c, n, E) in any state, N.
    """

    girder: Girder
    cases: tuple[LoadCase, ...]
    mesh: Mesh | None
    equal: Floats
    computed: PlyForces | None = None
    _beside: dict[tuple[object, ...], tuple[int, int]] = field(default_factory=dict)
    _most: list[Floats] = field(default_factory=list)

    @classmethod
    def of(cls, job: Job, girder: Girder) -> MemberShear:
        """Solve one ply under its equal share of every combination."""
        cases = load_cases(job.basis, girder)
        try:
            mesh = make_mesh(girder, NOTHING)
            frame = make_frame(girder, mesh, _ANY_E)
        except FrameError:
            return cls(girder, cases, None, np.zeros((len(cases), 0)))
        values = np.array([c.values for c in cases], float).reshape(len(cases), len(girder.loads))
        loads = np.zeros((mesh.size, len(cases)))
        dof, arm = mesh.dof[mesh.loads.node], mesh.loads.arm
        share = values.T / girder.plies
        np.add.at(loads, dof[:, 1], -share)
        np.add.at(loads, dof[:, 2], -share * arm[:, :1])
        free = frame.free
        moved = np.zeros_like(loads)
        stiff = frame.full()[np.ix_(free, free)]
        left = loads[free]
        for _ in range(1 + _AGAIN):  # pieces of 1 mm beside pieces of metres need another go
            moved[free] += _moved(stiff, left)
            left = loads[free] - frame.product(moved)[free]
        if np.abs(left).max(initial=0.0) > 1e-6 * np.abs(loads).max(initial=1.0):
            return cls(girder, cases, None, np.zeros((len(cases), 0)))  # a part moves freely
        return cls(girder, cases, mesh, np.asarray(frame.ends(moved)[:, 1].T, float))

    def with_computed(self, found: PlyForces | None) -> MemberShear:
        """The same with the forces on the springs."""
        most = [] if found is None else [np.abs(found.pieces[..., 1]).max(axis=0, initial=0.0)]
        return replace(self, computed=found, _beside={}, _most=most)

    def beside(self, case: int, chord: str, low: float, high: float) -> tuple[float, float] | None:
        """Shear of one ply by equal shares left and right of a stretch, N; None without a frame.

        Args:
            case: number of the combination.
            chord: member id.
            low: station where the connection begins, mm.
            high: station where it ends, mm.
        """
        if self.mesh is None:
            return None
        before, after = self._pieces(self.mesh, chord, low, high)
        values = self.equal[case]
        return (
            float(values[before]) if before >= 0 else 0.0,
            float(values[after]) if after >= 0 else 0.0,
        )

    def by_springs(
        self, case: int, chord: str, low: float, high: float, plies: tuple[int, ...]
    ) -> float:
        """Largest shear beside a stretch of some plies (0-based) in any state, N; 0 unknown."""
        if self.computed is None:
            return 0.0
        pair = self._pieces(self.computed.mesh, chord, low, high)
        most = self._most[0][case]
        return float(
            max((most[p, piece] for p in plies for piece in pair if piece >= 0), default=0.0)
        )

    def _pieces(self, mesh: Mesh, chord: str, low: float, high: float) -> tuple[int, int]:
        """The piece that ends at the stretch or runs into it, and the one after it; -1 for none."""
        key = (mesh is self.mesh, chord, low, high)
        if key not in self._beside:
            self._beside[key] = self._sought(mesh, chord, low, high)
        return self._beside[key]

    def _sought(self, mesh: Mesh, chord: str, low: float, high: float) -> tuple[int, int]:
        index = [m.id for m in self.girder.members].index(chord)
        mine = np.flatnonzero(mesh.member[mesh.ends[:, 0]] == index)
        first, last = mesh.station[mesh.ends[mine, 0]], mesh.station[mesh.ends[mine, 1]]
        before = mine[(first < low - _TINY) & (low <= last + _TINY)]
        after = mine[(first <= high + _TINY) & (high < last - _TINY)]
        left, right = int(before[-1]) if len(before) else -1, int(after[0]) if len(after) else -1
        if left != right or left < 0:
            return left, right
        # a load so near to a node hangs on it: its two sides are those of the node
        i = int(np.flatnonzero(mine == left)[0])
        if low - first[i] <= MERGE + _TINY:
            left = int(mine[i - 1]) if i else -1
        if last[i] - high <= MERGE + _TINY:
            right = int(mine[i + 1]) if i + 1 < len(mine) else -1
        return left, right


def _moved(stiff: Floats, loads: Floats) -> Floats:
    """Movements under loads; the least of them where a part may move freely.

    Every place is measured by its own stiffness, so that lengths and angles weigh alike.
    """
    scale = 1.0 / np.sqrt(np.maximum(stiff.diagonal(), 1e-300))[:, None]
    scaled = scale * stiff * scale.T
    try:
        left = np.linalg.cholesky(scaled).diagonal() ** 2
    except np.linalg.LinAlgError:
        left = np.zeros(1)
    if left.min(initial=1.0) > _STIFF:
        return np.asarray(scale * np.linalg.solve(scaled, scale * loads), float)
    return np.asarray(scale * np.linalg.lstsq(scaled, scale * loads, rcond=1e-13)[0], float)
