"""The stiffness of one ply as a plane frame, and whether it stands on its bearings.

Slender beams (no shear deformation), small displacements, no second order.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from girderply.catalogue.timbers_known import timber
from girderply.errors import Finding, Severity
from girderply.model.girder import Girder, Member
from girderply.standards import guards
from girderply.strength.sharing.mesh import NOTHING, Floats, FrameError, Ints, Mesh, make_mesh
from girderply.wording import Words, said

SOFT = 5e-7  # of a ply's E t: some hundred-thousandth of a chord's own stiffness
_LOOSE = 1e-11  # least stiffness beside the diagonal terms: below it nothing resists


@dataclass(frozen=True, slots=True)
class PlyFrame:
    """One ply: its mesh, its stiffness, its supports.

    Attributes:
        turn: (E, 6, 6) from elevation to each piece's own axes. local: (E, 6, 6) stiffness of
            each piece in its own axes (along, across, rotation at either end), N and mm.
        blocks: (E, 6, 6) the same in the axes of the elevation. length: (E,) of the pieces, mm.
        fixed: numbers of the displacements that the bearings hold: y at every one in the order
            of the girder's bearings.
        sideways: numbers of the displacements x over the bearings. soft: stiffness that each of
            them has, N/mm: a bearing hardly holds a ply along the girder, and no end more than
            the other, so that a girder and its mirror image are one.
    """

    mesh: Mesh
    turn: Floats
    local: Floats
    blocks: Floats
    length: Floats
    fixed: Ints
    sideways: Ints
    soft: float

    @property
    def free(self) -> Ints:
        """Numbers of the displacements that nothing holds, rising."""
        return np.setdiff1d(np.arange(self.mesh.size), self.fixed)

    def product(self, moved: Floats, *, size: bool = False) -> Floats:
        """Forces that hold a ply, or several, in a displaced state; nothing is held.

        Args:
            moved: (size, r) displacements of r plies or states, mm and rad.
            size: sum of the magnitudes of all terms instead.

        Returns:
            (size, r) N and N mm.
        """
        each = np.abs(moved) if size else moved
        dof = self.mesh.dof[self.mesh.ends].reshape(-1, 6)
        back = np.swapaxes(self.turn, 1, 2)
        own = np.abs(self.blocks) @ each[dof] if size else back @ self.ends(each)
        columns = each.shape[1]
        place = (dof.reshape(-1, 1) * columns + np.arange(columns)).ravel()
        summed = np.bincount(place, own.ravel(), each.size)
        forces = np.asarray(summed, float).reshape(each.shape)
        np.add.at(forces, self.sideways, self.soft * each[self.sideways])
        return forces

    def ends(self, moved: Floats) -> Floats:
        """Forces on both ends of every piece, in its own axes: (E, 6, r), N and N mm.

        From how far its ends have moved apart: of a piece of 1 mm between pieces of metres the
        stiffness times the movements themselves would be all rounding.

        Args:
            moved: (size, r) displacements of r plies or states, mm and rad.
        """
        first, last = np.swapaxes(self.mesh.dof[self.mesh.ends], 0, 1)
        apart = self.turn[:, :2, :2] @ (moved[last[:, :2]] - moved[first[:, :2]])
        swung = apart[:, 1] / self.length[:, None]
        a, b = moved[first[:, 2]] - swung, moved[last[:, 2]] - swung
        EA, EI = self.local[:, 0, 0], self.local[:, 2, 5] / 2  # over the length
        N = EA[:, None] * apart[:, 0]
        here, there = (EI[:, None] * (4 * x + 2 * y) for x, y in ((a, b), (b, a)))
        V = (here + there) / self.length[:, None]
        return np.stack([-N, V, here, N, -V, there], axis=1)

    def thrust(self, moved: Floats) -> Floats:
        """(r,) force of all bearings together along the girder on plies in a displaced state, N."""
        return np.asarray(-self.soft * moved[self.sideways].sum(axis=0), float)

    def full(self) -> Floats:
        """(size, size) the stiffness of the ply as a full matrix: for small meshes."""
        dof = self.mesh.dof[self.mesh.ends].reshape(-1, 6)
        full = np.zeros((self.mesh.size, self.mesh.size))
        np.add.at(full, (dof[:, :, None], dof[:, None, :]), self.blocks)
        np.add.at(full, (self.sideways, self.sideways), self.soft)
        return full


def make_frame(girder: Girder, mesh: Mesh, E: float) -> PlyFrame:
    """Assemble one ply.

    Args:
        girder: depths, ply thickness.
        mesh: of one ply.
        E: modulus of elasticity, N/mm2.

    Raises:
        RangeError: E is not a positive number.
        FrameError: there is no bearing.
    """
    guards.positive(E=E)
    if not len(mesh.bearings):
        text = said("sharing.no_bearing")
        raise FrameError(Finding("sharing-no-frame", Severity.WARNING, "girder.bearings", text))
    local, turn, length = _pieces(girder, mesh, E)
    blocks = np.swapaxes(turn, 1, 2) @ local @ turn
    held = mesh.dof[mesh.bearings]
    soft = SOFT * E * girder.ply_thickness
    return PlyFrame(mesh, turn, local, blocks, length, held[:, 1], held[:, 0], soft)


def refuse_mechanism(girder: Girder, E: float) -> None:
    """Make sure that a ply stands, on a mesh of joints and bearings alone.

    All plies are alike, so fasteners cannot make a girder of them stand that does not stand as
    one ply: all plies would move together. Short pieces between fasteners would hide the
    difference between soft and loose, so there are none here.

    Raises:
        RangeError: E is not a positive number.
        FrameError: there is no bearing, or a part of the ply can move without resistance.
    """
    bare = replace(girder, loads=())
    _refuse(girder, make_frame(bare, make_mesh(bare, NOTHING), E))


def _pieces(girder: Girder, mesh: Mesh, E: float) -> tuple[Floats, Floats, Floats]:
    """Stiffness in own axes and rotation of every piece, (E, 6, 6) each, and its length (E,)."""
    depth = np.array([m.depth for m in girder.members])[mesh.member[mesh.ends[:, 0]]]
    d = mesh.xy[mesh.ends[:, 1]] - mesh.xy[mesh.ends[:, 0]]
    L = np.hypot(d[:, 0], d[:, 1])
    stiff = E * relative_stiffness(girder)[mesh.member[mesh.ends[:, 0]]]
    EA, EI = stiff * depth * girder.ply_thickness, stiff * depth**3 * girder.ply_thickness / 12
    k = np.zeros((len(L), 6, 6))
    a, b, c, e = EA / L, 12 * EI / L**3, 6 * EI / L**2, EI / L
    k[:, 0, 0] = k[:, 3, 3] = a
    k[:, 0, 3] = k[:, 3, 0] = -a
    k[:, 1, 1] = k[:, 4, 4] = b
    k[:, 1, 4] = k[:, 4, 1] = -b
    for i, j, sign in ((1, 2, 1), (1, 5, 1), (2, 4, -1), (4, 5, -1)):
        k[:, i, j] = k[:, j, i] = sign * c
    k[:, 2, 2] = k[:, 5, 5] = 4 * e
    k[:, 2, 5] = k[:, 5, 2] = 2 * e
    return k, _turns(d / L[:, None]), L


def relative_stiffness(girder: Girder) -> Floats:
    """(members,) modulus of elasticity of each beside that of the girder's timber."""
    return np.array([_beside(girder, m) for m in girder.members], float)


