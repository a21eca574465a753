"""A fastener as a basis sees it: how it crosses the plies, and where its like stand."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from girderply.catalogue.fastener_kind import FastenerKind


@dataclass(frozen=True, slots=True, order=True)
class Crossing:
    """What decides the strength of one fastener in the stack.

    Attributes:
        kind: nail, screw or bolt. spec: its key.
        from_ply, to_ply: head side and point side, 1-based.
        point_depth: depth of the point in `to_ply`, mm; a bolt's is the ply's thickness.
        protrudes: the point comes out at the far side.
        drilled: a hole is drilled for it.
    """

    kind: FastenerKind
    spec: str
    from_ply: int
    to_ply: int
    point_depth: float
    protrudes: bool = False
    drilled: bool = False

    @property
    def plies(self) -> tuple[int, ...]:
        """Plies from head to point."""
        step = 1 if self.to_ply >= self.from_ply else -1
        return tuple(range(self.from_ply, self.to_ply + step, step))

    @property
    def interfaces(self) -> tuple[int, ...]:
        """Interfaces that it crosses, from head to point."""
        pairs = zip(self.plies[:-1], self.plies[1:], strict=True)
        return tuple(min(pair) for pair in pairs)


@dataclass(frozen=True, slots=True)
class Placed:
    """Where the fasteners of one class stand in a zone: stations and offsets, (m,) mm each."""

    station: NDArray[np.float64]
    offset: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.station)

    @property
    def rows(self) -> tuple[tuple[int, float], ...]:
        """Per row along the grain: number and least spacing (mm; infinite for one), by offset."""
        found = []
        offsets = np.round(self.offset, 3)
        for across in sorted(set(offsets.tolist())):
            along = np.sort(self.station[offsets == across])
            gaps = np.diff(along)
            found.append((len(along), float(gaps.min()) if len(gaps) else float("inf")))
        return tuple(found)
