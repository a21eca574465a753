"""Twist from unequal faces, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from helpers_strength import chord, girder, job, load

from girderply.jobfile.job import Role
from girderply.strength.twist import lever_of, twist_findings, twist_of
from girderply.wording import english


def truss(*loads):
    """Chords 1.2 m apart at the left end and 2.0 m at the right one."""
    low = chord()
    top = replace(chord("TC1", Role.TOP_CHORD), hook=(6000.0, 2097.5), far=(0.0, 1297.5))
    return girder(loads, members=(low, top), plies=2, thickness=38.0)


def test_one_face_by_hand():
    """1.35 x 2 + 1.5 x 3 = 7.2 kN at 38 mm off the middle: 273.6 kN mm; over 2 m 136.8 N."""
    found = twist_of(job(), truss(load()))
    assert found.combination == "PV"
    assert found.moment == pytest.approx(7200.0 * 38.0)
    assert found.lever == pytest.approx(2000.0)
    assert found.couple == pytest.approx(136.8)


def test_the_back_face_turns_the_other_way_and_takes_off():
    """3 kN permanent alone behind: its own worst is the front face alone, as it may hang first."""
    behind = load("L2", 3000.0, face="back", permanent=2000.0, variable=None)
    found = twist_of(job(), truss(load(), behind))
    assert (found.combination, found.moment) == ("PV.front", pytest.approx(7200.0 * 38.0))
    only = twist_of(job(), truss(replace(behind, permanent=5000.0)))
    assert only.moment == pytest.approx(-1.35 * 5000.0 * 38.0)


def test_what_enters_all_plies_alike_does_not_turn():
    assert twist_of(job(), truss(load(face="top"))) is None
    assert twist_of(job(), truss()) is None
    assert twist_findings(job(), truss(), None) == ()


def test_the_finding_says_moment_couple_and_lever():
    (finding,) = twist_findings(job(), truss(load()), twist_of(job(), truss(load())))
    text = english(finding.message).replace("\u00a0", " ")
    assert "0.27 kN at an arm of 1 000 mm" in text
    assert "0.14 kN together, where they are 2 000 mm apart" in text
    assert lever_of(truss()) == pytest.approx(2000.0)
