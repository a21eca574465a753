"""Factor the stiffness of plies and fasteners, again and again while the fasteners change.

Along a member every node is coupled to its two neighbours only, for all plies together, and a
fastener acts within one node. So every second node between joints is eliminated at once, then every
second of those left, until only the nodes at joints, bearings and ends remain: these make a small
full matrix. The order never changes; it is sought once. All in numpy, so that a schedule that tells
its shares need not wait for a larger library.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from girderply.strength.sharing.mesh import Floats, Ints, Mesh
from girderply.strength.sharing.ply_frame import PlyFrame
from girderply.strength.sharing.springs import Springs

Flags = NDArray[np.bool_]
SHORT = 10.0  # mm: a piece so short is so stiff that a solution is corrected
AGAIN = 2  # times, by what it leaves out of balance


@dataclass(frozen=True, slots=True)
class _Level:
    """Nodes that are eliminated together, none beside another.

    Attributes:
        node, left, right: (m,) nodes of the mesh. before, after: (m,) the links to the left and to
            the right one; the link from left to right then has the number of `before`.
    """

    node: Ints
    left: Ints
    right: Ints
    before: Ints
    after: Ints


@dataclass(frozen=True, slots=True)
class _Step:
    """What one level leaves: (m, b, b) inverse of the nodes, and their links to either side."""

    inverse: Floats
    to_left: Floats
    to_right: Floats


class Factoring:
    """Solves for one stiffness of the spring pairs after another."""

    def __init__(self, frame: PlyFrame, springs: Springs, plies: int) -> None:
        """Seek the order.

        Args:
            frame: of one ply.
            springs: between the plies.
            plies: number of plies n.
        """
        mesh = frame.mesh
        self.frame, self.mesh, self.springs, self.plies = frame, mesh, springs, plies
        self.kept = _kept(mesh, frame.fixed)
        self.levels, self.links = _levels(mesh, self.kept)
        blocks = frame.blocks
        self.bare = np.zeros((len(mesh.station), 3, 3))
        np.add.at(self.bare, mesh.ends[:, 0], blocks[:, :3, :3])
        np.add.at(self.bare, mesh.ends[:, 1], blocks[:, 3:, 3:])
        np.add.at(self.bare[:, 0, 0], mesh.bearings, frame.soft)
        self.link = blocks[:, :3, 3:]
        free = np.ones(mesh.size * plies, bool)
        free[_all_plies(frame.fixed, plies)] = False
        kept = np.flatnonzero(self.kept)
        self.kept_dof = _all_plies(mesh.dof, plies)[kept]  # (K, 3 n)
        used = np.unique(self.kept_dof)
        self.small = used[free[used]]  # unknowns of the small matrix
        place = np.full(mesh.size * plies, len(self.small))
        place[self.small] = np.arange(len(self.small))
        self.place = np.full((len(mesh.station), 3 * plies), len(self.small))
        self.place[kept] = place[self.kept_dof]

    def solve(self, tangent: Floats, forces: Floats) -> Floats:
        """Displacements under forces, zero where held; one factoring, more where joints are near.

        Args:
            tangent: (S, 2, 2) stiffness of each pair of springs, N/mm.
            forces: (N,) or (N, r) N and N mm, N displacements of all plies; those at held ones are
                not read.

        Returns:
            As `forces`, mm and rad.
        """
        many = forces.reshape(self.mesh.size * self.plies, -1)
        moved = self._solved(tangent, many)
        if self.frame.length.min() < SHORT:
            for _ in range(AGAIN):
                moved += self._solved(tangent, many - self._held(tangent, moved))
        return moved.reshape(forces.shape)

    def _held(self, tangent: Floats, moved: Floats) -> Floats:
        """(N, r) forces that hold plies and springs displaced so."""
        wide = (self.mesh.size, self.plies * moved.shape[1])
        held = self.frame.product(moved.reshape(wide)).reshape(moved.shape)
        pulled = np.einsum("sij,sj...->si...", tangent, self.springs.slip(moved))
        for c in range(moved.shape[1]):
            held[:, c] += self.springs.pull(pulled[..., c])
        return held

    def _solved(self, tangent: Floats, many: Floats) -> Floats:
        n, mesh = self.plies, self.mesh
        node, link = self._blocks(tangent)
        load = np.zeros((len(mesh.station), 3 * n, many.shape[1]))
        inner = np.flatnonzero(~self.kept)
        dof = _all_plies(mesh.dof, n)
        load[inner] = many[dof[inner]]
        steps = [self._eliminate(level, node, link, load) for level in self.levels]
        moved = np.zeros_like(many)
        moved[self.small] = np.linalg.solve(*self._small(node, link, load, many))
        at = np.zeros_like(load)
        kept = np.flatnonzero(self.kept)
        at[kept] = moved[self.kept_dof]
        for level, step in zip(reversed(self.levels), reversed(steps), strict=True):
            pull = load[level.node]
            pull = pull - step.to_left @ at[level.left] - step.to_right @ at[level.right]
            at[level.node] = step.inverse @ pull
        moved[dof[inner]] = at[inner]
        return moved

    def _blocks(self, tangent: Floats) -> tuple[Floats, Floats]:
        """(N, 3 n, 3 n) of every node with its fasteners, (E, 3 n, 3 n) of every link."""
        n, one = self.plies, np.eye(self.plies)
        node = np.einsum("aij,pq->aipjq", self.bare, one)
        link = np.einsum("eij,pq->eipjq", self.link, one).reshape(-1, 3 * n, 3 * n)
        at, k, lever = self.springs.node, self.springs.interface, self.springs.lever
        terms = np.swapaxes(lever, 1, 2) @ tangent @ lever
        place = ((k * len(node) + at)[:, None] * 9 + np.arange(9)).ravel()
        total = np.bincount(place, terms.ravel(), max(n - 1, 0) * len(node) * 9)
        for i, block in enumerate(total.reshape(-1, len(node), 3, 3)):
            node[:, :, i, :, i] += block
            node[:, :, i + 1, :, i + 1] += block
            node[:, :, i, :, i + 1] -= block
            node[:, :, i + 1, :, i] -= block
        return node.reshape(-1, 3 * n, 3 * n), link

    def _eliminate(self, level: _Level, node: Floats, link: Floats, load: Floats) -> _Step:
        """Take the nodes of a level out; what they pass on goes to their neighbours."""
        inverse = np.asarray(np.linalg.inv(node[level.node]), np.float64)
        to_left = np.swapaxes(link[level.before], 1, 2).copy()
        to_right = link[level.after].copy()
        x_left, x_right = inverse @ to_left, inverse @ to_right
        x_load = inverse @ load[level.node]
        from_left, from_right = np.swapaxes(to_left, 1, 2), np.swapaxes(to_right, 1, 2)
        # no node is twice the left one of a level, nor twice the right one
        for side, pull, x in ((level.left, from_left, x_left), (level.right, from_right, x_right)):
            node[side] -= pull @ x
            load[side] -= pull @ x_load
        link[level.before] = -from_left @ x_right
        return _Step(inverse, to_left, to_right)

    def _small(
        self, node: Floats, link: Floats, load: Floats, forces: Floats
    ) -> tuple[Floats, Floats]:
        """The full matrix of the nodes that are left, and what acts on them."""
        m = len(self.small)
        matrix, right = np.zeros((m + 1, m + 1)), np.zeros((m + 1, load.shape[2]))
        right[:m] = forces[self.small]
        for a in np.flatnonzero(self.kept).tolist():
            p = self.place[a]
            matrix[np.ix_(p, p)] += node[a]
            right[p] += load[a]
        for e, (a, b) in self.links.items():
            p, q = self.place[a], self.place[b]
            matrix[np.ix_(p, q)] += link[e]
            matrix[np.ix_(q, p)] += link[e].T
        return matrix[:m, :m], right[:m]


def _all_plies(dof: Ints, plies: int) -> Ints:
    """Numbers in all plies of displacements of one ply: (..., d) -> (..., d n), (d,) -> (d n,)."""
    wide = dof[..., None] * plies + np.arange(plies)
    return np.asarray(wide.reshape(*dof.shape[:-1], -1), np.intp)


def _kept(mesh: Mesh, fixed: Ints) -> Flags:
    """(N,) nodes that share a displacement, are held, or are the end of a member."""
    kept = np.zeros(len(mesh.station), bool)
    count = np.bincount(mesh.dof.ravel(), minlength=mesh.size)
    count[fixed] = 2
    kept |= (count[mesh.dof] > 1).any(axis=1)
    links = np.bincount(mesh.ends.ravel(), minlength=len(kept))
    return np.asarray(kept | (links != 2))


def _levels(mesh: Mesh, kept: Flags) -> tuple[list[_Level], dict[int, tuple[int, int]]]:
    """The order of elimination, and the links that are left at its end."""
    chains = _chains(mesh, kept)
    levels: list[_Level] = []
    while any(len(nodes) > 2 for nodes, _ in chains):
        out: list[tuple[int, int, int, int, int]] = []
        after = []
        for nodes, links in chains:
            odd = range(1, len(nodes) - 1, 2)
            out += [(nodes[i], nodes[i - 1], nodes[i + 1], links[i - 1], links[i]) for i in odd]
            gone = set(odd)
            after.append((
                [v for i, v in enumerate(nodes) if i not in gone],
                [v for i, v in enumerate(links) if i not in gone],
            ))  # fmt: skip
        columns = np.array(out, np.intp).T
        levels.append(_Level(*columns))
        chains = after
    return levels, {links[0]: (nodes[0], nodes[1]) for nodes, links in chains}


def _chains(mesh: Mesh, kept: Flags) -> list[tuple[list[int], list[int]]]:
    """Nodes from one kept node of a member to the next, with the links between them."""
    chains: list[tuple[list[int], list[int]]] = []
    for e, (a, b) in enumerate(mesh.ends.tolist()):
        if kept[a]:
            chains.append(([a], []))
        chains[-1][0].append(b)
        chains[-1][1].append(e)
    return chains
