"""A whole girder put together by hand, for the sheets: unlike left and right, two to six plies.

It is not laid out by any rule: nails are strewn along the members at a given pitch so that a
drawing has something to show, and every count is known from the loops below.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from girderply.bases.registry import spec_of
from girderply.catalogue.catalogue_types import Bolt, BoltChoice, Nail, Washer
from girderply.errors import Finding, Severity
from girderply.jobfile.job import (
    BearingSpec,
    BracketSpec,
    FasteningSpec,
    GirderSpec,
    Job,
    JobInfo,
    Role,
    UnitSystem,
)
from girderply.model.girder import Girder, HungLoad, Joint, Member, Plate
from girderply.rules.rule_set import NailLimits, RuleSet
from girderply.schedule.types import (
    BracketMark,
    Fasteners,
    Masses,
    OrderLine,
    PatternNote,
    Schedule,
    Stage,
)

NAIL = Nail("4.0 x 100", 4.0, 100.0, 8.0, 600.0)
BOLT = Bolt("M12", 12.0, 1.75, 7.5, 10.8, 18.0, 13.0, 13.0, (100.0, 120.0, 140.0), 400.0, 240.0)
WASHER = Washer("40x40x4", "M12", "square", 14.0, 40.0, 4.0)

RISE, SPAN, APEX = 1900.0, 9600.0, 5100.0
NODES = {
    "J1": (0.0, 97.5), "J2": (2400.0, 97.5), "J3": (APEX, 97.5), "J4": (7500.0, 97.5),
    "J5": (SPAN, 97.5), "J6": (2400.0, 97.5 + RISE * 2400 / APEX), "J7": (APEX, 97.5 + RISE),
    "J8": (7500.0, 97.5 + RISE * (SPAN - 7500) / (SPAN - APEX)),
}  # fmt: skip
RUNS = {
    "BC1": (Role.BOTTOM_CHORD, ("J1", "J2", "J3", "J4", "J5"), 195.0),
    "TC1": (Role.TOP_CHORD, ("J1", "J6", "J7"), 170.0),
    "TC2": (Role.TOP_CHORD, ("J5", "J8", "J7"), 170.0),
    "W1": (Role.WEB, ("J2", "J6"), 95.0),
    "W2": (Role.WEB, ("J6", "J3"), 95.0),
    "W3": (Role.WEB, ("J3", "J7"), 120.0),
    "W4": (Role.WEB, ("J3", "J8"), 95.0),
    "W5": (Role.WEB, ("J4", "J8"), 95.0),
}


def _member(name: str) -> Member:
    role, joints, depth = RUNS[name]
    a, b = np.array(NODES[joints[0]]), np.array(NODES[joints[-1]])
    u = (b - a) / np.hypot(*(b - a))
    if role is Role.WEB:
        a, b = a + 110 * u, b - 100 * u
    n = np.array([-u[1], u[0]]) * depth / 2
    outline = np.array([a - n, b - n, b + n, a + n])
    return Member(name, role, depth, tuple(a), tuple(b), outline, joints)


def _plate(joint: str, assumed: bool) -> Plate:
    x, y = NODES[joint]
    half = np.array([[-150, -70], [150, -70], [150, 80], [-150, 80]])
    return Plate(joint, half + [x, y], assumed)


def made_girder(plies: int = 2, assumed: bool = False, every: float = 600.0) -> Girder:
    """Eight members; trusses hung on the front of BC1, one heavier one on its back."""
    members = tuple(_member(name) for name in RUNS)
    joints = tuple(
        Joint(j, x, y, tuple(m for m, (_, run, _) in RUNS.items() if j in run))
        for j, (x, y) in NODES.items()
    )
    loads = []
    for k, x in enumerate(np.arange(900.0, 9300.0, every)):
        square = np.array([[-40, -80], [40, -80], [40, 60], [-40, 60]]) + [x, 97.5]
        loads.append(
            HungLoad(
                f"T-{k + 1}", "BC1", "front", x, x, 97.5, 1800.0, 2600.0, None, None, 1,
                BracketSpec(80.0, 140.0), square, "roof truss",
            )
        )  # fmt: skip
    square = np.array([[-60, -90], [60, -90], [60, 70], [-60, 70]]) + [5100.0, 97.5]
    loads.append(
        HungLoad(
            "V-1", "BC1", "back", 5100.0, 5100.0, 97.5, 5000.0, 6000.0, None, None, 1,
            BracketSpec(120.0, 160.0), square, "valley girder",
        )
    )  # fmt: skip
    plates = tuple(_plate(j, assumed) for j in NODES)
    bearings = (BearingSpec(70.0, 140.0), BearingSpec(9530.0, 140.0))
    return Girder("G1", 2, plies, 38.0, "C24", members, joints, plates, bearings, tuple(loads))


def _strew(girder: Girder) -> list[dict[str, object]]:
    rows: list[dict[str, object]] = []
    for member in girder.members:
        chord = member.role.is_chord
        gauge, centres = (member.depth / 3, 150.0) if chord else (0.0, 300.0)
        number = 0
        for stage in range(1, girder.plies):
            back = stage == girder.plies - 1 and girder.plies > 2
            for k, station in enumerate(np.arange(75.0 + 20 * stage, member.length - 60, centres)):
                number += 1
                offset = (-1) ** k * gauge / 2
                x, y = member.to_elevation(np.array([[station, offset]]))[0]
                rows.append({
                    "id": f"{member.id}-N{number}", "kind": "nail", "spec": NAIL.key,
                    "member": member.id, "joint": "", "x": x, "y": y, "station": station,
                    "offset": offset, "row": 1 if offset <= 0 else 2, "stage": stage,
                    "face": "back" if back else "front",
                    "from_ply": stage + 1 if not back else stage, "to_ply": stage,
                    "protrusion": 24.0 if stage == 1 else 0.0, "point_depth": 38.0,
                    "clench": stage == 1, "drilled": 0.0, "purpose": "assembly", "load": "",
                })  # fmt: skip
        if chord:
            for k, joint in enumerate(member.joints[1:-1]):
                jx, jy = NODES[joint]
                station = float(member.to_local(np.array([[jx, jy]]))[0, 0]) + 230
                x, y = member.to_elevation(np.array([[station, 0.0]]))[0]
                rows.append({
                    "id": f"{member.id}-B{k + 1}", "kind": "bolt", "spec": "M12 x 120",
                    "member": member.id, "joint": joint, "x": x, "y": y, "station": station,
                    "offset": 0.0, "row": 1, "stage": girder.plies, "face": "front",
                    "from_ply": 1, "to_ply": girder.plies, "protrusion": 20.0,
                    "point_depth": 0.0, "clench": False, "drilled": 13.0,
                    "purpose": "assembly", "load": "",
                })  # fmt: skip
    return rows


def _columns(rows: list[dict[str, object]]) -> Fasteners:
    return Fasteners(**{name: np.array([r[name] for r in rows]) for name in rows[0]})


def _stages(plies: int) -> tuple[Stage, ...]:
    stages = []
    for k in range(1, plies):
        back = k == plies - 1 and plies > 2
        stages.append(Stage(
            k, f"Nail ply {k + 1} to ply {k}",
            (f"Lay ply {k + 1} on ply {k}, hook ends flush.",
             "Mark every row with the tape from the hook end.",
             "Drive the nails flush; clench the points across the grain."),
            tuple(range(1, k + 2)), "back" if back else "front", turn_over_before=back,
            hold_point="Before turning over: count every nail." if k == 1 else "",
            kinds=("nail",),
        ))  # fmt: skip
    stages.append(Stage(
        plies, "Drill and bolt", ("Drill 13 mm holes square to the face.",
        "Fit bolts with a square washer under head and nut, tighten until the washer seats."),
        tuple(range(1, plies + 1)), "front", hold_point="Before lifting: all stages counted.",
        kinds=("bolt",),
    ))  # fmt: skip
    return tuple(stages)


def _patterns(girder: Girder, f: Fasteners) -> tuple[PatternNote, ...]:
    notes = []
    for m in girder.members:
        n = int(((f.member == m.id) & (f.kind == "nail")).sum())
        if m.role.is_chord:
            g = m.depth / 3
            notes.append(PatternNote(m.id, 2, 300.0, 150.0, g, float(np.hypot(150, g)),
                                     "common-practice", n - 1, n, (-g / 2, g / 2)))  # fmt: skip
        else:
            notes.append(
                PatternNote(m.id, 1, 300.0, 300.0, 0.0, 0.0, "common-practice", n, n, (0.0,))
            )
    return tuple(notes)


def made_schedule(
    plies: int = 2,
    units: UnitSystem = UnitSystem.METRIC,
    failed: bool = False,
    assumed: bool = False,
    **info: object,
) -> Schedule:
    """The whole result for the made girder; `info` replaces fields of the job's information."""
    girder = made_girder(plies, assumed)
    job_info = replace(
        JobInfo("RH-204", "Made girder for the tests of the sheets", "B", "2026-03-02", units,
                "A. Maker", "B. Checker", "Client & Sons", "River road 4", "Truss Works", True),
        **({"counting": "open"} | info),  # type: ignore[arg-type]
    )  # fmt: skip
    f = _columns(_strew(girder))
    findings = [
        Finding("gap-over-plate", Severity.WARNING, "BC1", "Gap of 330 mm over the plate at J3.",
                "", "Nails were put on both sides of it."),
        Finding("rod", Severity.NOTE, "bolts", "M12 longer than 120 mm must be ordered as rod."),
    ]  # fmt: skip
    if failed:
        findings.insert(0, Finding(
            "nail-too-short", Severity.ERROR, "W2",
            "The 4.0 x 100 nail ends 12 mm short of the depth that the last ply needs (32 mm).",
            "EN 1995-1-1, 8.3.1.2", "Take a nail of 120 mm or longer."))  # fmt: skip
    nails, bolts = int((f.kind == "nail").sum()), int((f.kind == "bolt").sum())
    return Schedule(
        Job(job_info, GirderSpec("G1", 2, plies, 38.0, "C24"), spec_of(), FasteningSpec()),
        girder,
        RuleSet("common-practice", "Common practice", "common practice, no source", "demo", (2, 6),
                (35.0, 45.0), (), (), NailLimits(), (), None),
        f, _stages(plies), _patterns(girder, f),
        tuple(
            BracketMark(load.id, load.what, load.chord, str(load.face), load.station,
                        "lower edge", -80.0, 80.0, 140.0, "J3" if load.id == "V-1" else "",
                        "nails through the plate" if load.id == "V-1" else "")
            for load in girder.loads
        ),
        {NAIL.key: NAIL},
        {"M12 x 120": BoltChoice(BOLT, WASHER, 38.0 * plies, 110.0, 120.0, False)},
        (OrderLine("nail", NAIL.key, nails, round(nails * 1.05), nails * 1.05 * NAIL.mass),
         OrderLine("bolt", "M12 x 120", bolts, bolts + 1, 0.15 * (bolts + 1)),
         OrderLine("washer", WASHER.key, 2 * bolts, 2 * bolts + 2, 0.05 * 2 * bolts),
         OrderLine("nut", "M12", bolts, bolts + 1, 0.0, "for the bolts above")),
        Masses(168.0, 168.0 * plies, 9.4), (), tuple(findings),
        "1d0c3fa97b2e4c55a8c0d1",
    )  # fmt: skip
