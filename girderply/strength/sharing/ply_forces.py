"""What every ply carries, in every combination and in every state of its fasteners.

The plies and the fasteners are linear, so each part of the load on each face is solved once and the
combinations are added up. Where bolts have play in their holes a combination is solved by itself,
unless none of its bolts comes to bear.

Where the transfer is designed by computed shares, what every ply keeps of each load by itself is
found beside it, on the same springs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from girderply.bases.answers import Creep
from girderply.bases.protocol import Basis
from girderply.bases.registry import basis_of
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.catalogue.timbers_known import timber
from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.strength.demand import entering
from girderply.strength.in_force import Judge
from girderply.strength.load_sets import LoadCase, load_cases
from girderply.strength.load_shares import LoadShares
from girderply.strength.sharing.law import SpringLaws, answer
from girderply.strength.sharing.mesh import Floats, FrameError, Mesh
from girderply.strength.sharing.model import Model, make_model
from girderply.strength.sharing.newton import balance
from girderply.strength.sharing.solved import spring_laws
from girderply.strength.sharing.springs import BoltSlip, Laws, densities, laws_of
from girderply.strength.stack_columns import FastenerColumns, crossings
from girderply.wording import said

Age = Literal["initial", "final"]


@dataclass(frozen=True, slots=True)
class State:
    """How the fasteners are thought to be.

    Attributes:
        bolts: "tight" in their holes, or with the "play" of their holes; "none": there are none.
        age: "initial", or "final" after creep, which softens fasteners more than plies.
    """

    bolts: Literal["tight", "play", "none"]
    age: Age


@dataclass(frozen=True, slots=True)
class PlyForces:
    """Forces of s states, c combinations, n plies.

    Attributes:
        states: of the fasteners. cases: combinations of the whole girder.
        mesh: of one ply.
        loads: (c, L, n) what each load puts into each ply, N, downward positive.
        reactions: (s, c, n, B) upward, N.
        pieces: (s, c, n, E, 6) end forces of every piece, as in `Sharing.pieces`.
        shares: of each load by itself, where the job designs by computed shares.
    """

    states: tuple[State, ...]
    cases: tuple[LoadCase, ...]
    mesh: Mesh
    loads: Floats
    reactions: Floats
    pieces: Floats
    shares: tuple[LoadShares, ...] = ()


def ply_forces(
    job: Job,
    girder: Girder,
    columns: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
) -> PlyForces:
    """Solve the plies on their springs for everything that hangs on them.

    Slip moduli are those of the ultimate state, whatever standard judges the strength. A point too
    short to count at an interface is no spring there.

    Args:
        job: basis, moisture.
        girder: geometry, loads, plies.
        columns: all fasteners.
        nails: by spec.
        bolts: by spec.

    Raises:
        FrameError: the plies do not stand, or their stiffness is not known.
        NotSettledError: bolts with play did not come into balance.
    """
    wood = timber(girder.timber)
    if wood.E_mean is None:
        text = said("sharing.no_stiffness", timber=wood.key)
        raise FrameError(Finding("sharing-no-stiffness", Severity.NOTE, "girder.timber", text))
    model = make_model(girder, columns, wood.E_mean)
    cases = load_cases(job.basis, girder)
    into = np.array(
        [
            [entering(x, v, girder.plies) for x, v in zip(girder.loads, c.values, strict=True)]
            for c in cases
        ],
        float,
    ).reshape(len(cases), len(girder.loads), girder.plies)
    counted = _counted(job, girder, columns, nails, bolts)
    work = _Work(model, into, girder if job.fastening.by_computed else None)
    states: list[State] = []
    moved: list[_Moved] = []
    shares: list[LoadShares] = []
    bolted = columns.kind == FastenerKind.BOLT
    play = bool((bolted & (columns.drilled > 0)).any())
    stiff: Literal["tight", "none"] = "tight" if bolted.any() else "none"
    ages: tuple[Age, ...] = ("initial", "final")
    basis = basis_of(job.basis)
    creep = basis.creep(job.basis, job.girder.moisture)
    for age in ages:
        softer = creep if age == "final" else Creep(0.0, 0.0, "")
        tight, loose = (
            _laws(
                columns,
                nails,
                bolts,
                densities(girder, columns),
                counted,
                softer,
                basis,
                slack=slack,
            )
            for slack in (False, True)
        )
        states.append(State(stiff, age))
        moved.append(work.tight(tight))
        shares += work.shares(states[-1], cases, moved[-1])
        if play and loose.gap.any():
            states.append(State("play", age))
            moved.append(work.loose(loose, moved[-1]))
            shares += work.shares(states[-1], cases, moved[-1])
    read = [work.read(m) for m in moved]
    return PlyForces(
        tuple(states), cases, model.frame.mesh, into,
        np.array([r for r, _ in read]), np.array([p for _, p in read]), tuple(shares),
    )  # fmt: skip


def _laws(
    columns: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
    rho_mean: Floats,
    counted: Floats,
    creep: Creep,
    basis: Basis,
    *,
    slack: bool,
) -> Laws:
    """Fasteners beside plies that keep their first stiffness.

    Forces hang on the ratio of what plies and fasteners soften by, and a gap is less beside plies
    that have grown softer.
    """
    slip: BoltSlip = "gap" if slack else "tight"
    laws = laws_of(columns, nails, bolts, rho_mean, "ultimate", slip, by=basis)
    modulus = laws.modulus * (1 + creep.timber) / (1 + creep.joint)
    return Laws(modulus[:, None] * counted, laws.gap / (1 + creep.timber))


def _counted(
    job: Job,
    girder: Girder,
    columns: FastenerColumns,
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
) -> Floats:
    """(F, n - 1) one where a fastener counts at an interface, else zero."""
    judge = Judge.of(job, girder, nails, bolts)
    classes, of_class = crossings(columns, np.arange(len(columns.member)))
    table = np.zeros((len(classes), girder.plies - 1))
    for row, crossing in zip(table, classes, strict=True):
        row[[k - 1 for k in judge.counted(crossing)]] = 1.0
    return np.asarray(table[of_class], float)


Alone = tuple[Floats, Floats]


@dataclass(frozen=True, slots=True)
class _Moved:
    """Displacements (size n, c) and forces of the spring pairs (S, 2, c) of all combinations.

    `alone` is the same of each load by itself, of one unit, on the linear springs. `bears` are the
    combinations where bolts with play come to bear, so that their springs are others.
    """

    moved: Floats
    force: Floats
    alone: Alone
    bears: tuple[int, ...] = ()


class _Work:
    """One model under the loads of all combinations."""

    def __init__(self, model: Model, into: Floats, apart: Girder | None) -> None:
        """Take the loads of all combinations, and of which girder each load is wanted apart."""
        self.model, self.apart = model, apart
        self.vectors = self._columns(into)
        loads, n = apart.loads if apart else (), model.plies
        alone = np.zeros((len(loads), len(loads), n))
        for i, load in enumerate(loads):
            alone[i, i] = entering(load, 1.0, n)
        self.units = self._columns(alone)

    def _columns(self, into: Floats) -> Floats:
        """(size n, c) from what c sets of loads put into each ply."""
        size = self.model.frame.mesh.size * self.model.plies
        return np.array([self.model.load_vector(v) for v in into]).reshape(-1, size).T

    def tight(self, laws: Laws) -> _Moved:
        """Linear springs: one factoring for all combinations."""
        return self._linear(spring_laws(self.model, laws).modulus)

    def loose(self, laws: Laws, tight: _Moved) -> _Moved:
        """Bolts with play, begun from the better of bolts that are tight and bolts left out."""
        springs = spring_laws(self.model, laws)
        gaps = springs.gap > 0
        idle = self._linear(np.where(gaps, 0.0, springs.modulus))
        slip = self.model.springs.slip(idle.moved)[gaps]
        bears = (np.hypot(slip[:, 0], slip[:, 1]) > springs.gap[gaps, None]).any(axis=0)
        found = tuple(np.flatnonzero(bears).tolist())
        for c in found:
            load, begun = self.vectors[:, c], (tight.moved[:, c], idle.moved[:, c])
            start = min(begun, key=lambda moved: self._energy(springs, load, moved))
            settled = balance(self.model, springs, load, start, np.zeros((len(springs.gap), 2)))
            idle.moved[:, c], idle.force[..., c] = settled.moved, settled.answer.force
        return replace(idle, bears=found)

    def shares(
        self, state: State, cases: tuple[LoadCase, ...], found: _Moved
    ) -> Iterator[LoadShares]:
        """What every ply keeps of each load by itself, in one state; nothing where nobody asks."""
        if self.apart is None:
            return
        bent = found.bears
        alike = tuple(case.id for c, case in enumerate(cases) if c not in bent)
        if alike:
            yield self._kept(state, alike if bent else (), found.alone)
        for c in bent:
            yield self._kept(state, (cases[c].id,), self._linear(self._secant(found, c)).alone)

    def _kept(self, state: State, cases: tuple[str, ...], alone: Alone) -> LoadShares:
        loads = self.apart.loads if self.apart else ()
        up = self._reactions(*alone, self.units).sum(axis=2).tolist()
        kept = {load.id: tuple(row) for load, row in zip(loads, up, strict=True)}
        return LoadShares(state.bolts, state.age, cases, kept)

    def _secant(self, found: _Moved, c: int) -> Floats:
        """(S,) force over slip of every pair in one combination: with it the loads add up."""
        force, slip = found.force[..., c], self.model.springs.slip(found.moved[:, c])
        size = np.hypot(slip[:, 0], slip[:, 1])
        pull = np.hypot(force[:, 0], force[:, 1])
        return np.asarray(np.divide(pull, size, out=np.zeros_like(pull), where=size > 0.0), float)

    def _energy(self, springs: SpringLaws, load: Floats, moved: Floats) -> float:
        slip = self.model.springs.slip(moved)
        own = float(moved @ self.model.bare(moved)) / 2
        return own + answer(springs, slip, np.zeros_like(slip)).energy - float(load @ moved)

    def _linear(self, modulus: Floats) -> _Moved:
        """All combinations, and each load by itself, on linear springs."""
        each, count = np.hstack([self.vectors, self.units]), self.vectors.shape[1]
        moved = self.model.factoring.solve(modulus[:, None, None] * np.eye(2), each)
        force = modulus[:, None, None] * self.model.springs.slip(moved)
        alone = moved[:, count:], force[..., count:]
        return _Moved(moved[:, :count], force[..., :count], alone)

    def _reactions(self, moved: Floats, force: Floats, vectors: Floats) -> Floats:
        """(c, n, B) of the bearings, upward, N."""
        frame, n, cases = self.model.frame, self.model.plies, moved.shape[1]
        size = frame.mesh.size
        held = frame.product(moved.reshape(size, n * cases)).reshape(-1, cases) - vectors
        for c in range(cases):
            held[:, c] += self.model.springs.pull(force[..., c])
        up = held.reshape(size, n, cases)[frame.fixed]
        return np.asarray(np.moveaxis(up, (2, 1), (0, 1)), float)

    def read(self, found: _Moved) -> tuple[Floats, Floats]:
        """(c, n, B) reactions and (c, n, E, 6) end forces of the pieces."""
        frame, n, mesh = self.model.frame, self.model.plies, self.model.frame.mesh
        cases = found.moved.shape[1]
        flat = found.moved.reshape(mesh.size, n * cases)
        own = frame.ends(flat)
        pieces = np.moveaxis(own.reshape(len(own), 6, n, cases), (3, 2), (0, 1))
        return self._reactions(found.moved, found.force, self.vectors), pieces
