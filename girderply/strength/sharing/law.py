"""How a fastener answers to slip: free in its gap, then elastic, then yielding; any direction.

Within one step of the load each law is the slope of a convex function of the slip, so the whole
girder has one answer, and Newton's method with a line search on the energy finds it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.strength.sharing.mesh import Floats

_TINY = 1e-12  # mm


@dataclass(frozen=True, slots=True)
class SpringLaws:
    """Laws of S spring pairs.

    Attributes:
        modulus: (S,) N/mm. gap: (S,) mm. strength: (S,) N, infinite for never yielding.
    """

    modulus: Floats
    gap: Floats
    strength: Floats

    @property
    def linear(self) -> bool:
        """True when force is modulus times slip, always."""
        return not self.gap.any() and bool(np.isinf(self.strength).all())


@dataclass(frozen=True, slots=True)
class Answer:
    """What spring pairs do at a slip.

    Attributes:
        force: (S, 2) N. tangent: (S, 2, 2) N/mm. energy: sum of all, N mm.
        beyond: (S,) slip past the onset of yielding, mm; 0 where there is none.
    """

    force: Floats
    tangent: Floats
    energy: float
    beyond: Floats


def answer(laws: SpringLaws, slip: Floats, kept: Floats) -> Answer:
    """Forces, tangent stiffness and energy of spring pairs.

    Args:
        laws: of the pairs.
        slip: (S, 2) mm.
        kept: (S, 2) plastic slip from earlier steps, mm.
    """
    e = slip - kept
    size = np.hypot(e[:, 0], e[:, 1])
    direction = e / np.maximum(size, _TINY)[:, None]
    elastic = laws.modulus * np.maximum(size - laws.gap, 0.0)
    pull = np.minimum(elastic, laws.strength)
    yields = elastic > laws.strength
    radial = np.where((size > laws.gap) & ~yields, laws.modulus, 0.0)
    across = np.where(size > _TINY, pull / np.maximum(size, _TINY), radial)
    at_rest = (size <= _TINY) & (laws.gap <= 0)
    radial, across = (np.where(at_rest, laws.modulus, v) for v in (radial, across))
    nn = direction[:, :, None] * direction[:, None, :]
    tangent = (radial - across)[:, None, None] * nn + across[:, None, None] * np.eye(2)
    soft = np.maximum(laws.modulus, _TINY)
    beyond = np.where(yields, (elastic - pull) / soft, 0.0)
    energy = float(np.sum(pull**2 / (2 * soft) + pull * beyond))
    return Answer(pull[:, None] * direction, tangent, energy, beyond)


def plastic_slip(slip: Floats, kept: Floats, beyond: Floats) -> Floats:
    """(S, 2) plastic slip after a step: what lies past the onset of yielding stays, mm."""
    e = slip - kept
    size = np.maximum(np.hypot(e[:, 0], e[:, 1]), _TINY)
    return np.asarray(kept + e * (beyond / size)[:, None], float)
