"""Equilibrium of plies and fasteners under a load, whatever the law of the fasteners."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.errors import GirderplyError
from girderply.strength.sharing.law import Answer, SpringLaws, answer
from girderply.strength.sharing.mesh import Floats
from girderply.strength.sharing.model import Model

_STEPS = 60
_HALVINGS = 12
CLOSE = 1e-8  # residual beside the load
_ROUNDING = 4e-15  # of the largest terms that are added up in a row


class NotSettledError(GirderplyError, ArithmeticError):
    """The forces did not come into balance in the steps allowed."""


@dataclass(frozen=True, slots=True)
class Balance:
    """A state in equilibrium: displacements (size n,), slips (S, 2), what the springs answer."""

    moved: Floats
    slip: Floats
    answer: Answer


def straight(model: Model, load: Floats, modulus: Floats) -> Balance:
    """Equilibrium with linear springs: one factoring.

    Args:
        model: plies and connection.
        load: (size n,) N and N mm.
        modulus: (S,) N/mm.
    """
    laws = SpringLaws(modulus, np.zeros(len(modulus)), np.full(len(modulus), np.inf))
    moved = model.factoring.solve(modulus[:, None, None] * np.eye(2), load)
    slip = model.springs.slip(moved)
    return Balance(moved, slip, answer(laws, slip, np.zeros_like(slip)))


def balance(model: Model, laws: SpringLaws, load: Floats, start: Floats, kept: Floats) -> Balance:
    """Equilibrium with any law, by Newton's method.

    Args:
        model: plies and connection.
        laws: of the spring pairs.
        load: (size n,) N and N mm.
        start: (size n,) displacements to begin with, mm and rad.
        kept: (S, 2) plastic slip from earlier steps, mm.

    Raises:
        NotSettledError: no equilibrium within the steps allowed.
    """
    state = _State(model, laws, load, kept)
    moved = start
    now, rest, energy = state.at(moved)
    # no sum of stiffness times displacement comes nearer to zero than its own rounding
    rounding = _ROUNDING * float(model.bare(start, size=True).max(initial=0.0))
    goal = max(CLOSE * float(np.abs(load).max(initial=0.0)), rounding, 1e-9)
    for _ in range(_STEPS):
        if float(np.abs(rest).max(initial=0.0)) <= goal:
            return Balance(moved, state.slip(moved), now)
        step = model.factoring.solve(now.tangent, -rest)
        moved, now, rest, energy = _descend(state, moved, step, (rest, energy))
    raise NotSettledError("the forces in the fasteners did not come into balance")


@dataclass(frozen=True, slots=True)
class _State:
    model: Model
    laws: SpringLaws
    load: Floats
    kept: Floats

    def slip(self, moved: Floats) -> Floats:
        return self.model.springs.slip(moved)

    def at(self, moved: Floats) -> tuple[Answer, Floats, float]:
        """What springs answer, the forces out of balance (free ones only), the energy."""
        now = answer(self.laws, self.slip(moved), self.kept)
        bare = self.model.bare(moved)
        rest = np.zeros(len(moved))
        free = self.model.free
        all_forces = bare + self.model.springs.pull(now.force) - self.load
        rest[free] = all_forces[free]
        return now, rest, float(moved @ bare) / 2 + now.energy - float(self.load @ moved)


def _descend(
    state: _State, moved: Floats, step: Floats, before: tuple[Floats, float]
) -> tuple[Floats, Answer, Floats, float]:
    """Go along the step as far as the energy falls enough."""
    rest, energy = before
    slope = float(rest @ step)
    size = 1.0
    for _ in range(_HALVINGS):
        there = moved + size * step
        now, left, level = state.at(there)
        # near the end rounding hides the fall of the energy: then a smaller residual will do
        if level <= energy + 1e-4 * size * slope or np.abs(left).max() < 0.5 * np.abs(rest).max():
            break
        size /= 2
    return there, now, left, level
