"""Plies that receive their share of a load: which of them, by how much shear, in which case."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from helpers_strength import RULES, chord, columns, girder, job, load

from girderply.catalogue import nail
from girderply.jobfile.job import BearingSpec, BracketSpec
from girderply.strength.beside_bracket import connected
from girderply.strength.checks import Checker

NAILS = {"4.0 x 100": nail("4.0 x 100")}
BRACKET = BracketSpec(90.0, 110.0)
ENDS = (BearingSpec(0.0, 80.0), BearingSpec(6000.0, 80.0))


def receiving(plies, *nails):
    checks = Checker(job(), plies, RULES).across(columns(*nails))
    return {c.id: c for c in checks if ".ply" in c.id}


@pytest.mark.parametrize("slope", [0.0, 0.5, math.pi - 0.5])
def test_without_bearings_the_part_of_its_share_across_the_grain_is_its_shear(slope):
    """No frame stands: a third of 1.35 x 2 + 1.5 x 3 = 7.2 kN, times the size of cos."""
    member = chord(slope=slope)
    plies = girder((load("L1", 2400.0, bracket=BRACKET),), members=(member,))
    checks = receiving(plies, {"station": [2200.0, 2600.0], "to_ply": 3})
    expected = 2400.0 * abs(math.cos(slope))
    assert checks["L1.split.ply2.PV"].demand == pytest.approx(expected)
    assert checks["L1.split.ply3.PV"].demand == pytest.approx(expected)


def test_of_both_faces_and_either_alone_the_hardest_is_told():
    """Both press ply 2 of 3: a third of 7.2 + 4.35 kN at 2400 of 6000, 0.6 of it on the left."""
    both = (
        load("A", 2400.0, bracket=BRACKET),
        load("B", 2400.0, bracket=BRACKET, face="back", permanent=1000.0, variable=2000.0),
    )
    checks = receiving(girder(both, bearings=ENDS), {"station": [2200.0, 2600.0], "to_ply": 3})
    found = checks["A+B.split.ply2.PV"]
    assert found.demand == pytest.approx((7200.0 + 4350.0) / 3 * 0.6, rel=1e-6)


def test_a_ply_that_no_fastener_reaches_holds_nothing_up():
    """Nails from 1 to 2 of 4 plies: ply 2 receives; plies 3 and 4 fail as interfaces do."""
    plies = girder((load("L1", 2400.0, bracket=BRACKET),), plies=4, bearings=ENDS)
    found = receiving(plies, {"station": [2200.0, 2600.0], "to_ply": 2})
    assert {c.ply for c in found.values()} == {2}
    bare = Checker(job(), plies, RULES).check(
        columns({"station": [2200.0, 2600.0], "to_ply": 2, "spec": "4.0 x 100"}), NAILS, {}
    )
    assert all(not c.ok for c in bare if c.interface in (2, 3))


def test_a_wide_bracket_joins_those_that_it_overlaps():
    """700 to 1300 lies under 775 to 825 and 1175 to 1225, which do not meet each other."""
    wide, narrow = replace(BRACKET, width=600.0), replace(BRACKET, width=50.0)
    hung = (
        load("A", 1000.0, bracket=wide), load("B", 800.0, bracket=narrow),
        load("C", 1200.0, bracket=narrow), load("D", 1400.0, bracket=narrow),
    )  # fmt: skip
    plies = girder(hung)
    for one in hung[:3]:
        assert sorted(connected(plies, one)) == [0, 1, 2]
    assert connected(plies, hung[3]) == [3]
