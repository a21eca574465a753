"""What lies on a member, as the hand with the tape sees it: from where to where along it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from girderply.fasteners.runs import What
from girderply.layout.region import TINY, KeepOut, local_polygon, touching
from girderply.model.girder import Member

SLIVER = 1.0  # mm2; less of a plate on a member is its neighbour's corner


@dataclass(frozen=True, slots=True)
class Shadow:
    """A plate, a bracket or a washer along a member: its edges, mm, and what is kept off them."""

    start: float
    end: float
    clearance: float
    what: What
    name: str

    def covers(self, station: float) -> bool:
        """Whether a mark there is on it, or too near to it."""
        return self.start - self.clearance <= station <= self.end + self.clearance


def shadows_on(member: Member, keep_outs: list[KeepOut]) -> tuple[Shadow, ...]:
    """The shadows on a member, from its hook end."""
    near = touching(member, keep_outs, 0.0)
    if not near:
        return ()
    sizes = [len(k.outline) for k in near]
    local = member.to_local(np.concatenate([k.outline for k in near]))
    index = np.repeat(np.arange(len(sizes)), sizes)
    shapes = shapely.polygons(shapely.linearrings(local, indices=index))
    parts = shapely.intersection(shapes, local_polygon(member))
    area = np.asarray(shapely.area(parts), float)
    # limits alike in a mirror to the last digit, so that a mark on one stands on it there too
    box = np.round(np.asarray(shapely.bounds(parts), float).reshape(-1, 4), 6)
    found = [
        Shadow(float(box[i, 0]), float(box[i, 2]), k.clearance, k.what, k.name)
        for i, k in enumerate(near)
        if float(area[i]) > SLIVER
    ]
    return tuple(sorted(found, key=lambda s: (s.start, s.end, s.what, s.name)))


def over(shadows: tuple[Shadow, ...], station: float) -> Shadow | None:
    """What lies on a station; plates before brackets before washers."""
    rank = {"plate": 0, "bracket": 1}
    here = [s for s in shadows if s.covers(station)]
    return min(here, key=lambda s: (rank.get(s.what, 2), s.start, s.end), default=None)


def merged(shadows: tuple[Shadow, ...]) -> list[list[Shadow]]:
    """Shadows that leave no room between them, together."""
    groups: list[list[Shadow]] = []
    for shadow in shadows:
        reach = max((s.end for s in groups[-1]), default=-np.inf) if groups else -np.inf
        if groups and shadow.start <= reach + 2 * shadow.clearance + TINY:
            groups[-1].append(shadow)
        else:
            groups.append([shadow])
    return groups
