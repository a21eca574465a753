"""Solve the spring model for one load and read off what people ask."""

from __future__ import annotations

import numpy as np

from girderply.model.girder import Girder
from girderply.strength.sharing.law import SpringLaws
from girderply.strength.sharing.mesh import MERGE, Floats
from girderply.strength.sharing.model import Model, make_model
from girderply.strength.sharing.newton import Balance, balance, straight
from girderply.strength.sharing.results import Sharing, per_interface
from girderply.strength.sharing.springs import Laws
from girderply.strength.stack_columns import FastenerColumns


def share(
    girder: Girder,
    columns: FastenerColumns,
    laws: Laws,
    loads: Floats,
    *,
    E: float,
    merge: float = MERGE,
) -> Sharing:
    """How the plies of a girder share a load, every fastener a pair of springs.

    Each ply is a plane frame of its own: chords run through, everything else is pinned, held up
    at every bearing and sideways at the first. A bracket's twist out of the plane is not in it.

    Args:
        girder: geometry, plies, bearings, loads.
        columns: F fasteners.
        laws: their stiffness.
        loads: (L, n) what each load of the girder puts into each ply, N, downward positive.
        E: modulus of elasticity of the timber, N/mm2.
        merge: places closer than this along a member share a node, mm.

    Raises:
        FrameError: the plies do not stand on their bearings.
        RangeError: an argument out of range.
    """
    return solve(make_model(girder, columns, E, merge), laws, loads)


def solve(model: Model, laws: Laws, loads: Floats) -> Sharing:
    """As `share`, for a model that is made already.

    Raises:
        RangeError: an argument out of range.
        NotSettledError: bolts with a gap did not come into balance.
    """
    springs = spring_laws(model, laws)
    load = model.load_vector(loads)
    found = straight(model, load, springs.modulus)
    if not springs.linear:
        found = balance(model, springs, load, found.moved, np.zeros_like(found.slip))
    return read_off(model, springs.modulus, loads, found)


def spring_laws(model: Model, laws: Laws, strength: Floats | None = None) -> SpringLaws:
    """Laws of the spring pairs from those of the fasteners.

    Args:
        model: says which fastener each pair belongs to.
        laws: (F,) or (F, n - 1) modulus, (F,) gap.
        strength: (F,) or (F, n - 1) N, or None for never yielding.
    """
    shape = (model.fasteners, model.plies - 1)
    at = (model.springs.fastener, model.springs.interface)
    never = np.full(shape[0], np.inf)
    modulus, gap, held = (
        per_interface(v, shape)[at]
        for v in (laws.modulus, laws.gap, never if strength is None else strength)
    )
    return SpringLaws(modulus, gap, held)


def read_off(model: Model, modulus: Floats, loads: Floats, found: Balance) -> Sharing:
    """Displacements, reactions, member forces and fastener forces of a state in equilibrium."""
    n, mesh, frame = model.plies, model.frame.mesh, model.frame
    moved = found.moved.reshape(mesh.size, n)
    forces = model.bare(found.moved) - model.load_vector(loads)
    forces += model.springs.pull(found.answer.force)
    held = forces.reshape(mesh.size, n)
    return Sharing(
        mesh=mesh,
        loads=np.asarray(loads, float),
        displacements=np.moveaxis(moved[mesh.dof], 2, 0),
        reactions=held[frame.fixed].T,
        thrust=frame.thrust(moved),
        pieces=np.moveaxis(frame.ends(moved), 2, 0),
        force=spread(model, found.answer.force),
        slip=spread(model, found.slip),
        modulus=spread(model, modulus),
    )


def spread(model: Model, values: Floats) -> Floats:
    """From spring pairs (S, ...) to fasteners and interfaces (F, n - 1, ...), zero elsewhere."""
    out = np.zeros((model.fasteners, model.plies - 1, *values.shape[1:]))
    out[model.springs.fastener, model.springs.interface] = values
    return out
