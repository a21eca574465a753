"""Small girders and jobs made by hand for the tests of the strength layer."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from girderply.jobfile.job import (
    BasisSpec,
    BearingSpec,
    FasteningSpec,
    GirderSpec,
    Job,
    JobInfo,
    Role,
    UnitSystem,
)
from girderply.model.girder import Girder, HungLoad, Member
from girderply.rules.types import NailLimits, RuleSet

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
        basis=basis or BasisSpec(),
        fastening=fastening or FasteningSpec(),
    )
