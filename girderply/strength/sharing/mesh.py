"""One ply cut into pieces: nodes at joints, bearings, loads and fasteners, and who shares what.

Translations are shared by all members that meet at a joint; every member has rotations of its
own, continuous along it. So chords run through and everything else is pinned.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, hypot
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from girderply.errors import Finding, GirderplyError, Severity
from girderply.model.girder import Girder, Member
from girderply.strength.stack_columns import Names
from girderply.wording import english, said

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
MERGE = 10.0  # mm: places closer than this along a member share a node, held by rigid arms
_TINY = 1e-6  # mm
BEARING_REACH = 300.0  # mm: a bearing this far past the end of a chord is taken to be under it


class Placed(Protocol):
    """Where fasteners are: columns of one length (units: mm)."""

    @property
    def member(self) -> Names:
        """Member ids."""

    @property
    def station(self) -> Floats:
        """Along the member from its hook end, mm."""

    @property
    def offset(self) -> Floats:
        """Across the member from its centreline, mm."""


@dataclass(frozen=True, slots=True)
class NoFasteners:
    """Nothing placed: for the bare ply."""

    member: Names
    station: Floats
    offset: Floats


NOTHING = NoFasteners(np.empty(0, np.str_), np.empty(0), np.empty(0))


class FrameError(GirderplyError, ValueError):
    """A ply that is no frame that stands; carries what to tell the person."""

    def __init__(self, finding: Finding) -> None:
        self.finding = finding
        super().__init__(f"{english(finding.where)}: {english(finding.message)}")


@dataclass(frozen=True, slots=True)
class Places:
    """Where points sit on the mesh: node index and rigid arm from it, both of m points.

    Attributes:
        node: (m,) index of the node. arm: (m, 2) from the node to the point, mm.
    """

    node: Ints
    arm: Floats


@dataclass(frozen=True, slots=True)
class Mesh:
    """One ply as nodes and straight pieces between them; all plies have the same.

    A joint appears once for each member that runs over it; these share their translations.

    Attributes:
        member: (N,) index of the member in `girder.members` of each node.
        station: (N,) along the member from its hook end, mm. xy: (N, 2) elevation, mm.
        dof: (N, 3) numbers of the displacements x, y and of the rotation.
        size: how many displacements and rotations one ply has.
        ends: (E, 2) nodes at the two ends of each piece, rising stations.
        bearings: (B,) node over each bearing. loads, fasteners: where they sit.
    """

    member: Ints
    station: Floats
    xy: Floats
    dof: Ints
    size: int
    ends: Ints
    bearings: Ints
    loads: Places
    fasteners: Places

    def of_member(self, index: int) -> Ints:
        """Nodes of one member in the order of their stations."""
        return np.flatnonzero(self.member == index)


def make_mesh(girder: Girder, columns: Placed, merge: float = MERGE) -> Mesh:
    """Cut the members of a ply at everything that acts on them.

    Args:
        girder: members, joints, bearings, loads.
        columns: fasteners; their member, station and offset are read.
        merge: places closer than this along a member share a node, mm; joints are never merged.

    Returns:
        The mesh of one ply.

    Raises:
        FrameError: a bearing has no chord over it.
    """
    return _Builder(girder, columns, merge).mesh()


class _Builder:
    """Collects the chains of nodes of all members, then numbers what they share."""

    def __init__(self, girder: Girder, columns: Placed, merge: float) -> None:
        self.girder, self.columns, self.merge = girder, columns, merge
        self.joints = {j.id: (j.x, j.y) for j in girder.joints}
        self.index = {m.id: i for i, m in enumerate(girder.members)}
        self.rests = [_chord_over(girder, i) for i in range(len(girder.bearings))]
        self.named = [self._named(m) for m in girder.members]
        self.fastener_member = np.array([self.index[m] for m in columns.member.tolist()], np.intp)

    def mesh(self) -> Mesh:
        """All chains, one after the other."""
        chains = [self._chain(i) for i in range(len(self.girder.members))]
        counts = [len(c) for c in chains]
        starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
        station = np.concatenate(chains)
        member = np.repeat(np.arange(len(chains)), counts)
        xy = np.vstack([self._positions(i, c) for i, c in enumerate(chains)])
        ends = [np.arange(s, s + n - 1) for s, n in zip(starts, counts, strict=False)]
        first = np.concatenate(ends).astype(np.intp)
        dof, size = self._number(chains, starts)
        at = _Finder(station, starts)
        return Mesh(
            member.astype(np.intp), station, xy, dof, size, np.stack([first, first + 1], axis=1),
            np.array([at.nearest(m, s) for m, s in self.rests], np.intp),
            self._loads(at, xy), self._fasteners(at, xy),
        )  # fmt: skip

    def _named(self, member: Member) -> dict[str, float]:
        """Stations of the joints that a member runs over."""
        known = [j for j in member.joints if j in self.joints]
        local = member.to_local(np.array([self.joints[j] for j in known]).reshape(-1, 2))
        return dict(zip(known, local[:, 0].tolist(), strict=True))

    def _chain(self, index: int) -> Floats:
        """Stations of the nodes of one member, rising."""
        name = self.girder.members[index].id
        kept = sorted(self.named[index].values())
        rests = [s for m, s in self.rests if m == index]
        loads = [load.station for load in self.girder.loads if load.chord == name]
        fasteners = self.columns.station[self.fastener_member == index]
        for stations in (rests, loads, fasteners):
            kept = sorted([*kept, *self._clusters(np.unique(stations), np.array(kept))])
        made = np.array(kept)
        if len(made) < 2:  # a member that hardly anything touches still needs two ends
            ends = (0.0, self.girder.members[index].length)
            far = [e for e in ends if not len(made) or abs(e - made[0]) > self.merge]
            made = np.array(sorted([*made.tolist(), *far]))
        return made

    def _clusters(self, stations: Floats, kept: Floats) -> list[float]:
        """Places of further nodes for rising stations that have no kept node near them.

        Stations that lie close, one to the next, have their middle as node, or as many as it
        takes, evenly: from either end of the member the same.
        """
        if len(kept):
            gap = np.abs(stations[:, None] - kept).min(axis=1)
            stations = stations[gap > self.merge + _TINY]
        if not len(stations):
            return []
        made: list[float] = []
        for group in np.split(stations, np.flatnonzero(np.diff(stations) > self.merge + _TINY) + 1):
            low, wide = float(group[0]), float(group[-1] - group[0])
            parts = max(1, ceil(wide / self.merge - _TINY)) if self.merge else len(group)
            made += [low + (i + 0.5) * wide / parts for i in range(parts)]
        return made

    def _positions(self, index: int, chain: Floats) -> Floats:
        """Nodes on the straight lines from joint to joint, beyond them along the member."""
        member, named = self.girder.members[index], self.named[index]
        if len(named) < 2:
            return member.to_elevation(np.stack([chain, np.zeros_like(chain)], axis=1))
        order = sorted(named, key=named.__getitem__)
        s = np.array([named[j] for j in order])
        points = np.array([self.joints[j] for j in order])
        beyond = chain - np.clip(chain, s[0], s[-1])
        along = np.array([np.cos(member.angle), np.sin(member.angle)])
        inside = np.stack([np.interp(chain, s, points[:, k]) for k in (0, 1)], axis=1)
        return np.asarray(inside + beyond[:, None] * along, float)

    def _number(self, chains: list[Floats], starts: Ints) -> tuple[Ints, int]:
        """Number the displacements: shared at joints, all others node by node."""
        dof = np.full((int(starts[-1]), 3), -1, np.intp)
        shared: dict[str, int] = {}
        count = 0
        for i, chain in enumerate(chains):
            at = {int(np.argmin(np.abs(chain - s))): j for j, s in self.named[i].items()}
            for k in range(len(chain)):
                joint = at.get(k)
                first = shared.get(joint, -1) if joint else -1
                if first < 0:
                    first, count = count, count + 2
                    if joint:
                        shared[joint] = first
                dof[starts[i] + k] = first, first + 1, count
                count += 1
        return dof, count

    def _loads(self, at: _Finder, xy: Floats) -> Places:
        loads = self.girder.loads
        node = [at.nearest(self.index[v.chord], v.station) for v in loads]
        points = np.array([(v.x, v.y) for v in loads], float).reshape(-1, 2)
        return _places(np.array(node, np.intp), points, xy)

    def _fasteners(self, at: _Finder, xy: Floats) -> Places:
        node = np.empty(len(self.fastener_member), np.intp)
        points = np.empty((len(node), 2))
        local = np.stack([self.columns.station, self.columns.offset], axis=1)
        for i in np.unique(self.fastener_member).tolist():
            mine = self.fastener_member == i
            points[mine] = self.girder.members[i].to_elevation(local[mine])
            node[mine] = at.all_nearest(i, local[mine, 0])
        return _places(node, points, xy)


@dataclass(frozen=True, slots=True)
class _Finder:
    """Nearest node of a member to a station."""

    station: Floats
    starts: Ints

    def all_nearest(self, member: int, stations: Floats) -> Ints:
        low, high = self.starts[member], self.starts[member + 1]
        chain = self.station[low:high]
        right = np.clip(np.searchsorted(chain, stations), 1, len(chain) - 1)
        nearer = (chain[right] - stations) - (stations - chain[right - 1])
        inward = stations > (chain[0] + chain[-1]) / 2  # as near to both: the one farther inside
        left_nearer = np.where(np.abs(nearer) > _TINY, nearer > 0, inward)
        return np.asarray(low + right - left_nearer, np.intp)

    def nearest(self, member: int, station: float) -> int:
        return int(self.all_nearest(member, np.array([station]))[0])


def _places(node: Ints, points: Floats, xy: Floats) -> Places:
    return Places(node, points - xy[node])


def _chord_over(girder: Girder, index: int) -> tuple[int, float]:
    """The lowest chord over a bearing and the station there."""
    x = girder.bearings[index].x
    found: list[tuple[float, float, int, float]] = []
    for i, m in enumerate(girder.members):
        dx = m.far[0] - m.hook[0]
        if not m.role.is_chord or abs(dx) < 1e-6:
            continue
        share = (x - m.hook[0]) / dx
        inside = min(max(share, 0.0), 1.0)
        past = abs(share - inside) * m.length
        y = m.hook[1] + inside * (m.far[1] - m.hook[1])
        if past <= BEARING_REACH:
            found.append((past, y, i, inside * hypot(dx, m.far[1] - m.hook[1])))
    if not found:
        text = said("sharing.no_chord", x=f"{x:.0f}")
        raise FrameError(
            Finding("sharing-no-frame", Severity.WARNING, f"girder.bearings.{index}", text)
        )
    _, _, member, station = min(found)
    return member, station
