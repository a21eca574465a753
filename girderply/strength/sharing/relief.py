"""Which fasteners bring the plies together: what one ply is spared when one is made stiffer.

The reaction of a ply under a load is, by reciprocity, minus the load times the displacements that
lowering that ply's bearings by one would cause. So one more solution gives the derivative of the
reaction by the stiffness of every fastener at once: slip of the one times slip of the other.
"""

from __future__ import annotations

import numpy as np

from girderply.errors import RangeError
from girderply.strength.sharing.mesh import Floats
from girderply.strength.sharing.model import Model
from girderply.strength.sharing.newton import straight
from girderply.strength.sharing.solved import spring_laws
from girderply.strength.sharing.springs import Laws


def relief(model: Model, laws: Laws, loads: Floats, ply: int, bearing: int | None = None) -> Floats:
    """What a ply's reaction falls by when a fastener is doubled, to first order.

    Bolts are taken without their gap. Negative where a stiffer fastener would load the ply more.

    Args:
        model: plies and connection.
        laws: stiffness of the fasteners.
        loads: (L, n) what each load puts into each ply, N, downward positive.
        ply: 0-based.
        bearing: 0-based, or None for all bearings together.

    Returns:
        (F,) N, sum over the interfaces that the fastener crosses.

    Raises:
        RangeError: there is no such ply or bearing.
    """
    held = model.frame.fixed
    if not 0 <= ply < model.plies or not (bearing is None or 0 <= bearing < len(held)):
        raise RangeError(f"there is no ply {ply} or no bearing {bearing}")
    modulus = spring_laws(model, laws).modulus
    slip = straight(model, model.load_vector(loads), modulus).slip
    settled = np.zeros((model.frame.mesh.size, model.plies))
    settled[held if bearing is None else held[bearing], ply] = 1.0
    virtual = _settlement_slip(model, modulus, settled.ravel())
    gain = -modulus * np.einsum("si,si->s", slip, virtual)
    return np.asarray(np.bincount(model.springs.fastener, gain, model.fasteners), float)


def _settlement_slip(model: Model, modulus: Floats, settled: Floats) -> Floats:
    """(S, 2) slips when supports move as given and nothing is loaded."""
    tangent = modulus[:, None, None] * np.eye(2)
    pulled = modulus[:, None] * model.springs.slip(settled)
    rest = model.bare(settled) + model.springs.pull(pulled)
    field = settled - model.factoring.solve(tangent, rest)
    return model.springs.slip(field)
