"""Fasteners as springs between plies: how stiff, and what they connect."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from girderply.bases.protocol import Basis
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.catalogue.timbers_known import timber
from girderply.errors import RangeError
from girderply.model.girder import Girder
from girderply.standards import guards
from girderply.strength.sharing.mesh import Floats, Ints, Mesh
from girderply.strength.stack_columns import FastenerColumns

State = Literal["ultimate", "serviceability"]
BoltSlip = Literal["tight", "gap", "idle"]


@dataclass(frozen=True, slots=True)
class Laws:
    """How each of F fasteners answers to slip, per interface that it crosses.

    Attributes:
        modulus: (F,) slip modulus per interface, N/mm.
        gap: (F,) slip before it bears at all, mm: the clearance of a bolt in its holes.
    """

    modulus: Floats
    gap: Floats


@dataclass(frozen=True, slots=True)
class Springs:
    """The pairs of springs (x and y) of all fasteners at all interfaces that they cross.

    Attributes:
        fastener: (S,) index of the fastener of each pair. interface: (S,) 0-based.
        node: (S,) node of the mesh that it acts on in both plies.
        lever: (S, 2, 3) movement in x and y where it is, from those of the node.
        near, far: (S, 3) numbers of the node's displacements in ply k and in ply k + 1, of all
            plies displacement by displacement, ply by ply within each.
        total: how many displacements all plies have.
    """

    fastener: Ints
    interface: Ints
    node: Ints
    lever: Floats
    near: Ints
    far: Ints
    total: int

    def __len__(self) -> int:
        return len(self.fastener)

    def slip(self, moved: Floats) -> Floats:
        """Displacement of ply k less that of ply k + 1 at every pair: (S, 2) or (S, 2, r), mm.

        Args:
            moved: (size n,) or (size n, r) displacements of all plies.
        """
        apart = moved[self.near] - moved[self.far]
        return np.asarray(np.einsum("sij,sj...->si...", self.lever, apart), float)

    def pull(self, force: Floats) -> Floats:
        """Forces on the plies' displacements that hold the springs: (size n,), N and N mm.

        Args:
            force: (S, 2) N, from ply k to ply k + 1.
        """
        at_node = np.einsum("sij,si->sj", self.lever, force).ravel()
        here = np.bincount(self.near.ravel(), at_node, self.total)
        return np.asarray(here - np.bincount(self.far.ravel(), at_node, self.total), float)


def laws_of(
    columns: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    rho_mean: float | Floats,
    state: State = "ultimate",
    bolt_slip: BoltSlip = "tight",
    *,
    by: Basis,
) -> Laws:
    """Slip moduli of the basis, and what bolts lose in their holes.

    Bolts: "tight" takes the modulus as it is; "gap" lets a bolt slip freely by the clearance of
    its hole first (hole less shank: half of it in each of the two plies, centred to begin with);
    "idle" leaves bolts out, which is the lower bound.

    Args:
        columns: kind, spec and drilled hole (mm) are read.
        nails: what the specs of nails are.
        bolts: what the specs of bolts are.
        rho_mean: mean density of the timber, of all or (F,) of each fastener's, kg/m3.
        state: which modulus.
        bolt_slip: what is thought of bolts.
        by: the basis that says how stiff fasteners are.

    Raises:
        RangeError: an unknown word, or an unknown spec.
    """
    guards.choice(("ultimate", "serviceability"), state=state)
    guards.choice(("tight", "gap", "idle"), bolt_slip=bolt_slip)
    rho = np.broadcast_to(rho_mean, len(columns.kind)).tolist()
    read = (columns.kind.tolist(), columns.spec.tolist(), columns.drilled.tolist(), rho)
    rows = list(zip(*read, strict=True))
    known = {row: _law(row, nails, bolts, by) for row in sorted(set(rows))}
    table = np.array([known[row] for row in rows], float).reshape(-1, 2)
    bolted = columns.kind == FastenerKind.BOLT
    modulus = table[:, 0] * (by.ultimate(1.0) if state == "ultimate" else 1.0)
    if bolt_slip == "idle":
        modulus = np.where(bolted, 0.0, modulus)
    return Laws(modulus, table[:, 1] if bolt_slip == "gap" else np.zeros(len(rows)))


def _law(
    row: tuple[str, str, float, float],
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    by: Basis,
) -> tuple[float, float]:
    """Modulus in use in N/mm and clearance in mm of one kind, spec, hole and density."""
    kind, spec, hole, rho_mean = row
    if kind == FastenerKind.BOLT and spec in bolts:
        d = bolts[spec].bolt.d
        return by.bolt_slip(d, rho_mean).value, max(hole - d, 0.0)
    if spec in nails:
        return by.nail_slip(nails[spec], hole, rho_mean).value, 0.0
    raise RangeError(f"spec {spec!r} of a {kind} is not among the nails and bolts given")


def densities(girder: Girder, columns: FastenerColumns) -> Floats:
    """(F,) mean density of the timber that each fastener is in, kg/m3."""
    of = {m.id: timber(girder.timber_of(m)).rho_mean for m in girder.members}
    return np.array([of[name] for name in columns.member.tolist()], float)


def make_springs(columns: FastenerColumns, mesh: Mesh, plies: int) -> Springs:
    """Connect the plies at every fastener, once for each interface that it crosses.

    Args:
        columns: from_ply and to_ply are read.
        mesh: of one ply, which knows where each fastener sits.
        plies: number of plies n.

    Raises:
        RangeError: a fastener reaches outside the plies.
    """
    low = np.minimum(columns.from_ply, columns.to_ply)
    high = np.maximum(columns.from_ply, columns.to_ply)
    if len(low) and (low.min() < 1 or high.max() > plies):
        raise RangeError(f"fasteners must run from ply 1 to ply {plies} at most")
    k = np.arange(1, plies)
    fastener, interface = np.nonzero((low[:, None] <= k) & (k < high[:, None]))
    node, arm = mesh.fasteners.node[fastener], mesh.fasteners.arm[fastener]
    lever = np.zeros((len(node), 2, 3))
    lever[:, 0, 0] = lever[:, 1, 1] = 1.0
    lever[:, 0, 2], lever[:, 1, 2] = -arm[:, 1], arm[:, 0]
    near = mesh.dof[node] * plies + interface[:, None]
    return Springs(fastener, interface, node, lever, near, near + 1, mesh.size * plies)
