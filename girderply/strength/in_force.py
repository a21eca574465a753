"""The standard in force for one job, with what has been worked out already kept."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from girderply.bases.answers import Plane, Resistance, Stuff
from girderply.bases.crossing import Crossing
from girderply.bases.dowel.through import bearing
from girderply.bases.registry import basis_of
from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.catalogue.timbers_known import timber
from girderply.jobfile.job import Job
from girderply.model.girder import Girder, Member
from girderply.strength.demand import Demand
from girderply.units.exact import N_PER_LB
from girderply.units.show import Show


def grain_angle(member: Member) -> float:
    """Angle of a vertical force to the grain of a member, rad; pi/2 for a level chord."""
    return math.acos(min(1.0, abs(math.sin(member.angle))))


def plain(show: Show, newton: float) -> str:
    """A force as a bare whole number in the job's unit, N or lbf: 4800, 1079."""
    return f"{newton / (N_PER_LB if show.imperial else 1.0):.0f}"


def stuff_of(
    job: Job, girder: Girder, nails: Mapping[str, Nail], bolts: Mapping[str, BoltChoice]
) -> Stuff:
    """What the plies of a girder are made of and fastened with, as a basis asks for it.

    Raises:
        CatalogueError: a timber that is not known.
    """
    return Stuff(
        timber(girder.timber),
        girder.ply_thickness,
        nails,
        bolts,
        girder.predrilled,
        job.girder.moisture,
        metric=job.info.units != "imperial",
    )


@dataclass(frozen=True)
class Judge:
    """A standard and a memory of the fasteners it has judged.

    Attributes:
        show: writes the job's units.
        thickness: of a ply, mm.
    """

    standard: Resistance
    show: Show
    thickness: float
    _known: dict[tuple[Crossing, int, bool], dict[int, Plane]] = field(default_factory=dict)
    _cases: dict[tuple[object, ...], int] = field(default_factory=dict)
    _demands: dict[str, tuple[Demand, int]] = field(default_factory=dict)
    _counted: dict[Crossing, tuple[int, ...]] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        job: Job,
        girder: Girder,
        nails: Mapping[str, Nail],
        bolts: Mapping[str, BoltChoice],
    ) -> Judge:
        """The judge that the job's basis asks for.

        Args:
            job: basis, moisture.
            girder: timber, ply thickness, predrilling.
            nails: by spec of the fasteners.
            bolts: by spec of the fasteners.

        Raises:
            CatalogueError: a timber that is not known.
        """
        stuff, show = stuff_of(job, girder, nails, bolts), Show(job.info.units)
        standard = basis_of(job.basis).resistance(job.basis, stuff)
        return cls(standard, show, girder.ply_thickness)

    def planes(
        self, crossing: Crossing, alpha: float, demand: Demand, boxed: bool
    ) -> dict[int, Plane]:
        """Interface -> design resistance of one fastener under the pattern of a demand."""
        key = (crossing, self.case(alpha, demand), boxed)
        if key not in self._known:
            pattern = _pattern(demand)
            found = self.standard.planes(crossing, alpha, pattern, demand.combination, boxed)
            self._known[key] = {plane.interface: plane for plane in found}
        return self._known[key]

    def case(self, alpha: float, demand: Demand) -> int:
        """One number for all demands that are alike but for their size."""
        known = self._demands.get(demand.id)
        if known is None or known[0] is not demand:
            like = (round(alpha, 9), _pattern(demand), demand.combination)
            known = (demand, self._cases.setdefault(like, len(self._cases)))
            self._demands[demand.id] = known
        return known[1]

    def boxed(self, classes: list[Crossing]) -> bool:
        """True where interfaces are not all crossed by the same fasteners.

        Then the plies may load one interface of a long fastener and not the next, and only what
        holds for every such loading counts.
        """
        return len({frozenset(self.counted(c)) for c in classes}) > 1

    def counted(self, crossing: Crossing) -> tuple[int, ...]:
        """Interfaces that a fastener counts for: not the last one where its point is short."""
        if crossing not in self._counted:
            least = self.standard.least_point(crossing)
            self._counted[crossing] = bearing(crossing, self.thickness, least)[0]
        return self._counted[crossing]


def _pattern(demand: Demand) -> tuple[float, ...]:
    """The signed shears of a demand, its largest 1, rounded so that equals meet."""
    size = max(demand.S, default=0.0) or 1.0
    return tuple(round(v / size, 9) for v in demand.shear)
