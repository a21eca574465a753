"""Where a girder balances, where two slings might go, and whether it is too long to be turned."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np

from girderply.jobfile.job import Role
from girderply.model.girder import Girder, Joint
from girderply.model.mass import centre_of_gravity

LONG = (
    12000.0  # mm: longer plies are joined in place rather than turned; common practice, no source
)


@dataclass(frozen=True, slots=True)
class SlingPoint:
    """A joint of a top chord that a sling may go round.

    Attributes:
        joint: id. chord: member id. station: along the chord from its hook end, mm.
        x, y: from the left end and the underside of the girder, mm, front face seen.
        share: of the girder's mass that this sling carries.
    """

    joint: str
    chord: str
    station: float
    x: float
    y: float
    share: float


@dataclass(frozen=True, slots=True)
class Balance:
    """Centre of gravity from the left end and the underside, mm, and two slings or none."""

    x: float
    y: float
    slings: tuple[SlingPoint, SlingPoint] | None
    long: bool


def balance(girder: Girder) -> Balance:
    """Where a girder balances, and where two slings might go; only a suggestion."""
    xy = np.concatenate([m.outline for m in girder.members])
    x0, y0 = (float(v) for v in xy.min(axis=0))
    gx, gy = centre_of_gravity(girder)
    return Balance(gx - x0, gy - y0, _slings(girder, (x0, y0), (gx, gy)), girder.length > LONG)


def _slings(
    girder: Girder, corner: tuple[float, float], centre: tuple[float, float]
) -> tuple[SlingPoint, SlingPoint] | None:
    """The pair of top-chord joints either side of the balance nearest to the quarter points.

    Both above the centre of gravity, so that the girder hangs and does not roll; of pairs that are
    equally near, the more even one about the balance, then the higher.
    """
    quarter = girder.length / 4
    chords = {m.id for m in girder.members if m.role is Role.TOP_CHORD}
    usable = [j for j in girder.joints if chords & set(j.members) and j.y > centre[1]]
    left = [j for j in usable if j.x < centre[0] - 1.0]
    right = [j for j in usable if j.x > centre[0] + 1.0]

    def badness(pair: tuple[Joint, Joint]) -> tuple[int, int, int]:
        a, b = (abs(j.x - centre[0]) for j in pair)
        return (
            round(abs(a - quarter) + abs(b - quarter)),
            round(abs(a - b)),
            -round(min(j.y for j in pair)),
        )

    pair = min(product(left, right), key=badness, default=None)
    if pair is None:
        return None
    a, b = pair
    share = (b.x - centre[0]) / (b.x - a.x)
    return _point(girder, a, corner, share), _point(girder, b, corner, 1.0 - share)


def _point(girder: Girder, j: Joint, corner: tuple[float, float], share: float) -> SlingPoint:
    chord = next(m for m in girder.members if m.role is Role.TOP_CHORD and m.id in j.members)
    station = float(chord.to_local(np.array([[j.x, j.y]]))[0, 0])
    return SlingPoint(j.id, chord.id, station, j.x - corner[0], j.y - corner[1], share)


def lifting_part(girder: Girder) -> dict[str, Any]:
    """Balance and suggested slings as plain data for the contract."""
    found = balance(girder)
    slings = [
        {
            "joint": s.joint,
            "member": s.chord,
            "station_mm": s.station,
            "from_left_mm": s.x,
            "above_underside_mm": s.y,
            "share": s.share,
        }
        for s in found.slings or ()
    ]
    centre = {"from_left_mm": found.x, "above_underside_mm": found.y}
    return {"centre_of_gravity": centre, "slings_suggested": slings, "join_in_place": found.long}
