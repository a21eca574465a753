"""A verdict does not turn with the mirror: the sign of a chord's direction is in no check."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from girderply.errors import CheckError
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.strength.check_record import Check

JOB = """
[job]
number = "M-1"
title = "One load on a rafter"
revision = "A"
date = 2026-01-15

[girder]
mark = "G1"
plies = 2
ply_thickness = "38 mm"
timber = "C24"
hook_ends = {{ BC1 = "{hook}" }}

[girder.shape]
kind = "howe"
span = "9.6 m"
pitch = "22.5 deg"
panels = 6

[girder.sections]
top_chord = "195 mm"
bottom_chord = "195 mm"
web = "95 mm"

[[girder.bearings]]
x = "70 mm"
width = "140 mm"

[[girder.bearings]]
x = "9530 mm"
width = "140 mm"

[[loads]]
id = "P"
chord = "{chord}"
face = "front"
at = "2600 mm"
{value}

[loads.bracket]
width = "90 mm"
height = "150 mm"
"""


def splitting(chord: str, value: str) -> Mapping[str, Check]:
    """Splitting checks of one load on one rafter; the bottom chord's tape is hooked below it."""
    hook = "left" if chord == "TC1" else "right"
    schedule = build_schedule(parse_job(JOB.format(chord=chord, value=value, hook=hook)))
    return {c.id: c for c in schedule.checks if ".split." in c.id}


@pytest.mark.parametrize(
    ("value", "most"), [('permanent = "12 kN"', 1.35 * 12.0), ('uplift = "7 kN"', 1.5 * 7.0)]
)
def test_both_rafters_split_alike(value: str, most: float) -> None:
    """TC2 is TC1 in the mirror, so a load at the same station asks as much of it.

    By hand, 12 kN at 22.5 degrees: the part across the grain is 1.35 x 12 x cos(22.5 deg) =
    14.97 kN on the ply that the bracket is fixed to, at least half of it on one side.
    """
    left, right = splitting("TC1", value), splitting("TC2", value)
    assert left.keys() == right.keys()
    assert left
    for name, check in left.items():
        assert right[name].demand == pytest.approx(check.demand, rel=1e-9)
        assert right[name].resistance == pytest.approx(check.resistance, rel=1e-9)
        assert right[name].ok == check.ok
    across = most * 1e3 * math.cos(math.radians(22.5))
    assert max(check.demand for check in right.values()) >= 0.5 * across


@pytest.mark.parametrize(
    ("demand", "resistance"),
    [(-1.0, 5.0), (3.0, -2.0), (math.nan, 5.0), (3.0, math.nan), (math.inf, 5.0), (3.0, math.inf)],
)
def test_no_check_of_what_is_no_magnitude(demand: float, resistance: float) -> None:
    with pytest.raises(CheckError, match=r"check T1\.i1: (demand|resistance) .* is no magnitude"):
        Check("T1.i1", "", demand, resistance, "N", "")
