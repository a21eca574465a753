"""Runs: the marks of one member in one stage, as a person sets them out with a tape.

A run is a comb: a first mark from the hook end, a step, a number of marks, the rows that have a
fastener at each mark, and the marks that are left out because something lies there that the hand
sees. Every nail, screw and bolt comes from a run, and a run gives back exactly its fasteners.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from girderply.catalogue.fastener_kind import FastenerKind

Rows = Literal["one", "alternate", "all"]
What = Literal["plate", "bracket", "washer", "edge", "fastener", "joint", "load", "middle", "more"]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A mark of a run without a fastener.

    Attributes:
        mark: 0 for the first of the run.
        what: lies there (plate, bracket, washer), or edge where the timber ends, or fastener.
        name: of the joint or the load it belongs to, or empty.
        row: that is left out; 0 for all rows of the mark.
    """

    mark: int
    what: What
    name: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True)
class Single:
    """Why a mark stands alone.

    Attributes:
        what: it stands beside (plate, bracket, washer), or what it is for (joint, load, middle),
            or more: one more that the count of the rule asks for.
        name: of the joint or the load, or empty.
        off: from the edge of what it stands beside, mm; 0 where that is not how it is found.
    """

    what: What
    name: str = ""
    off: float = 0.0


@dataclass(frozen=True, slots=True)
class Run:
    """One comb of marks, or a mark alone.

    Attributes:
        id: such as BC1-R2; a person can say it aloud.
        member: id. stage: number. kind: nail, screw or bolt.
        first: station of the first mark from the hook end, mm. step: from mark to mark, mm; 0 for
            a mark alone. marks: how many, those left out included.
        rows: `one` row; `alternate`: the rows take turns from mark to mark; `all` at each mark.
        numbers: rows that it uses, rising. offsets: of these rows from the centreline, mm.
        heights: of these rows above the lower edge as the hand sees it, mm.
        parity: 0 where the first mark is in the first of its rows, 1 where in the second.
        left_out: marks without a fastener. single: why the mark stands alone, or None.
    """

    id: str
    member: str
    stage: int
    kind: FastenerKind
    first: float
    step: float
    marks: int
    rows: Rows
    numbers: tuple[int, ...]
    offsets: tuple[float, ...]
    heights: tuple[float, ...]
    parity: int = 0
    left_out: tuple[LeftOut, ...] = ()
    single: Single | None = None

    @property
    def last(self) -> float:
        """Station of the last mark, mm."""
        return self.first + self.step * (self.marks - 1)

    def places(self) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
        """Station (mm) and index of the row of every fastener of the run, by station and row."""
        index = np.arange(len(self.numbers))
        stands = np.ones((self.marks, len(index)), bool)
        if self.rows == "alternate":
            stands &= (np.arange(self.marks)[:, None] + index + self.parity) % 2 == 0
        for x in self.left_out:
            stands[x.mark] &= np.array([bool(x.row) and x.row != n for n in self.numbers])
        mark, row = np.nonzero(stands)
        return np.asarray(self.first + mark * self.step, np.float64), row.astype(np.int64)

    def __len__(self) -> int:
        return len(self.places()[0])
