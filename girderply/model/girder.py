"""The girder as geometry: members with real outlines, plates, bearings, hung loads.

Elevation frame, seen on the front face: x to the right from the left end of the bottom chord,
y up from its underside, mm. All plies are identical; ply 1 is at the front face.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from girderply.jobfile.job import BearingSpec, BracketSpec, Face, Point, Role

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Joint:
    """A panel point: where centrelines meet, and which members meet there."""

    id: str
    x: float
    y: float
    members: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Member:
    """One member of a ply.

    Stations run along the centreline from the hook end (station 0, the extreme of the outline
    along the axis) to the far end; offsets run across, positive to the left of the direction
    of travel (up, for a member hooked at its left end).

    Attributes:
        id: name that a person can say aloud: TC1, BC1, W3.
        depth: in the plane of the truss, mm.
        hook, far: points on the centreline at the extremes of the outline, mm.
        outline: (k, 2) counter-clockwise polygon as really cut, not closed, mm.
        joints: ids of the joints it runs over, from hook end to far end.
        compression: True, False, or None where nobody has said so.
        timber: its name where it is not the girder's, else empty.
    """

    id: str
    role: Role
    depth: float
    hook: Point
    far: Point
    outline: Array
    joints: tuple[str, ...]
    compression: bool | None = None
    timber: str = ""

    @property
    def length(self) -> float:
        """Distance from hook end to far end along the centreline, mm."""
        return math.hypot(self.far[0] - self.hook[0], self.far[1] - self.hook[1])

    @property
    def angle(self) -> float:
        """Direction from hook end to far end, rad, counter-clockwise from x."""
        return math.atan2(self.far[1] - self.hook[1], self.far[0] - self.hook[0])

    def to_local(self, points: Array) -> Array:
        """Turn (k, 2) elevation points into (k, 2) station and offset, mm."""
        c, s = math.cos(self.angle), math.sin(self.angle)
        local: Array = (np.asarray(points, float) - self.hook) @ np.array([[c, -s], [s, c]])
        return local

    def to_elevation(self, local: Array) -> Array:
        """Turn (k, 2) station and offset into (k, 2) elevation points, mm."""
        c, s = math.cos(self.angle), math.sin(self.angle)
        points: Array = np.asarray(local, float) @ np.array([[c, s], [-s, c]]) + self.hook
        return points


@dataclass(frozen=True, slots=True)
class Plate:
    """A nail plate at a joint, on both faces of every ply; `outline` is (4, 2), mm."""

    joint: str
    outline: Array
    assumed: bool


@dataclass(frozen=True, slots=True)
class HungLoad:
    """One hung load, or one of a repeated series, placed on its chord.

    Attributes:
        id: the job's id, with -1, -2, ... for a series: a name for people, never taken apart.
        entry: id of the entry of the job that it comes from; number: of a series, from 1, else 0.
        chord: member id; station: along it from its hook end, mm; x, y: on its centreline, mm.
        face: front or back, or "top" for a load that enters all plies equally.
        permanent, variable, uplift, design: N, as in `LoadSpec`; None where not given.
        plies_reached: how many plies, from its face, the bracket's fixings reach.
        bracket: footprint and bolts, or None; `footprint`: (4, 2) elevation polygon or None.
    """

    id: str
    chord: str
    face: Face | str
    station: float
    x: float
    y: float
    permanent: float | None
    variable: float | None
    uplift: float | None
    design: float | None
    plies_reached: int
    bracket: BracketSpec | None
    footprint: Array | None
    what: str = ""
    entry: str = ""
    number: int = 0
    cases: tuple[tuple[str, float], ...] = ()

    @property
    def series(self) -> str:
        """What its entry of the job is called; itself where nobody says."""
        return self.entry or self.id

    def part(self, name: str) -> float:
        """Value of one of its parts, or of one case where it has cases, N; 0 for none."""
        if self.cases:
            return dict(self.cases).get(name, 0.0)
        return getattr(self, name) or 0.0


@dataclass(frozen=True, slots=True)
class Girder:
    """A whole girder: n identical plies of these members."""

    mark: str
    quantity: int
    plies: int
    ply_thickness: float
    timber: str
    members: tuple[Member, ...]
    joints: tuple[Joint, ...]
    plates: tuple[Plate, ...]
    bearings: tuple[BearingSpec, ...]
    loads: tuple[HungLoad, ...]
    predrilled: bool = False
    split_prone: bool = False

    @property
    def stack(self) -> float:
        """Thickness of all plies together, mm."""
        return self.plies * self.ply_thickness

    @property
    def length(self) -> float:
        """Horizontal extent of all members, mm."""
        xs = np.concatenate([m.outline[:, 0] for m in self.members])
        return float(xs.max() - xs.min())

    @property
    def height(self) -> float:
        """Vertical extent of all members, mm."""
        ys = np.concatenate([m.outline[:, 1] for m in self.members])
        return float(ys.max() - ys.min())

    @property
    def timber_line(self) -> str:
        """The timber, and after it members of another one: "C24 (W3, W5: C30)"."""
        other: dict[str, list[str]] = {}
        for m in self.members:
            if m.timber:
                other.setdefault(m.timber, []).append(m.id)
        named = "; ".join(f"{', '.join(ids)}: {t}" for t, ids in other.items())
        return f"{self.timber} ({named})" if named else self.timber

    def timber_of(self, member: Member) -> str:
        """Name of the timber of a member."""
        return member.timber or self.timber

    def member(self, member_id: str) -> Member:
        """The member with this id; KeyError if there is none."""
        for m in self.members:
            if m.id == member_id:
                return m
        raise KeyError(member_id)
