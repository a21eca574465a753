"""A layout designed to the load: more only where it is asked for, never fewer than the pattern."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from jobs_in_text import Ask, job_text

from girderply.jobfile.reader import parse_job, read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.design import _in_turn, _Short
from girderply.strength.zones import Zone

SAMPLES = Path(__file__).parents[3] / "sample_jobs"

LOAD = """
[[loads]]
id = "L"
chord = "BC1"
face = "front"
at = "4 m"
permanent = "{force} kN"
"""


def job(force, **wants):
    return parse_job(job_text(Ask(loads=LOAD.format(force=force), **wants)))


def in_zone(schedule, kind="nail"):
    """Fasteners of the bottom chord within 600 mm of the load (the rule set's reach)."""
    f = schedule.fasteners
    here = (f.member == "BC1") & (f.kind == kind) & (np.abs(f.station - 4000.0) <= 600.0)
    return f.select(here)


def test_enough_nails_by_hand():
    """9 kN permanent on one face of two plies, nails 4.0 x 100 in C24.

    S = 1.35 x 9000 / 2 = 6075 N. F_v,Rk of one nail 4.0 x 100, two 38 mm plies, not predrilled:
    1151 N by mode (f) (second method of the reference values, without rope effect, which a
    permanent load does not get for smooth nails). F_v,Rd = 0.6 x 1151 / 1.3 = 531 N;
    6075 / 531 = 11.4: twelve nails. The pattern has 1200 / 150 = 8 or 9.
    """
    plain = build_schedule(replace_design(job(9), False))
    strong = build_schedule(job(9))
    assert plain.failed
    assert len(in_zone(plain)) < 12
    assert not strong.failed
    assert len(in_zone(strong)) >= 12
    check = next(c for c in strong.checks if c.id == "L.i1.P")
    assert check.demand == pytest.approx(6075.0)
    assert check.resistance == pytest.approx(len(in_zone(strong)) * 0.6 * 1151 / 1.3, rel=1e-3)


def replace_design(asked, on):
    return replace(asked, fastening=replace(asked.fastening, design_to_load=on))


def test_only_the_zone_is_closer_and_the_rest_keeps_its_pattern():
    plain = build_schedule(replace_design(job(9), False))
    strong = build_schedule(job(9))
    for member in plain.girder.members:
        a = plain.fasteners.select(plain.fasteners.member == member.id)
        b = strong.fasteners.select(strong.fasteners.member == member.id)
        assert len(b) >= len(a)
        if member.id != "BC1":
            assert b.station.tolist() == a.station.tolist()
    (zone,) = strong.strengthened
    assert zone.member == "BC1"
    usual = plain.fasteners.select(plain.fasteners.member == "BC1").station
    assert zone.start in usual  # from mark to mark of the pattern, over the load's window
    assert zone.start <= 3400.0
    assert zone.end > 4600.0 - zone.usual
    assert zone.centres < zone.usual == 150.0


def test_carrying_fasteners_are_marked_with_their_load():
    schedule = build_schedule(job(9))
    carrying = schedule.fasteners.select(schedule.fasteners.purpose == "transfer")
    assert set(carrying.member.tolist()) == {"BC1"}
    assert set(carrying.load.tolist()) == {"L"}
    assert len(carrying) == len(in_zone(schedule))


def test_a_deeper_chord_gets_another_row_when_closer_does_not_do():
    """150 kN cannot pass on two rows 20 mm apart: rows are added as far as the depth takes them."""
    schedule = build_schedule(job(150, bottom=295.0))
    rows = len(np.unique(in_zone(schedule).row))
    assert rows > 2
    assert rows <= 4


def test_bolts_stand_beside_their_load_and_are_counted_by_hand():
    """M12 4.6 in 2 x 38 mm C24, across the grain: 3897 N with its rope effect (reference value).

    R_d = 0.6 x 3897 / 1.3 = 1799 N; S = 1.35 x 9000 / 2 = 6075 N: four bolts. The joint bolts
    within the zone count too.
    """
    asked = job(9, extra='transfer_by = "bolt"')
    schedule = build_schedule(asked)
    assert not schedule.failed
    bolts = in_zone(schedule, "bolt")
    assert len(bolts) >= math.ceil(6075 / 1799)
    own = bolts.select(bolts.joint == "")
    assert np.abs(own.station - 4000.0).max() <= 200.0
    assert set(own.load.tolist()) == {"L"}
    gaps = np.diff(np.sort(bolts.station))
    assert gaps.min() >= 4 * 12.0 - 1e-6  # Table 8.4 across the grain, value from memory


def test_only_the_stage_that_crosses_the_short_interface_is_closer():
    """Three plies, 7 kN on the front face: 2/3 of it passes interface 1, 1/3 interface 2.

    Equal nails stand at both by the pattern, so where only the first is short only its stage gets
    more; the other one's nails stay as many as they are, moved at most.
    """
    plain = build_schedule(replace_design(job(7, plies=3), False))
    strong = build_schedule(job(7, plies=3))
    short = {c.interface for c in plain.checks if c.interface and not c.ok}
    assert short == {1}
    assert not [c for c in strong.checks if c.interface and not c.ok]
    more = {
        stage: np.sum((strong.fasteners.stage == stage) & (strong.fasteners.member == "BC1"))
        - np.sum((plain.fasteners.stage == stage) & (plain.fasteners.member == "BC1"))
        for stage in (1, 2)
    }
    (own,) = {s.stage for s in strong.strengthened}
    assert more[own] > 0
    assert more[3 - own] == 0


def test_loads_in_a_row_get_one_length_with_one_density():
    """Five equal loads 600 apart: one tight window over all of them, so one length per stage."""
    row = LOAD.replace('at = "4 m"', 'at = "2 m"\nto = "4400 mm"\nevery = "600 mm"')
    strong = build_schedule(parse_job(job_text(Ask(loads=row.format(force=5)))))
    assert not [c for c in strong.checks if c.interface and not c.ok]
    (length,) = strong.strengthened
    assert length.start <= 2000.0
    assert length.end >= 4400.0


def test_windows_that_overlap_a_worse_one_wait_for_the_next_round():
    """Equal ones are worked on together, whatever their order; one that lies apart at once too."""

    def short(ratio, low, high, k=1):
        return _Short(zone, k, ratio, low, high)

    zone = Zone("L", "BC1", 500.0, 0.0, 1000.0, (), ("", ""), 0.0, 1000.0)
    worst, equal = short(2.0, 0.0, 1000.0), short(2.0, 800.0, 1800.0)
    less, apart = short(1.5, 500.0, 1500.0), short(1.2, 1800.0, 2800.0)
    other = short(1.1, 0.0, 1000.0, k=2)
    assert list(_in_turn([worst, equal, less, apart, other])) == [worst, equal, apart, other]
    assert list(_in_turn([equal, worst, less, apart, other])) == [equal, worst, apart, other]


def test_what_is_told_of_a_strengthened_length_is_what_each_stage_sheet_shows():
    """The French sample: both faces share the pattern, so that each stage has twice its centres."""
    schedule = build_schedule(read_job(SAMPLES / "three-ply-pratt.toml"))
    told = [(s.member, s.stage, s.start, s.end, s.centres) for s in schedule.strengthened]
    laid = [
        (r.member, r.stage, r.first, r.last, r.step)
        for r in schedule.runs
        if r.member == "BC1" and r.kind == "nail" and r.marks > 1
    ]
    assert sorted(told) == sorted(laid)
    assert {s.usual for s in schedule.strengthened} == {600.0}
