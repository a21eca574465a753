"""Plates and loads as people have them: read off a drawing, pasted, said in a line."""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import numpy as np
import pytest

from girderply.desk.amend import amended
from girderply.desk.decided import decide
from girderply.desk.hanging import read_loads
from girderply.desk.plate_readings import PlateError, plate_edits, readings
from girderply.jobfile import parse_job, read_job
from girderply.units.parse import QuantityError
from girderply.wording import ENGLISH

FOLDER = Path(__file__).resolve().parents[3] / "sample_jobs"
HOWE = (FOLDER / "two-ply-howe.toml").read_text()
METRIC = read_job(FOLDER / "two-ply-howe.toml")
IMPERIAL = read_job(FOLDER / "two-ply-imperial.toml")


def put(text: str, **said: object) -> str:
    return amended(text, plate_edits(decide(text, FOLDER), said))


def row(text: str, joint: str) -> dict[str, object]:
    return next(r for r in readings(decide(text, FOLDER)) if r["joint"] == joint)


@pytest.mark.parametrize("name", ["two-ply-howe", "truncated-nodes", "two-ply-imperial"])
def test_a_reading_put_back_is_the_same_plate(name):
    """What is read off an estimate or a given plate, written as it stands, moves nothing."""
    text = (FOLDER / f"{name}.toml").read_text()
    before = decide(text, FOLDER).schedule.girder
    for r in readings(decide(text, FOLDER))[::4]:
        after = decide(put(text, **r), FOLDER).schedule.girder
        old, new = (
            next(p.outline for p in g.plates if p.joint == r["joint"]) for g in (before, after)
        )
        apart = np.hypot(*(old[:, None] - new[None, :]).T).min(axis=0)  # whichever corner is first
        assert apart.max() < 0.6, r["joint"]  # angle to 0.01 deg, sizes to 0.1 mm


def test_a_plate_is_turned_with_the_member_it_lies_along():
    """22.5 deg is the pitch of this rafter; the other rafter falls by as much."""
    text = put(HOWE, joint="J9", width="180 mm", height="120", turned="TC1", dx="30", dy="-40 mm")
    plate = parse_job(text).girder.plates[0]
    assert (plate.joint, plate.width, plate.height) == ("J9", 180.0, 120.0)
    assert math.degrees(plate.angle) == pytest.approx(22.5, abs=0.006)
    joint = next(j for j in decide(HOWE, FOLDER).schedule.girder.joints if j.id == "J9")
    assert plate.centre == pytest.approx((joint.x + 30, joint.y - 40), abs=0.051)
    assert row(text, "J9")["turned"] == "TC1"
    assert row(text, "J9")["assumed"] is False


def test_the_mirrored_joint_gets_the_mirrored_plate():
    text = put(HOWE, joint="J9", width="180", height="120", turned="TC1", dx="30", dy="-40", both=1)
    left, right = parse_job(text).girder.plates
    assert (left.joint, right.joint) == ("J9", "J11")
    assert left.centre[0] + right.centre[0] == pytest.approx(9600, abs=0.11)
    assert left.centre[1] == right.centre[1]
    assert right.angle == pytest.approx(-left.angle)
    assert row(text, "J11")["turned"] == "TC2"


def test_a_joint_in_the_middle_has_no_mirror():
    assert row(HOWE, "J4")["mirror"] is None
    text = put(HOWE, joint="J4", width="300", height="150", turned="level", both=True)
    assert len(parse_job(text).girder.plates) == 1


def test_an_upright_member_gives_an_upright_plate():
    text = put(HOWE, joint="J2", width="150", height="80", turned="W1")
    assert abs(math.degrees(parse_job(text).girder.plates[0].angle)) == pytest.approx(90)


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"joint": "J99"}, PlateError),
        ({"joint": "J9", "width": "wide", "height": "1"}, QuantityError),
        ({"joint": "J9", "width": "100", "height": "100", "turned": "W5"}, QuantityError),
    ],
)
def test_a_plate_that_cannot_be_read_is_refused(said, fault):
    with pytest.raises(fault):
        put(HOWE, **said)


