"""Forces of every member and ply, and reactions, for the truss designer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.model.girder import Girder
from girderply.strength.sharing.mesh import Floats
from girderply.strength.sharing.ply_forces import PlyForces


@dataclass(frozen=True, slots=True)
class MemberForces:
    """The largest of one member of one ply in one combination, over all states of the fasteners.

    From the hung loads of the job alone. Each with its sign where its magnitude is largest; they
    need not belong to one section nor to one state.

    Attributes:
        member: id. ply: 1-based. combination: id.
        N: axial force, N, tension positive. V: shear, N. M: moment, N mm; positive where it pulls
            the edge to the right of the direction from the hook end (the lower edge of a member
            that is hooked at its left end).
        equal: N, V and M by equal shares.
    """

    member: str
    ply: int
    combination: str
    N: float
    V: float
    M: float
    equal: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Reaction:
    """What one ply puts on one bearing in one combination, N, upward on the ply positive.

    Attributes:
        bearing, ply: 1-based. x: of the bearing, mm. combination: id.
        most, least: over all states of the fasteners. equal: by equal shares.
    """

    bearing: int
    x: float
    ply: int
    combination: str
    most: float
    least: float
    equal: float


def member_forces(found: PlyForces, girder: Girder) -> tuple[MemberForces, ...]:
    """By member, combination and ply."""
    mesh, n = found.mesh, girder.plies
    member = mesh.member[mesh.ends[:, 0]]
    every = _sections(found.pieces)  # (3, s, c, n, E, 2)
    equal = _sections(found.pieces.sum(axis=2, keepdims=True) / n)
    out: list[MemberForces] = []
    for i, m in enumerate(girder.members):
        mine = member == i
        own = _largest(every[..., mine, :])  # (3, c, n)
        even = _largest(equal[..., mine, :])[..., 0].T.tolist()  # (c, 3)
        for c, case in enumerate(found.cases):
            for p in range(n):
                N, V, M = own[:, c, p].tolist()
                out.append(MemberForces(m.id, p + 1, case.id, N, V, M, tuple(even[c])))
    return tuple(out)


def reactions(found: PlyForces, girder: Girder) -> tuple[Reaction, ...]:
    """By bearing, combination and ply."""
    most, least = found.reactions.max(axis=0), found.reactions.min(axis=0)
    equal = found.reactions[0].mean(axis=1)
    return tuple(
        Reaction(b + 1, bearing.x, p + 1, case.id,
                 float(most[c, p, b]), float(least[c, p, b]), float(equal[c, b]))
        for b, bearing in enumerate(girder.bearings)
        for c, case in enumerate(found.cases)
        for p in range(girder.plies)
    )  # fmt: skip


def _sections(pieces: Floats) -> Floats:
    """(3, s, c, p, E, 2) axial force, shear and moment at both ends of every piece."""
    N = np.stack([-pieces[..., 0], pieces[..., 3]], axis=-1)
    V = np.stack([pieces[..., 1], -pieces[..., 4]], axis=-1)
    M = np.stack([-pieces[..., 2], pieces[..., 5]], axis=-1)
    return np.stack([N, V, M])


def _largest(values: Floats) -> Floats:
    """(3, c, p) the value of largest magnitude over states and sections, with its sign."""
    flat = np.moveaxis(values, 1, -1)
    flat = flat.reshape(*flat.shape[:3], -1)
    at = np.argmax(np.round(np.abs(flat), 6), axis=-1)[..., None]
    return np.asarray(np.take_along_axis(flat, at, axis=-1)[..., 0], float)
