"""Stations of a row or a zigzag: even, no wider than asked, rounded for a tape.

One sequence of stations serves all rows of a member. In a staggered pattern the rows take turns
(two rows: a zigzag); otherwise every row has its own nail at each station.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.layout.region import TINY, Intervals
from girderply.model.girder import Array


@dataclass(frozen=True, slots=True)
class Density:
    """Centres (mm) that hold between two stations (mm) instead of the pattern's own."""

    start: float
    end: float
    centres: float


@dataclass(frozen=True, slots=True)
class Tape:
    """What a tape can show: every `step` from `origin`, mm."""

    step: float
    origin: float = 0.0

    def marks(self, low: float, high: float) -> Array:
        """All marks in a piece, mm, rising."""
        first = np.ceil((low - self.origin - TINY) / self.step)
        last = np.floor((high - self.origin + TINY) / self.step)
        return np.asarray(self.origin + np.arange(first, last + 1) * self.step, float)

    def snap(self, stations: Sequence[float], low: float, high: float) -> list[float]:
        """Round stations to marks, staying within [low, high]; halves go up.

        A station that cannot be rounded inside the piece is left as it is.
        """
        first = math.ceil((low - self.origin - TINY) / self.step)
        last = math.floor((high - self.origin + TINY) / self.step)
        if last < first:
            return list(stations)
        near = (math.floor((s - self.origin) / self.step + 0.5) for s in stations)
        return [self.origin + min(max(k, first), last) * self.step for k in near]


@dataclass(frozen=True, slots=True)
class Phase:
    """Where a stage begins, as a share of the centres, and how far the last of them begins.

    `start` of the first stage is 0; with `last` the stages of one ply together fill a piece evenly
    from end to end. `least` is the closest step, mm, at which they still keep clear of each other.
    """

    start: float = 0.0
    last: float = 0.0
    least: float = 0.0


def even(
    low: float, high: float, centres: float, phase: Phase, tape: Tape, alone: bool = False
) -> list[float]:
    """Stations in one piece, evenly, no farther apart than `centres`.

    Args:
        low: where the piece begins, mm.
        high: where it ends, mm.
        centres: largest distance from one station to the next, mm.
        phase: of the stage; a single stage has stations on both ends of the piece.
        tape: stations are rounded to its marks where the centres still hold.
        alone: one in the middle is enough for a piece no longer than the centres.

    Returns:
        Rising stations, mm; a piece shorter than half the centres gets one in its middle.
    """
    length = high - low
    if length <= centres / 2 or (alone and length <= centres):
        middle = low + length * (phase.start + (1 - phase.last) / 2)
        return tape.snap([middle], low, high)
    count = math.ceil(length / centres - 1e-9)
    if phase.least > 0.0:
        count = max(1, min(count, int(length / phase.least - phase.last + 1e-9)))
    step = length / (count + phase.last)
    exact = [low + (turn + phase.start) * step for turn in range(count + 1)]
    rounded = sorted(set(tape.snap(exact, low, high)))
    if len(rounded) == len(exact) and all(
        b - a <= centres + TINY for a, b in itertools.pairwise(rounded)
    ):
        return rounded
    return exact


def split(pieces: Intervals, densities: Sequence[Density], centres: float) -> list[Density]:
    """Cut the pieces at the limits of closer zones; each part with the centres that hold there."""
    cuts = sorted({x for d in densities for x in (d.start, d.end)})
    parts: list[Density] = []
    for a, b in zip(pieces.start, pieces.end, strict=True):
        edges = [a, *(c for c in cuts if a + TINY < c < b - TINY), b]
        for low, high in itertools.pairwise(edges):
            middle = (low + high) / 2
            here = [d.centres for d in densities if d.start <= middle <= d.end]
            parts.append(Density(low, high, min([centres, *here])))
    return parts


def _enough_alone(parts: Sequence[Density]) -> list[bool]:
    """Whether one nail in the middle of a short piece is within the centres of its neighbours.

    A longer neighbour has a nail at its end, a short one may have its only one in the middle.
    """
    middle = [(p.end - p.start) / 2 if p.end - p.start <= p.centres else 0.0 for p in parts]
    alone = []
    for i, p in enumerate(parts):
        near = [
            max(a.start, p.start) - min(a.end, p.end) + middle[i] + middle[k]
            for k, a in enumerate(parts)
            if abs(k - i) == 1
        ]
        alone.append(len(near) == 2 and max(near) <= p.centres)
    return alone


def sequence(
    pieces: Intervals,
    centres: float,
    phase: Phase,
    tape: Tape,
    densities: Sequence[Density] = (),
) -> Array:
    """Stations over all pieces of a member, mm, rising; see `even`."""
    parts = split(pieces, densities, centres)
    alone = _enough_alone(parts)
    found = [
        even(p.start, p.end, p.centres, phase, tape, one)
        for p, one in zip(parts, alone, strict=True)
    ]
    if not found:
        return np.zeros(0)
    stations = np.array([station for part in found for station in part])
    # Two parts that share a limit would both put a nail on it.
    keep = np.concatenate([[True], np.diff(stations) > max(tape.step / 2, 1.0)])
    return np.asarray(stations[keep], float)