def _beside(girder: Girder, member: Member) -> float:
    if not member.timber:
        return 1.0
    one, whole = timber(member.timber).E_mean, timber(girder.timber).E_mean
    return one / whole if one and whole else 1.0


def _turns(axis: Floats) -> Floats:
    """(E, 6, 6) matrices that turn elevation components into along, across and rotation."""
    turn = np.zeros((len(axis), 6, 6))
    c, s = axis[:, 0], axis[:, 1]
    for i in (0, 3):
        turn[:, i, i] = turn[:, i + 1, i + 1] = c
        turn[:, i, i + 1], turn[:, i + 1, i] = s, -s
        turn[:, i + 2, i + 2] = 1.0
    return turn


def _refuse(girder: Girder, frame: PlyFrame) -> None:
    """A displacement of one ply that nothing resists is a part that moves freely."""
    free = np.setdiff1d(frame.free, frame.sideways[:1])
    k = frame.full()[np.ix_(free, free)]
    scale = 1.0 / np.sqrt(np.maximum(k.diagonal(), 1e-300))
    if np.linalg.eigvalsh(scale[:, None] * k * scale)[0] > _LOOSE:
        return
    text = said("sharing.loose", where=_where(girder, frame))
    raise FrameError(
        Finding("sharing-mechanism", Severity.WARNING, "girder", text,
                tip=said("sharing.look_at"))
    )  # fmt: skip


def _where(girder: Girder, frame: PlyFrame) -> Words:
    """Name the joint or member that moves most in the mechanism, by inverse iteration."""
    free = np.setdiff1d(frame.free, frame.sideways[:1])
    k = frame.full()[np.ix_(free, free)]
    firm = np.linalg.inv(k + np.eye(len(free)) * (1e-10 * k.diagonal().max()))
    shape = np.linspace(1.0, 2.0, len(free))  # any start that favours no part
    for _ in range(4):
        shape = firm @ shape
        shape /= np.abs(shape).max()
    whole = np.zeros(frame.mesh.size)
    whole[free] = shape
    moved = np.abs(whole[frame.mesh.dof[:, :2]]).sum(axis=1)
    node = int(np.argmax(np.round(moved / max(moved.max(), 1e-300), 6)))
    x, y = frame.mesh.xy[node]
    near = [j.id for j in girder.joints if abs(j.x - x) + abs(j.y - y) < 1.0]
    return (
        said("sharing.joint", joint=near[0]) if near else girder.members[frame.mesh.member[node]].id
    )
