"""Factor the stiffness of plies and fasteners, again and again while the fasteners change.

The pattern never changes, so the numbering that keeps the factors sparse is sought once, and so is
the place of every term of every fastener. What is left for each new state of the fasteners is to
add up and to factor.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from girderply.strength.sharing.mesh import Floats, Ints

if TYPE_CHECKING:
    from scipy.sparse import csr_array


class Factoring:
    """Solves for one stiffness of the spring pairs after another."""

    def __init__(self, bare: csr_array[Any], connect: csr_array[Any], free: Ints) -> None:
        """Seek numbering and places.

        Args:
            bare: (N, N) stiffness of the plies, N and mm.
            connect: (2 S, N) slips of the spring pairs by displacement.
            free: numbers of the displacements that are not held, rising.
        """
        from scipy.sparse import coo_array

        self.size, self.order = bare.shape[0], free
        entries = coo_array(bare)
        for last in (False, True):  # as numbered, to seek the numbering; then in that one
            place = np.full(self.size, -1)
            place[self.order] = np.arange(len(free))
            i, j = place[entries.row], place[entries.col]
            mine = (i >= 0) & (j >= 0)
            row, column, self.values, self.source = _products(connect, place)
            keys = np.concatenate([j[mine] * len(free) + i[mine], column * len(free) + row])
            cells, cell = np.unique(keys, return_inverse=True)
            self.rows = (cells % len(free)).astype(np.intc)
            ends = np.arange(len(free) + 1) * len(free)
            self.columns = np.searchsorted(cells, ends).astype(np.intc)
            count = int(mine.sum())
            self.base = np.bincount(cell[:count], entries.data[mine], len(cells))
            self.cell = cell[count:]
            if not last:
                pairs = connect.shape[0] // 2
                stiff = np.broadcast_to(np.eye(2), (pairs, 2, 2))
                self.order = free[np.argsort(self._factor(stiff, "MMD_AT_PLUS_A").perm_c)]

    def solve(self, tangent: Floats, forces: Floats) -> Floats:
        """Displacements (N,) under forces (N,), zero where held.

        Args:
            tangent: (S, 2, 2) stiffness of each pair of springs, N/mm.
            forces: N and N mm; those at held displacements are not read.
        """
        moved = np.zeros(self.size)
        moved[self.order] = self._factor(tangent, "NATURAL").solve(forces[self.order])
        return moved

    def _factor(self, tangent: Floats, numbering: Literal["NATURAL", "MMD_AT_PLUS_A"]) -> Any:
        from scipy.sparse import csc_array
        from scipy.sparse.linalg import splu

        terms = self.values * tangent.ravel()[self.source]
        data = self.base + np.bincount(self.cell, terms, len(self.base))
        n = len(self.order)
        matrix = csc_array((data, self.rows, self.columns), shape=(n, n))
        return splu(matrix, permc_spec=numbering, diag_pivot_thresh=0.0,
                    options={"SymmetricMode": True})  # fmt: skip


def _products(connect: csr_array[Any], place: Ints) -> tuple[Ints, Ints, Floats, Ints]:
    """Terms that the springs add to the matrix.

    Returns:
        (t,) row, (t,) column, (t,) factor, (t,) which of the S x 4 values
        of the tangent it is multiplied by.
    """
    count = np.diff(connect.indptr)
    most = int(count.max(initial=0))
    slot = np.arange(most)
    filled = slot < count[:, None]
    shape = (len(count) // 2, 2, most)
    where, value = np.full(shape, -1), np.zeros(shape)
    where[filled.reshape(shape)] = place[connect.indices]
    value[filled.reshape(shape)] = connect.data
    row = np.broadcast_to(where[:, :, :, None, None], (len(where), 2, most, 2, most))
    column = np.broadcast_to(where[:, None, None], row.shape)
    factor = value[:, :, :, None, None] * value[:, None, None]
    source = (4 * np.arange(len(where)))[:, None, None, None, None] + np.array([[0, 1], [2, 3]])[
        None, :, None, :, None
    ]
    keep = (row >= 0) & (column >= 0) & (factor != 0.0)
    places = row[keep].astype(np.intp), column[keep].astype(np.intp)
    return *places, factor[keep], np.broadcast_to(source, row.shape)[keep]
