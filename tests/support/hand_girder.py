"""A small schedule put together by hand: two members, two nails, one bolt, unlike in every way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from girderply.bases.registry import spec_of
from girderply.catalogue.catalogue_types import Bolt, BoltChoice, Nail, Washer
from girderply.errors import Finding, Severity
from girderply.jobfile.job import (
    BearingSpec,
    FasteningSpec,
    GirderSpec,
    Job,
    JobInfo,
    Role,
    UnitSystem,
)
from girderply.layout.records import BracketMark
from girderply.model.girder import Girder, HungLoad, Joint, Member, Plate
from girderply.rules.rule_set import NailLimits, RuleSet
from girderply.schedule.assumed import Assumption
from girderply.schedule.types import Fasteners, Masses, OrderLine, Run, Schedule, Single, Stage
from girderply.strength.check_record import Check

NAIL = Nail("4.0 x 100", 4.0, 100.0, 8.0, 600.0)
BOLT = Bolt("M12", 12.0, 1.75, 7.5, 10.8, 18.0, 13.0, 13.0, (100.0, 110.0), 400.0, 240.0)
WASHER = Washer("40x40x4", "M12", "square", 14.0, 40.0, 4.0)


def fasteners(rod: str) -> Fasteners:
    """Two nails of BC1, one joint bolt of W1."""
    words = lambda *w: np.array(w, np.str_)  # noqa: E731
    return Fasteners(
        id=words("BC1-N1", "BC1-N2", "W1-B1"),
        kind=words("nail", "nail", "bolt"),
        spec=words("4.0 x 100", "4.0 x 100", rod),
        member=words("BC1", "BC1", "W1"),
        joint=words("", "", "J2"),
        x=np.array([127.0, 279.4, 500.0]),
        y=np.array([40.0, 80.0, 333.33333]),
        station=np.array([127.0, 279.4, 200.0]),
        offset=np.array([-20.0, 20.0, -0.0]),
        row=np.array([1, 2, 1]),
        stage=np.array([1, 1, 2]),
        face=words("front", "back", "front"),
        from_ply=np.array([1, 3, 1]),
        to_ply=np.array([2, 2, 3]),
        protrusion=np.array([0.0, 0.0, 20.0]),
        point_depth=np.array([62.0, 62.0, 0.0]),
        clench=np.array([False, True, False]),
        drilled=np.array([0.0, 0.0, 13.0]),
        purpose=words("assembly", "transfer", "assembly"),
        load=words("", "L1", ""),
        run=words("BC1-R1", "BC1-R1", "W1-R1"),
    )


def runs() -> tuple[Run, ...]:
    """The two nails of BC1 as a run that alternates between rows 80 apart, and the bolt alone."""
    zigzag = Run(
        "BC1-R1", "BC1", 1, "nail", 127.0, 152.4, 2, "alternate", (1, 2), (-20.0, 20.0),
        (77.5, 117.5),
    )  # fmt: skip
    alone = Run(
        "W1-R1", "W1", 2, "bolt", 200.0, 0.0, 1, "one", (1,), (0.0,), (36.0,),
        single=Single("joint", "J2"),
    )  # fmt: skip
    return zigzag, alone


def girder() -> Girder:
    """Three plies of a bottom chord and one vertical web."""
    chord = Member(
        *("BC1", Role.BOTTOM_CHORD, 120.0, (0.0, 60.0), (3000.0, 60.0)),
        np.array([[0.0, 0.0], [3000.0, 0.0], [3000.0, 120.0], [0.0, 120.0]]),
        ("J1", "J2"),
    )
    web = Member(
        *("W1", Role.WEB, 90.0, (500.0, 120.0), (500.0, 900.0)),
        np.array([[455.0, 120.0], [545.0, 120.0], [545.0, 900.0], [455.0, 900.0]]),
        ("J2", "J3"),
    )
    plate = Plate(
        "J2", np.array([[400.0, 50.0], [600.0, 50.0], [600.0, 200.0], [400.0, 200.0]]), True
    )
    load = HungLoad(
        *("L1", "BC1", "front", 300.0, 300.0, 60.0, 1000.0, 2000.0, None, None, 1, None, None)
    )
    return Girder(
        *("G7", 2, 3, 38.0, "C24", (chord, web), (Joint("J2", 500.0, 60.0, ("BC1", "W1")),)),
        *((plate,), (BearingSpec(50.0, 100.0),), (load,)),
    )


def rule_set() -> RuleSet:
    """A rule set of no consequence."""
    return RuleSet(
        *("by-hand", "By hand", "this test", "read", (2, 6), (30.0, 45.0), (), (), NailLimits()),
        *((), None),
    )


def hand_schedule(*, units: UnitSystem = UnitSystem.METRIC, rod: bool = False) -> Schedule:
    """The schedule; with `rod` its bolt is cut from threaded rod."""
    choice = BoltChoice(BOLT, WASHER, 114.0, 140.0, 145.0, threaded_rod=rod)
    made = girder()
    info = JobInfo("R-12", "Rivermouth Hall", "B", "2025-03-01", units, demo=True)
    spec = GirderSpec("G7", 2, 3, 38.0, "C24")
    return Schedule(
        job=Job(info, spec, spec_of(), FasteningSpec(), folder="/somewhere/private"),
        girder=made,
        rules=rule_set(),
        fasteners=fasteners(choice.spec),
        runs=runs(),
        stages=(
            Stage(1, "Nail", ("Lay ply 1",), (1, 2), "front"),
            Stage(2, "Bolt", ("Drill", "Bolt"), (1, 2, 3), "back", True, "before lifting"),
        ),
        patterns=(),
        brackets=(
            BracketMark(
                "L1", "joists", "BC1", "front", 300.0, "centreline", 0.0, 90.0, 120.0, "", "", True
            ),
        ),
        nails={NAIL.key: NAIL},
        bolts={choice.spec: choice},
        order=(OrderLine("nail", "4.0 x 100", 2, 3, 0.03, '=HYPERLINK("x")'),),
        masses=Masses(20.0, 60.0, 0.5),
        checks=(
            Check("C1", "BC1", 900.0, 1200.0, "N", "8.2.2"),
            Check("C2", "W1", 10.0, 0.0, "N", "8.5.1"),
        ),
        findings=(Finding("gap", Severity.NOTE, "BC1", "A gap.", ""),),
        assumed=(Assumption("basis.reach", "reach", "600 mm", "BC1", "No source.", False, True),),
    )


def with_revision(schedule: Schedule, revision: str) -> Schedule:
    """The same schedule at another revision."""
    info = replace(schedule.job.info, revision=revision)
    return replace(schedule, job=replace(schedule.job, info=info))
