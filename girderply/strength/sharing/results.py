"""What the spring model says about one girder under one load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.errors import RangeError
from girderply.model.girder import Girder
from girderply.strength.sharing.mesh import Floats, Mesh


@dataclass(frozen=True, slots=True)
class ChordShare:
    """What each ply really carries of one chord, where the whole girder carries most.

    Attributes:
        member: id.
        axial_station: where the axial force of all plies together is largest, mm from the hook
            end. axial: (n,) of each ply there, N, tension positive.
        moment_station: where the moment of all plies together is largest, mm. moment: (n,) of
            each ply there, N mm.
        worst_moment: (n,) largest moment of each ply anywhere along it, N mm, magnitude.
    """

    member: str
    axial_station: float
    axial: Floats
    moment_station: float
    moment: Floats
    worst_moment: Floats

    @property
    def shares(self) -> Floats:
        """(n,) of the axial force; NaN where there is none."""
        return _shares(self.axial)


@dataclass(frozen=True, slots=True)
class Flow:
    """Force that passes each interface along a chord, per length.

    Attributes:
        member: id. edges: (b + 1,) stations of the bins, mm from the hook end.
        force: (n - 1, b, 2) from ply k to ply k + 1, along the member and across it (left of the
            direction of travel positive), N/mm.
    """

    member: str
    edges: Floats
    force: Floats


@dataclass(frozen=True, slots=True)
class Sharing:
    """How the plies share, from the spring model.

    Attributes:
        mesh: nodes of one ply, the same for all.
        loads: (L, n) what each load put into each ply, N, downward positive.
        displacements: (n, N, 3) x and y in mm, rotation in rad (counter-clockwise), by ply and
            node of the mesh.
        reactions: (n, B) upward, N, by ply and bearing. thrust: (n,) at the first bearing, to
            the right, N.
        pieces: (n, E, 6) end forces of every piece of the mesh in its own axes (along, across,
            moment, at its first end and at its second), as the nodes act on it, N and N mm.
        force: (F, n - 1, 2) elevation components of what each fastener passes on from ply k to
            ply k + 1, N; zero where it does not cross.
        slip: (F, n - 1, 2) displacement of ply k less that of ply k + 1 at the fastener, mm.
        modulus: (F, n - 1) slip modulus that was used, N/mm; zero where it does not cross.
    """

    mesh: Mesh
    loads: Floats
    displacements: Floats
    reactions: Floats
    thrust: Floats
    pieces: Floats
    force: Floats
    slip: Floats
    modulus: Floats

    @property
    def plies(self) -> int:
        """Number of plies n."""
        return int(self.displacements.shape[0])

    @property
    def force_size(self) -> Floats:
        """(F, n - 1) magnitude of what each fastener passes at each interface, N."""
        return np.asarray(np.hypot(self.force[..., 0], self.force[..., 1]), float)

    @property
    def slip_size(self) -> Floats:
        """(F, n - 1) magnitude of the slip, mm."""
        return np.asarray(np.hypot(self.slip[..., 0], self.slip[..., 1]), float)

    @property
    def bearing_shares(self) -> Floats:
        """(n, B) share of each ply in the reaction of each bearing; NaN where there is none."""
        return np.stack([_shares(r) for r in self.reactions.T], axis=1)

    @property
    def shares(self) -> Floats:
        """(n,) share of each ply in all reactions together; NaN where there is none."""
        return _shares(self.reactions.sum(axis=1))

    @property
    def passed(self) -> Floats:
        """(n - 1,) load that passes each interface in all, N, downward from ply k to k + 1."""
        entering = self.loads.sum(axis=0)
        return np.asarray(np.cumsum(entering - self.reactions.sum(axis=1))[:-1], float)

    def hardest(self, strength: Floats | None = None) -> tuple[int, int]:
        """Fastener and interface (both 0-based) with the largest force, or utilisation.

        Args:
            strength: (F,) or (F, n - 1) resistance, N; None to compare forces.

        Raises:
            RangeError: there is no fastener.
        """
        if not self.force.size:
            raise RangeError("the girder has no fastener between its plies")
        worth = self.force_size if strength is None else self.utilisation(strength)
        row, column = np.unravel_index(int(np.argmax(worth)), worth.shape)
        return int(row), int(column)

    def utilisation(self, strength: Floats) -> Floats:
        """(F, n - 1) force over resistance; infinite where nothing resists a force.

        Args:
            strength: (F,) or (F, n - 1), N.
        """
        held = per_interface(strength, self.force.shape[:2])
        size = self.force_size
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = size / held
        return np.where(held > 0, ratio, np.where(size > 0, np.inf, 0.0))

    def chord_shares(self, girder: Girder) -> tuple[ChordShare, ...]:
        """What each ply carries of each chord, in the order of the girder's members."""
        return tuple(
            self._chord_share(i, m.id) for i, m in enumerate(girder.members) if m.role.is_chord
        )

    def _chord_share(self, index: int, name: str) -> ChordShare:
        pieces = np.flatnonzero(self.mesh.member[self.mesh.ends[:, 0]] == index)
        axial = self.pieces[:, pieces, 3]
        moments = np.concatenate([-self.pieces[:, pieces, 2], self.pieces[:, pieces[-1:], 5]], 1)
        stations = self.mesh.station[[*self.mesh.ends[pieces, 0], self.mesh.ends[pieces[-1], 1]]]
        a = int(np.argmax(np.abs(axial.sum(axis=0))))
        b = int(np.argmax(np.abs(moments.sum(axis=0))))
        worst = np.abs(moments).max(axis=1)
        middle = float(stations[a] + stations[a + 1]) / 2
        return ChordShare(name, middle, axial[:, a], float(stations[b]), moments[:, b], worst)

    def flow(self, girder: Girder, member_id: str, bin_length: float = 250.0) -> Flow:
        """What passes each interface along a member, per length, in bins of equal length.

        Args:
            girder: the member's direction and length.
            member_id: which.
            bin_length: bins are at most this long, mm.
        """
        member = girder.member(member_id)
        index = [m.id for m in girder.members].index(member_id)
        node = self.mesh.fasteners.node
        mine = np.flatnonzero(self.mesh.member[node] == index)
        along = np.array([np.cos(member.angle), np.sin(member.angle)])
        station = self.mesh.station[node[mine]] + self.mesh.fasteners.arm[mine] @ along
        count = max(1, int(np.ceil(member.length / bin_length)))
        edges = np.linspace(0.0, member.length, count + 1)
        where = np.clip(np.searchsorted(edges, station, side="right") - 1, 0, count - 1)
        turned = self.force[mine] @ np.stack([along, [-along[1], along[0]]], axis=1)
        total = np.zeros((count, *turned.shape[1:]))
        np.add.at(total, where, turned)
        return Flow(member_id, edges, np.swapaxes(total, 0, 1) / (member.length / count))


def per_interface(values: Floats, shape: tuple[int, ...]) -> Floats:
    """Spread (F,) values over the interfaces, or take (F, n - 1) as they are.

    Raises:
        RangeError: wrong shape, negative, or not a number.
    """
    given = np.asarray(values, float)
    if given.ndim == 1:
        given = given[:, None]
    if given.shape not in (shape, (shape[0], 1)):
        raise RangeError(f"values must be {shape[:1]} or {shape}, not {np.shape(values)}")
    if np.isnan(given).any() or (given < 0).any():
        raise RangeError("values must be numbers of at least 0")
    return np.broadcast_to(given, shape)


def _shares(parts: Floats) -> Floats:
    whole = parts.sum()
    if abs(whole) <= 1e-9 * np.abs(parts).sum() or not np.abs(parts).any():
        return np.full(len(parts), np.nan)
    return np.asarray(parts / whole, float)
