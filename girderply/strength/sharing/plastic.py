"""Fasteners that yield: the load is raised in steps, and neighbours take over.

Nails are ductile: one that has reached its strength keeps it and slips. The plies stay elastic, so
the girder never collapses in this model; what ends is the transfer. From the factor on at which it
stops to grow, whatever is added to the load stays in the ply it hangs on. Every state on the way is
in equilibrium with no fastener beyond its strength, so it is safe in the sense of the static
theorem as far as the fasteners go.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from girderply.errors import RangeError
from girderply.strength.sharing.law import SpringLaws, plastic_slip
from girderply.strength.sharing.mesh import Floats, Ints
from girderply.strength.sharing.model import Model
from girderply.strength.sharing.newton import Balance, NotSettledError, balance, straight
from girderply.strength.sharing.results import Sharing
from girderply.strength.sharing.solved import read_off, spread, spring_laws
from girderply.strength.sharing.springs import Laws

SLIP_LIMIT = 15.0  # mm: EN 26891:1991, 8.5, slip at which a joint test ends (value from memory)
GROWTH = 1.1  # each step multiplies the load by this
MOST_STEPS = 60
STALLED = 0.05  # of its elastic rate: transfer that grows slower than this has yielded
_FELT = 0.01  # of the whole load: interfaces that pass less are not watched

End = Literal["transfer", "slip", "steps", "unsettled", "nothing yields"]


@dataclass(frozen=True, slots=True)
class Plastic:
    """What happens as the load is raised.

    Attributes:
        first_yield: load factor at which the first fastener yields (1 is the load given);
            infinite when nothing passes.
        factor: load factor reached: the transfer stops to grow, or the slip is at its limit.
        ended_by: "transfer", "slip", "steps" (none of these in the steps allowed), "unsettled"
            (no equilibrium found beyond), "nothing yields".
        fastener, interface: (m,) 0-based, in the order of yielding. at: (m,) their load factors,
            interpolated within a step.
        factors: (s,) load factors of the steps. passed: (s, n - 1) load that passes each
            interface, N. shares: (s, n) of each ply in all reactions. yielded: (s,) how many
            fastener crossings have yielded. slip: (s,) largest slip, mm.
        plastic_slip: (F, n - 1, 2) slip beyond the elastic in the final state, mm.
        final: the state at the last step within the limits.
    """

    first_yield: float
    factor: float
    ended_by: End
    fastener: Ints
    interface: Ints
    at: Floats
    factors: Floats
    passed: Floats
    shares: Floats
    yielded: Ints
    slip: Floats
    plastic_slip: Floats
    final: Sharing


def plastic(
    model: Model,
    laws: Laws,
    loads: Floats,
    strength: Floats,
    *,
    slip_limit: float = SLIP_LIMIT,
    growth: float = GROWTH,
) -> Plastic:
    """Raise the load until the transfer between plies yields or slips too far.

    Args:
        model: plies and connection, from `make_model`.
        laws: stiffness of the fasteners.
        loads: (L, n) what each load puts into each ply at factor 1, N, downward positive.
        strength: (F,) or (F, n - 1) resistance of each fastener at each interface, N; one of
            zero resistance is left out.
        slip_limit: mm.
        growth: each step multiplies the load by this; more than 1.

    Raises:
        RangeError: an argument out of range.
        NotSettledError: not even the first step came into balance.
    """
    if not 1.0 < growth <= 2.0:
        raise RangeError(f"growth must be more than 1 and at most 2, not {growth!r}")
    if not slip_limit > 0.0:
        raise RangeError(f"slip_limit must be greater than 0, not {slip_limit!r}")
    path = _Path(model, spring_laws(model, laws, strength), np.asarray(loads, float))
    path.run(slip_limit, growth)
    return path.result()


class _Path:
    """The states passed through as the load is raised."""

    def __init__(self, model: Model, laws: SpringLaws, loads: Floats) -> None:
        modulus = np.where(laws.strength > 0, laws.modulus, 0.0)
        self.model, self.laws = model, SpringLaws(modulus, laws.gap, laws.strength)
        self.loads, self.load = loads, model.load_vector(loads)
        self.elastic = straight(model, self.load, modulus)
        self.kept = np.zeros_like(self.elastic.slip)
        self.used = np.zeros(len(modulus))  # of their strength, at the last step
        self.onset = np.full(len(modulus), np.inf)
        self.states: list[tuple[float, Sharing]] = []
        self.yielded: list[int] = []
        self.ended_by: End = "steps"
        self.reached = np.inf

    def start(self) -> float:
        """Factor of the first yield if nothing had a gap."""
        size = np.hypot(self.elastic.answer.force[:, 0], self.elastic.answer.force[:, 1])
        held = self.laws.strength > 0
        most = float((size[held] / self.laws.strength[held]).max(initial=0.0))
        return 1.0 / most if most > 1e-12 else np.inf

    def run(self, slip_limit: float, growth: float) -> None:
        factor = self.start()
        if not np.isfinite(factor):
            self.ended_by = "nothing yields"
            self.states.append((1.0, self._read(1.0, self.elastic)))
            self.yielded.append(0)
            return
        if self.laws.gap.any():
            factor /= 4.0  # bolts that do not bear yet load the nails more
        moved = factor * self.elastic.moved
        for _ in range(MOST_STEPS):
            try:
                found = balance(self.model, self.laws, factor * self.load, moved, self.kept)
            except NotSettledError:
                if not self.states:
                    raise
                self._stop("unsettled", self._last())
                return
            if self._over(factor, found, slip_limit):
                return
            self._take(factor, found)
            moved = growth * found.moved
            factor *= growth
        self._stop("steps", self._last())

    def _last(self) -> float:
        return self.states[-1][0] if self.states else 0.0

    def _stop(self, why: End, factor: float) -> None:
        self.ended_by, self.reached = why, factor

    def _over(self, factor: float, found: Balance, slip_limit: float) -> bool:
        """Whether this state is past what counts; says why and where the end is."""
        slip = float(np.hypot(found.slip[:, 0], found.slip[:, 1]).max(initial=0.0))
        if not self.states:
            return False
        last, before = self.states[-1]
        if slip > slip_limit:
            then = float(before.slip_size.max(initial=0.0))
            share = max(slip_limit - then, 0.0) / (slip - then)
            self._stop("slip", last + share * (factor - last))
            return True
        if not self.yielded[-1]:
            return False
        first, begin = self.states[0]
        rate = (self._read(factor, found).passed - before.passed) / (factor - last)
        usual = begin.passed / first
        felt = np.abs(usual) > _FELT * np.abs(self.loads).sum()
        if np.any(rate[felt] / usual[felt] < STALLED):
            self._stop("transfer", last)
            return True
        return False

    def _take(self, factor: float, found: Balance) -> None:
        """Keep a state, note who yielded on the way to it."""
        e = found.slip - self.kept
        trial = self.laws.modulus * np.maximum(np.hypot(e[:, 0], e[:, 1]) - self.laws.gap, 0.0)
        strength = np.maximum(self.laws.strength, 1e-300)
        used = np.where(self.laws.modulus > 0, trial / strength, 0.0)
        new = (used >= 1.0 - 1e-9) & np.isinf(self.onset)
        last = self._last()
        gained = np.maximum(used - self.used, 1e-300)
        share = np.clip((1.0 - self.used) / gained, 0.0, 1.0)
        self.onset[new] = (last + share * (factor - last))[new]
        self.used = np.minimum(used, 1.0)
        self.kept = plastic_slip(found.slip, self.kept, found.answer.beyond)
        self.states.append((factor, self._read(factor, found)))
        self.yielded.append(int(np.isfinite(self.onset).sum()))

    def _read(self, factor: float, found: Balance) -> Sharing:
        return read_off(self.model, self.laws.modulus, factor * self.loads, found)

    def result(self) -> Plastic:
        springs = self.model.springs
        done = np.flatnonzero(np.isfinite(self.onset))
        order = done[np.lexsort((done, np.round(self.onset[done], 9)))]
        states = [s for _, s in self.states]
        return Plastic(
            first_yield=float(self.onset.min(initial=np.inf)),
            factor=self.reached,
            ended_by=self.ended_by,
            fastener=springs.fastener[order],
            interface=springs.interface[order],
            at=self.onset[order],
            factors=np.array([f for f, _ in self.states]),
            passed=np.array([s.passed for s in states]),
            shares=np.array([s.shares for s in states]),
            yielded=np.array(self.yielded, np.intp),
            slip=np.array([s.slip_size.max(initial=0.0) for s in states]),
            plastic_slip=spread(self.model, self.kept),
            final=states[-1],
        )