def hung(text: str, job=METRIC) -> list[dict[str, object]]:
    found = read_loads(ENGLISH, text, job, "BC1")
    assert found.faults == []
    return found.entries


def test_a_series_is_said_in_a_line():
    assert hung("every 600 from 600 to 9000, front, 1.1 kN + 1.6 kN") == [
        {
            "chord": "BC1",
            "face": "front",
            "every": "600 mm",
            "at": "600 mm",
            "to": "9000 mm",
            "permanent": "1.1 kN",
            "variable": "1.6 kN",
        }
    ]


def test_a_force_per_length_is_what_falls_to_one_place():
    """2.4 kN/m over 600 mm are 1.44 kN; 100 lbf/ft over 2 ft are 200 lbf: by hand."""
    entry = hung("2.4 kN/m + 3.1 kN/m every 600 from 600 to 9000, back")[0]
    assert (entry["permanent"], entry["variable"]) == ("1.44 kN", "1.86 kN")
    entry = hung("every 2 ft from 2 ft to 30 ft, 100 plf", IMPERIAL)[0]
    assert (entry["permanent"], entry["every"]) == ("200 lbf", "24 in")


def test_feet_inches_and_parts_are_one_length():
    assert hung("at 6 ft 3 1/2 in, 300 lbf", IMPERIAL)[0]["at"] == "75.5 in"


def test_french_is_understood_with_its_comma():
    entry = hung("tous les 600 de 600 à 9000, arrière, 1,1 kN + 1,6 kN, Ferme R1")[0]
    assert (entry["face"], entry["permanent"], entry["what"]) == ("back", "1.1 kN", "Ferme R1")


def test_cells_of_a_spreadsheet_with_heads_in_any_order():
    rows = hung(
        "Dead (kN)\tName\tPosition\tSnow\tSide\n1,1\tT1\t600\t1.6\tfront\n2\tT2\t1.2 m\t0.7\tback"
    )
    assert [(r["id"], r["at"], r["permanent"], r["variable"], r["face"]) for r in rows] == [
        ("T1", "600 mm", "1.1 kN", "1.6 kN", "front"),
        ("T2", "1200 mm", "2 kN", "0.7 kN", "back"),
    ]


def test_what_is_read_is_what_the_job_reads():
    """Read in, hung, read by the job's own reader: the same newtons and millimetres."""
    from girderply.desk.amend import Edit

    lines = "every 600 from 600 to 9000, back, 1.1 kN + 1.6 kN\nat 4800, 3,5 kN, Hip truss"
    text = amended(HOWE, [Edit(("loads",), "add", e) for e in hung(lines)])
    first, second = parse_job(text).loads[1:]
    assert (first.permanent, first.variable, first.at, first.every) == (1100, 1600, 600, 600)
    assert (second.permanent, second.variable, second.at, second.what) == (
        3500, None, 4800, "Hip truss",
    )  # fmt: skip


@pytest.mark.parametrize(
    "line",
    [
        "hello",
        "2 kN/m at 600",
        "at 600, 1 kN + 2 kN + 3 kN",
        "at 600, 1.1 + 1.6",
        "at 600 at 700, 1 kN",
        "at 600, front, back, 1 kN",
        "at 600 kN",
        "600\tmany\t1",
        "600\t1\t1\tsideways",
    ],
)
def test_nothing_is_passed_over_without_a_word(line):
    found = read_loads(ENGLISH, line, METRIC, "BC1")
    assert found.entries == []
    assert [f["line"] for f in found.faults] == [1]
    assert found.faults[0]["said"]


def test_one_bad_line_leaves_the_others_told(tmp_path):
    shutil.copy(FOLDER / "two-ply-howe.toml", tmp_path)
    found = read_loads(ENGLISH, "at 600, 1 kN\n\nnonsense\nat 900, 2 kN", METRIC, "TC1")
    assert [e["at"] for e in found.entries] == ["600 mm", "900 mm"]
    assert {e["chord"] for e in found.entries} == {"TC1"}
    assert [f["line"] for f in found.faults] == [3]
