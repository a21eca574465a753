"""Where the load of a bracket may pass from ply to ply: one zone per loaded place of a chord.

Loads at one place, on either face, share a zone. Its window, where a fastener may serve it, runs as
far as the reach either side and stops at the ends of the chord and over a bearing; windows overlap.
Its zone is the part of the window that is nearer to it than to the next loaded place.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from math import cos

from girderply.jobfile.job import Job, Role
from girderply.model.girder import Girder, HungLoad, Member
from girderply.rules.rule_set import RuleSet

SAME_PLACE = 25.0  # mm between brackets that count as one place; common practice, no source


@dataclass(frozen=True, slots=True)
class Zone:
    """One loaded place of a chord and how far along it its load may spread.

    Attributes:
        id: ids of its loads joined by "+", such as "L1-3" or "L1-3+L2-3".
        chord: member id. station: mean of its loads', mm from the chord's hook end.
        start, end: stations between which it is the nearest load, mm.
        low, high: stations between which a fastener may serve it, mm.
        loads: the loads, front face first.
        limits: what ends it at the hook side and at the far side, in words.
    """

    id: str
    chord: str
    station: float
    start: float
    end: float
    loads: tuple[HungLoad, ...]
    limits: tuple[str, str]
    low: float
    high: float

    @property
    def length(self) -> float:
        """Length along the chord, mm."""
        return self.end - self.start


def needs_transfer(load: HungLoad, plies: int) -> bool:
    """True unless the load enters all plies alike from the start."""
    return load.face != "top" and load.plies_reached < plies


def reach_of(job: Job, rules: RuleSet) -> float:
    """How far a zone may reach either side of its load: the job's word, else the rule set's, mm."""
    return rules.zone_reach if job.basis.reach is None else job.basis.reach


def zones(girder: Girder, reach: float, every: bool = False) -> tuple[Zone, ...]:
    """Zones of all loads that must pass between plies, by chord and station; none overlap.

    Args:
        girder: its loads and bearings are read.
        reach: farthest that a zone may reach either side of its load, mm.
        every: also of loads on a face whose fixings reach all plies, so that nothing must pass.

    Returns:
        Zones in the order of the girder's members, then by station.
    """
    found: list[Zone] = []
    for member in girder.members:
        loads = [
            load
            for load in girder.loads
            if load.chord == member.id
            and (needs_transfer(load, girder.plies) or (every and load.face != "top"))
        ]
        places = _places(loads)
        stops = _stops(girder, member)
        for i, place in enumerate(places):
            before = _station(places[i - 1]) if i else None
            after = _station(places[i + 1]) if i + 1 < len(places) else None
            found.append(_zone(member, place, (before, after), stops, reach))
    return tuple(found)


def _places(loads: Iterable[HungLoad]) -> list[list[HungLoad]]:
    """Loads grouped by place, rising stations; within a place the front face first.

    Loads in a row that are each near the next but not all near each other stay apart, from
    whichever end they are looked at.
    """
    rows: list[list[HungLoad]] = []
    for load in sorted(loads, key=lambda v: (v.station, v.id)):
        if rows and load.station - rows[-1][-1].station <= SAME_PLACE:
            rows[-1].append(load)
        else:
            rows.append([load])
    places: list[list[HungLoad]] = []
    for row in rows:
        if row[-1].station - row[0].station <= SAME_PLACE:
            places.append(row)
        else:
            by_station = groupby(row, key=lambda v: round(v.station, 3))
            places += [list(same) for _, same in by_station]
    for place in places:
        place.sort(key=lambda v: (v.face != "front", v.station, v.id))
    return places


def _station(place: list[HungLoad]) -> float:
    return sum(load.station for load in place) / len(place)


def _stops(girder: Girder, member: Member) -> list[float]:
    """Stations of bearings that the chord lies on, mm."""
    if member.role is not Role.BOTTOM_CHORD or abs(cos(member.angle)) < 1e-9:
        return []
    at = ((b.x - member.hook[0]) / cos(member.angle) for b in girder.bearings)
    return [s for s in at if 0.0 < s < member.length]


def _zone(
    member: Member,
    place: list[HungLoad],
    neighbours: tuple[float | None, float | None],
    stops: list[float],
    reach: float,
) -> Zone:
    """One zone: the nearest of what may end it, on either side."""
    here = _station(place)
    low = [(0.0, "end of the chord"), (here - reach, "reach")]
    high = [(member.length, "end of the chord"), (here + reach, "reach")]
    low += [(s, "bearing") for s in stops if s < here - SAME_PLACE]
    high += [(s, "bearing") for s in stops if s > here + SAME_PLACE]
    window = max(low)[0], min(high)[0]
    if neighbours[0] is not None:
        low.append(((neighbours[0] + here) / 2, "half-way to the next load"))
    if neighbours[1] is not None:
        high.append(((neighbours[1] + here) / 2, "half-way to the next load"))
    start, why_start = max(low)
    end, why_end = min(high)
    name = "+".join(load.id for load in place)
    limits = (why_start, why_end)
    return Zone(name, member.id, here, start, end, tuple(place), limits, *window)
