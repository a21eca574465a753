"""Bolts of a girder while they are being placed: where each stands and what it keeps free."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from girderply.bases.answers import Limits
from girderply.catalogue.catalogue_types import Bolt, Washer
from girderply.errors import Finding
from girderply.layout.brief import Brief
from girderply.layout.region import Intervals, KeepOut
from girderply.model.girder import Array, Member


@dataclass(frozen=True, slots=True)
class BoltSpot:
    """One bolt: where it stands on its member (mm), what it is for, what it is.

    `comb` is the run that it is a mark of: first (mm), step (mm), mark; None for a bolt alone.
    """

    member: Member
    station: float
    offset: float
    row: int
    bolt: Bolt
    washer: Washer
    hole: float
    joint: str = ""
    load: str = ""
    rows: int = 1
    comb: tuple[float, float, int] | None = None

    @property
    def choice(self) -> tuple[str, str]:
        """Bolt and washer keys."""
        return self.bolt.key, self.washer.key

    def seat(self) -> Array:
        """(4, 2) square around the washer, elevation, mm."""
        h = self.washer.outer / 2
        local = np.array([self.station, self.offset]) + np.array(
            [[-h, -h], [h, -h], [h, h], [-h, h]]
        )
        return self.member.to_elevation(local)


@dataclass(slots=True)
class Bolting:
    """All bolts of a girder while they are being placed.

    Attributes:
        spots: bolts placed, in order; none is taken away again.
        lines: what `line_for_bolts` has found already.
        places: of each line, how many of the bolts are accounted for in the stations left of it.
    """

    brief: Brief
    keep_outs: list[KeepOut]
    spots: list[BoltSpot] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    lines: dict[tuple[str, float], tuple[Intervals, Limits]] = field(default_factory=dict)
    places: dict[tuple[str, float], tuple[int, Array]] = field(default_factory=dict)

    def again(self) -> Bolting:
        """The same bolts, to which others are added; what is known of the lines is shared."""
        return replace(
            self,
            spots=[*self.spots],
            findings=[*self.findings],
            places=dict(self.places),
        )

    def least_apart(self, others: Sequence[BoltSpot], limits: Limits) -> Array:
        """Least distance of one of the girder's own bolts from each of these, mm.

        The spacing of the thicker of the two, and room for both washers.
        """
        bolt, washer = self.brief.bolt, self.brief.washer
        if bolt is None or washer is None:
            return np.zeros(0)
        thick = np.array([max(s.bolt.d, bolt.d) / bolt.d for s in others])
        seats = np.array([(s.washer.outer + washer.outer) / 2 for s in others])
        return np.asarray(np.maximum(limits.a1 * thick, seats), float)

    def seats(self) -> list[KeepOut]:
        """Washers as keep-outs for nails."""
        clearance = self.brief.rules.washer_clearance
        return [KeepOut(s.seat(), "washer", clearance, s.joint or s.load) for s in self.spots]
