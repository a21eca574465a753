"""How many fasteners of one kind an interface needs inside a load's zone: for designing to it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from girderply.bases.answers import Plane
from girderply.bases.crossing import Crossing
from girderply.catalogue.types import BoltChoice, Nail
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.rules.types import RuleSet
from girderply.strength.demand import Demand, demands
from girderply.strength.judge import Judge, grain_angle
from girderply.strength.zones import Zone


@dataclass(frozen=True, slots=True)
class Need:
    """Fasteners that one interface needs in one zone, for the combination that asks for most.

    Attributes:
        zone: where. interface: 1-based.
        demand: what must pass, N; combination: id of the demand, such as "L1-3.PV".
        per_fastener: least design resistance of the classes that cross it, N; 0 where none does.
        count: fasteners needed, before any effective number; -1 where no class given can carry.
        plane: that fastener at that interface, with its worked lines, or None.
    """

    zone: Zone
    interface: int
    demand: float
    combination: str
    per_fastener: float
    count: int
    plane: Plane | None


def capacity_per_fastener(
    job: Job,
    girder: Girder,
    rules: RuleSet,
    kinds: Sequence[Crossing],
    nails: Mapping[str, Nail],
    bolts: Mapping[str, BoltChoice],
) -> tuple[Need, ...]:
    """What every interface needs of the fasteners that a layout has in mind.

    The layout says which classes it would place (spec, head and point ply, depth of the point,
    drilled or not). They are taken together: where they do not all cross the same interfaces, each
    is counted for what it carries whichever interface is loaded.

    Args:
        job: basis and reach.
        girder: loads, members, plies.
        rules: reach of the zones where the job gives none.
        kinds: classes that the layout would place; may be one.
        nails: by spec.
        bolts: by spec.

    Returns:
        One need per zone and interface that has something to pass, by zone, then interface.

    Raises:
        CatalogueError: a timber without the figure that the standard needs.
        RangeError: a fastener outside the standard's validity.
    """
    judge = Judge.of(job, girder, nails, bolts)
    worst: dict[tuple[str, int], Need] = {}
    boxed = judge.boxed(list(kinds))
    for demand in demands(job, girder, rules):
        alpha = grain_angle(girder.member(demand.zone.chord))
        planes = [judge.planes(kind, alpha, demand, boxed) for kind in kinds]
        for k, S in enumerate(demand.S, start=1):
            if 1e-6 * abs(demand.P) < S:
                need = _need(demand, k, [p[k] for p in planes if k in p])
                key = (demand.zone.id, k)
                if key not in worst or _harder(need, worst[key]):
                    worst[key] = need
    return tuple(worst[key] for key in _order(worst))


def _need(demand: Demand, k: int, planes: list[Plane]) -> Need:
    plane = min(planes, key=lambda p: p.value, default=None)
    each = plane.value if plane else 0.0
    count = math.ceil(demand.S[k - 1] / each - 1e-6) if each > 0 else -1
    return Need(demand.zone, k, demand.S[k - 1], demand.id, each, count, plane)


def _harder(one: Need, two: Need) -> bool:
    """True where `one` needs more fasteners than `two`; impossible needs most."""
    return (one.count < 0, _ratio(one)) > (two.count < 0, _ratio(two))


def _ratio(need: Need) -> float:
    return need.demand / need.per_fastener if need.per_fastener > 0 else need.demand


def _order(worst: Mapping[tuple[str, int], Need]) -> list[tuple[str, int]]:
    zones = list(dict.fromkeys(zone for zone, _ in worst))
    return sorted(worst, key=lambda key: (zones.index(key[0]), key[1]))
