"""Bolts put in afterwards: into their own empty holes, else beside, by the layout's own limits."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from girderply.inspection.room import Room, spots_of
from girderply.layout.bolt_board import Bolting, BoltSpot
from girderply.layout.bolt_places import free_stations
from girderply.layout.lay_out import keep_outs
from girderply.model.girder import Array


@dataclass(frozen=True, slots=True)
class Bolts:
    """Finds places for bolts among what stands in a girder."""

    room: Room

    def instead(self, i: int, state: str) -> BoltSpot | None:
        """A place for the bolt with this index in the schedule; None where there is none.

        A missing one goes where it should have been. Any other one stays, and the new one goes
        beside it on its line: by the same joint, or in the same stretch. A bracket has its holes
        where they are, so that only an empty one can be filled.
        """
        spot = self.room.bolt_spot(i)
        half = spot.washer.outer / 2
        own = np.array([spot.station])
        if state == "missing" and self.room.clear_of_nails(spot.member.id, own, spot.offset, half):
            return spot
        f = self.room.bench.schedule.fasteners
        if f.purpose[i] == "assembly" and f.load[i] != "":
            return None
        low, high = self._stretch(i, spot)
        return self._nearest(spot, low, high, spot.station)

    def between(self, member: str, low: float, high: float, near: float) -> BoltSpot | None:
        """A place for one of the rule set's bolts on a centreline between two stations, mm."""
        brief = self.room.bench.brief
        if brief.bolt is None or brief.washer is None:
            return None
        whole = brief.girder.member(member)
        spot = BoltSpot(whole, near, 0.0, 1, brief.bolt, brief.washer, brief.hole)
        return self._nearest(spot, low, high, near)

    def _stretch(self, i: int, spot: BoltSpot) -> tuple[float, float]:
        """Stations between which a bolt does what this one should have done, mm."""
        bench = self.room.bench
        f, rules = bench.schedule.fasteners, bench.schedule.rules
        if spot.joint and rules.bolts is not None:
            reach = rules.bolts.reach
            along = self._joint_along(spot)
            return float(along.min()) - reach, float(along.max()) + reach
        zone = next((z for z in bench.zones if z.id == str(f.load[i])), None)
        if zone is not None:
            return zone.start, zone.end
        return spot.station - rules.zone_reach, spot.station + rules.zone_reach

    def _joint_along(self, spot: BoltSpot) -> Array:
        """Stations of a bolt's joint and of the corners of its plates, mm."""
        girder = self.room.bench.schedule.girder
        at = [[j.x, j.y] for j in girder.joints if j.id == spot.joint]
        corners = [p.outline for p in girder.plates if p.joint == spot.joint]
        return spot.member.to_local(np.concatenate([np.array(at), *corners]))[:, 0]

    def _nearest(self, spot: BoltSpot, low: float, high: float, near: float) -> BoltSpot | None:
        """The free place of a line nearest to a station."""
        brief = self.room.bench.brief
        if brief.bolt is None or spot.bolt.key != brief.bolt.key:
            return None
        work = Bolting(brief, keep_outs(brief), spots_of(self.room.bolted))
        pool = free_stations(work, spot.member, spot.offset)
        pool = pool[(pool >= low) & (pool <= high)]
        half = spot.washer.outer / 2
        pool = pool[self.room.clear_of_nails(spot.member.id, pool, spot.offset, half)]
        for other, off in self.room.bolted:
            if off and other.member.id == spot.member.id:
                pool = pool[np.abs(pool - other.station) >= off + spot.washer.outer]
        if not len(pool):
            return None
        return replace(spot, station=float(pool[np.argmin(np.abs(pool - near))]))
