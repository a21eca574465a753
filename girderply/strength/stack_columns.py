"""Fasteners as the strength layer sees them: columns, and classes of fasteners alike in a stack."""

from __future__ import annotations

from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from girderply.bases.crossing import Crossing
from girderply.catalogue.fastener_kind import FastenerKind

Names = NDArray[np.str_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class FastenerColumns(Protocol):
    """Columns of m fasteners, numpy arrays of one length (units: mm)."""

    @property
    def kind(self) -> Names:
        """Nail, screw, bolt."""

    @property
    def spec(self) -> Names:
        """Key of the nails or bolts that go with the columns."""

    @property
    def member(self) -> Names:
        """Member ids."""

    @property
    def station(self) -> Floats:
        """Along the member from its hook end, mm."""

    @property
    def offset(self) -> Floats:
        """Across the member from its centreline, mm."""

    @property
    def from_ply(self) -> Ints:
        """Ply at the head, 1-based."""

    @property
    def to_ply(self) -> Ints:
        """Ply of the point or the nut, 1-based."""

    @property
    def point_depth(self) -> Floats:
        """How deep the point is in `to_ply`, mm."""

    @property
    def protrusion(self) -> Floats:
        """What comes out past the last ply, mm."""

    @property
    def drilled(self) -> Floats:
        """Diameter of the hole, mm; 0 for none."""

    @property
    def purpose(self) -> Names:
        """Assembly, transfer or make-good."""

    @property
    def load(self) -> Names:
        """Load that the fastener serves, or empty."""


def transfer_fasteners(columns: FastenerColumns, kind: FastenerKind) -> NDArray[np.intp]:
    """Indices of the fasteners that count: one kind per girder, brackets' own bolts left out.

    NAIL stands for whatever is driven: nails, or the screws in their place.
    """
    bolted = columns.kind == FastenerKind.BOLT
    chosen = bolted if kind == FastenerKind.BOLT else ~bolted
    own = (columns.purpose == "assembly") & (columns.load != "") & bolted
    return np.flatnonzero(chosen & ~own)


def crossings(
    columns: FastenerColumns, index: NDArray[np.intp]
) -> tuple[list[Crossing], NDArray[np.intp]]:
    """The distinct classes among some fasteners, sorted, and the class of each.

    Args:
        columns: of all fasteners.
        index: (m,) which of them.

    Returns:
        The classes, and (m,) positions in that list.
    """
    picked: list[Any] = [
        columns.kind[index].tolist(),
        columns.spec[index].tolist(),
        columns.from_ply[index].tolist(),
        columns.to_ply[index].tolist(),
        np.round(columns.point_depth[index], 6).tolist(),
        (columns.protrusion[index] > 1e-6).tolist(),
        (columns.drilled[index] > 0).tolist(),
    ]
    rows = [Crossing(*row) for row in zip(*picked, strict=True)]
    classes = sorted(set(rows))
    number = {row: i for i, row in enumerate(classes)}
    return classes, np.array([number[row] for row in rows], dtype=np.intp)
