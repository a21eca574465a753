"""Fasteners as springs between plies: how stiff, and what they connect."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from numpy.typing import NDArray

from girderply.catalogue.types import BoltChoice, Nail, Screw
from girderply.errors import RangeError
from girderply.standards import guards
from girderply.standards.en1995_1_1_2014.slip import K_ser_drilled, K_ser_nail, K_u
from girderply.strength.columns import FastenerColumns
from girderply.strength.sharing.mesh import Floats, Ints, Mesh

if TYPE_CHECKING:
    from scipy.sparse import csr_array

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
        connect: (2 S, size n) slips of the pairs, x then y, from the displacements of all plies
            numbered displacement by displacement, ply by ply within each.
    """

    fastener: Ints
    interface: Ints
    connect: csr_array[Any]

    def __len__(self) -> int:
        return len(self.fastener)


def laws_of(
    columns: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    rho_mean: float,
    state: State = "ultimate",
    bolt_slip: BoltSlip = "tight",
) -> Laws:
    """Slip moduli of the standard, and what bolts lose in their holes.

    [EN 1995-1-1:2004+A2:2014, 7.1(1), Table 7.1; 2.2.2(2), Eq. (2.1); 7.1(4)]

    Bolts: "tight" takes the modulus as it is; "gap" lets a bolt slip freely by the clearance of
    its hole first (hole less shank: half of it in each of the two plies, centred to begin with);
    "idle" leaves bolts out, which is the lower bound.

    Args:
        columns: kind, spec and drilled hole (mm) are read.
        nails: what the specs of nails are.
        bolts: what the specs of bolts are.
        rho_mean: mean density of the timber, kg/m3.
        state: which modulus.
        bolt_slip: what is thought of bolts.

    Raises:
        RangeError: an unknown word, or an unknown spec.
    """
    guards.choice(("ultimate", "serviceability"), state=state)
    guards.choice(("tight", "gap", "idle"), bolt_slip=bolt_slip)
    rows = list(
        zip(columns.kind.tolist(), columns.spec.tolist(), columns.drilled.tolist(), strict=True)
    )
    known = {row: _law(row, nails, bolts, rho_mean) for row in sorted(set(rows))}
    table = np.array([known[row] for row in rows], float).reshape(-1, 2)
    bolted = columns.kind == "bolt"
    modulus = table[:, 0] * (K_u(1.0) if state == "ultimate" else 1.0)
    if bolt_slip == "idle":
        modulus = np.where(bolted, 0.0, modulus)
    return Laws(modulus, table[:, 1] if bolt_slip == "gap" else np.zeros(len(rows)))


def _law(
    row: tuple[str, str, float],
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    rho_mean: float,
) -> tuple[float, float]:
    """K_ser in N/mm and clearance in mm of one kind, spec and hole."""
    kind, spec, hole = row
    if kind == "bolt" and spec in bolts:
        d = bolts[spec].bolt.d
        return K_ser_drilled(d, rho_mean), max(hole - d, 0.0)
    if spec in nails:
        nail = nails[spec]
        if isinstance(nail, Screw):
            return K_ser_drilled(1.1 * nail.d_root, rho_mean), 0.0
        d = nail.d
        return (K_ser_drilled if hole > 0 else K_ser_nail)(d, rho_mean), 0.0
    raise RangeError(f"spec {spec!r} of a {kind} is not among the nails and bolts given")


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
    return Springs(fastener, interface, _connection(mesh, fastener, interface, plies))


def _connection(mesh: Mesh, fastener: Ints, interface: Ints, plies: int) -> csr_array[Any]:
    """Slip: displacement of ply k less that of ply k + 1 where the fastener is."""
    from scipy.sparse import coo_array  # noqa: PLC0415

    dof = mesh.dof[mesh.fasteners.node[fastener]]
    arm = mesh.fasteners.arm[fastener]
    one = np.ones(len(dof))
    pair = np.arange(len(dof))
    parts: list[tuple[Ints, Ints, NDArray[np.float64]]] = []
    for side, sign in ((0, 1.0), (1, -1.0)):
        ply = interface + side
        for axis, lever in ((0, -arm[:, 1]), (1, arm[:, 0])):
            row = 2 * pair + axis
            parts.append((row, dof[:, axis] * plies + ply, sign * one))
            parts.append((row, dof[:, 2] * plies + ply, sign * lever))
    rows, cols, values = (np.concatenate(c) for c in zip(*parts, strict=True))
    shape = (2 * len(dof), mesh.size * plies)
    return coo_array((values, (rows, cols)), shape=shape).tocsr()
