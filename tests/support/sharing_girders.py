"""Girders and fastener columns for the spring model: unlike left and right, no layout rules."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from girderply.jobfile.job import BearingSpec, Role
from girderply.model.girder import Girder, HungLoad, Joint, Member

E_MODULUS = 11000.0


@dataclass(frozen=True, slots=True)
class Columns:
    """What the strength layer reads of fasteners."""

    id: NDArray[np.str_]
    kind: NDArray[np.str_]
    spec: NDArray[np.str_]
    member: NDArray[np.str_]
    station: NDArray[np.float64]
    offset: NDArray[np.float64]
    from_ply: NDArray[np.int64]
    to_ply: NDArray[np.int64]
    point_depth: NDArray[np.float64]
    protrusion: NDArray[np.float64]
    drilled: NDArray[np.float64]
    purpose: NDArray[np.str_]
    load: NDArray[np.str_]

    def take(self, mask: NDArray[np.bool_]) -> Columns:
        return Columns(**{f.name: getattr(self, f.name)[mask] for f in fields(self)})


def columns(rows: list[tuple], kind: str = "nail", spec: str = "4.0 x 100") -> Columns:
    """From rows of member, station, offset, from_ply, to_ply."""
    member, station, offset, first, last = zip(*rows, strict=True) if rows else ((),) * 5
    m = len(rows)
    words = lambda values: np.array(list(values), np.str_)  # noqa: E731
    return Columns(
        id=words(f"{name}-N{i + 1}" for i, name in enumerate(member)),
        kind=words([kind] * m),
        spec=words([spec] * m),
        member=words(member),
        station=np.array(station, float),
        offset=np.array(offset, float),
        from_ply=np.array(first, np.int64),
        to_ply=np.array(last, np.int64),
        point_depth=np.full(m, 45.0),
        protrusion=np.zeros(m),
        drilled=np.full(m, 13.0 if kind == "bolt" else 0.0),
        purpose=words(["assembly"] * m),
        load=words([""] * m),
    )


def _member(name: str, role: Role, depth: float, points: list, joints: tuple) -> Member:
    return Member(name, role, depth, points[0], points[1], np.zeros((0, 2)), joints)


def load(
    name: str, member: Member, station: float, face: str = "front", size: float = 5000.0
) -> HungLoad:
    """A load on the centreline of a chord, given as a design value."""
    x, y = member.to_elevation(np.array([[station, 0.0]]))[0]
    return HungLoad(
        name, member.id, face, station, float(x), float(y), None, None, None, size, 1, None, None
    )


def beam(plies: int, length: float, at: tuple[float, ...], depth: float = 195.0) -> Girder:
    """One chord on two bearings at its very ends, loads at the stations given."""
    chord = _member("BC1", Role.BOTTOM_CHORD, depth, [(0.0, 0.0), (length, 0.0)], ())
    loads = tuple(load(f"L{i + 1}", chord, s) for i, s in enumerate(at))
    ends = (BearingSpec(0.0, 100.0), BearingSpec(length, 100.0))
    return Girder("G", 1, plies, 45.0, "C24", (chord,), (), (), ends, loads)


def truss(
    plies: int,
    span: float = 7300.0,
    rise: float = 1900.0,
    apex: float = 0.55,
    at: tuple[tuple[str, float], ...] = (("BC1", 0.3), ("BC1", 0.62)),
) -> Girder:
    """A triangle with two posts and three more webs; its apex is off the middle.

    Args:
        plies: n. span, rise: mm. apex: place of the apex, part of the span.
        at: chord and part of its length, for each load.
    """
    xa = apex * span
    j = {
        "J1": (0.0, 0.0), "J2": (0.31 * span, 0.0), "J3": (0.74 * span, 0.0), "J4": (span, 0.0),
        "J5": (0.31 * span, rise * 0.31 / apex), "J6": (xa, rise),
        "J7": (0.74 * span, rise * 0.26 / (1 - apex)),
    }  # fmt: skip
    runs = {
        "BC1": (Role.BOTTOM_CHORD, 195.0, ("J1", "J2", "J3", "J4")),
        "TC1": (Role.TOP_CHORD, 170.0, ("J1", "J5", "J6")),
        "TC2": (Role.TOP_CHORD, 145.0, ("J4", "J7", "J6")),
        "W1": (Role.WEB, 95.0, ("J2", "J5")),
        "W2": (Role.WEB, 95.0, ("J2", "J6")),
        "W3": (Role.WEB, 120.0, ("J3", "J6")),
        "W4": (Role.WEB, 95.0, ("J3", "J7")),
    }
    members = tuple(
        _member(name, role, depth, [j[run[0]], j[run[-1]]], run)
        for name, (role, depth, run) in runs.items()
    )
    joints = tuple(
        Joint(k, x, y, tuple(m for m, (_, _, run) in runs.items() if k in run))
        for k, (x, y) in j.items()
    )
    by = {m.id: m for m in members}
    loads = tuple(
        load(f"L{i + 1}", by[name], part * by[name].length) for i, (name, part) in enumerate(at)
    )
    bearings = (BearingSpec(0.0, 100.0), BearingSpec(span, 100.0))
    return Girder("G", 1, plies, 45.0, "C24", members, joints, (), bearings, loads)


def points(girder: Girder, of: Columns) -> NDArray[np.float64]:
    """(F, 2) where fasteners are, elevation, mm."""
    return np.array(
        [
            girder.member(str(m)).to_elevation(np.array([[s, o]]))[0]
            for m, s, o in zip(of.member, of.station, of.offset, strict=True)
        ]
    ).reshape(-1, 2)


def on_ply(girder: Girder, ply: int, sizes: tuple[float, ...]) -> NDArray[np.float64]:
    """(L, n) loads that all hang on one ply (0-based), N."""
    loads = np.zeros((len(girder.loads), girder.plies))
    loads[:, ply] = sizes
    return loads
