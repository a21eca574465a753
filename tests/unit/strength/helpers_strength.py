"""Small girders and jobs made by hand for the tests of the strength layer."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from girderply.bases.registry import spec_of
from girderply.bases.spec import BasisSpec
from girderply.catalogue import BoltChoice, bolt, choose_bolt, washer
from girderply.jobfile.job import (
    BearingSpec,
    FasteningSpec,
    GirderSpec,
    Job,
    JobInfo,
    Role,
    UnitSystem,
)
from girderply.model.girder import Girder, HungLoad, Member
from girderply.rules.rule_set import NailLimits, RuleSet

RULES = RuleSet(
    name="test",
    title="test rules",
    source="none",
    mark="test",
    plies=(2, 6),
    thickness=(30.0, 60.0),
    chord=(),
    web=(),
    limits=NailLimits(),
    ply_rules=(),
    bolts=None,
    zone_reach=600.0,
)


def chord(
    member_id: str = "BC1",
    role: Role = Role.BOTTOM_CHORD,
    length: float = 6000.0,
    depth: float = 195.0,
    slope: float = 0.0,
) -> Member:
    """A straight chord hooked at the left end, centreline through (0, depth / 2)."""
    far = (length * math.cos(slope), depth / 2 + length * math.sin(slope))
    hook = (0.0, depth / 2)
    return Member(member_id, role, depth, hook, far, np.zeros((0, 2)), ())


def load(load_id: str = "L1", station: float = 2400.0, **changes: object) -> HungLoad:
    """A load on the front face of BC1, 2 kN permanent and 3 kN variable."""
    base = HungLoad(
        id=load_id,
        chord="BC1",
        face="front",
        station=station,
        x=station,
        y=97.5,
        permanent=2000.0,
        variable=3000.0,
        uplift=None,
        design=None,
        plies_reached=1,
        bracket=None,
        footprint=None,
    )
    return replace(base, **changes)  # type: ignore[arg-type]


def girder(
    loads: tuple[HungLoad, ...],
    plies: int = 3,
    thickness: float = 45.0,
    timber: str = "C24",
    members: tuple[Member, ...] = (),
    bearings: tuple[BearingSpec, ...] = (),
) -> Girder:
    """A girder of one or more chords."""
    return Girder(
        mark="G1",
        quantity=1,
        plies=plies,
        ply_thickness=thickness,
        timber=timber,
        members=members or (chord(),),
        joints=(),
        plates=(),
        bearings=bearings,
        loads=loads,
    )


def job(
    basis: BasisSpec | None = None,
    fastening: FasteningSpec | None = None,
    units: UnitSystem = UnitSystem.METRIC,
) -> Job:
    """A job whose girder part is not read here."""
    return Job(
        info=JobInfo("T-1", "Test", "A", "2026-01-15", units),
        girder=GirderSpec("G1", 1, 3, 45.0, "C24"),
        basis=basis or spec_of(),
        fastening=fastening or FasteningSpec(),
    )


@dataclass(frozen=True)
class Columns:
    """The columns that the strength layer reads."""

    kind: np.ndarray
    spec: np.ndarray
    member: np.ndarray
    station: np.ndarray
    offset: np.ndarray
    from_ply: np.ndarray
    to_ply: np.ndarray
    point_depth: np.ndarray
    protrusion: np.ndarray
    drilled: np.ndarray
    purpose: np.ndarray
    load: np.ndarray


_FIRST = {
    "kind": "nail",
    "spec": "4.0 x 100",
    "member": "BC1",
    "station": 0.0,
    "offset": 0.0,
    "from_ply": 1,
    "to_ply": 2,
    "point_depth": 45.0,
    "protrusion": 0.0,
    "drilled": 0.0,
    "purpose": "transfer",
    "load": "",
}


def columns(*groups: dict[str, object]) -> Columns:
    """Columns of groups of fasteners; a group's `station` may be a list, one fastener each."""
    rows = []
    for group in groups:
        stations = group.get("station", 0.0)
        for station in stations if isinstance(stations, list) else [stations]:
            rows.append(_FIRST | group | {"station": station})
    kinds = {name: np.str_ if isinstance(v, str) else type(v) for name, v in _FIRST.items()}
    return Columns(**{n: np.array([row[n] for row in rows], dtype=k) for n, k in kinds.items()})


def bolt_choice(size: str = "M12", plies: int = 3, thickness: float = 45.0) -> BoltChoice:
    """A metric bolt with the square washer of DIN 436, or an inch bolt with a cut washer."""
    own = f"DIN 436 {size}" if size.startswith("M") else f"cut {size}"
    return choose_bolt(bolt(size), washer(own), plies * thickness)
