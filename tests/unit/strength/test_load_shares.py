"""What must pass by computed shares: what enters a ply less what it keeps, by hand."""

from __future__ import annotations

import numpy as np
import pytest
from helpers_strength import RULES, columns, girder, job, load

from girderply import catalogue
from girderply.jobfile.job import BearingSpec
from girderply.strength.checks import Checker
from girderply.strength.demand import interface_shears
from girderply.strength.load_shares import LoadShares
from girderply.wording import english

ENDS = (BearingSpec(100.0, 100.0), BearingSpec(5900.0, 100.0))
NAIL = catalogue.nail("4.0 x 100")
STATIONS = [2200.0, 2300.0, 2500.0, 2600.0]
P = 1.35 * 2000.0 + 1.5 * 3000.0  # N: G and Q of `load`, EN 1990 (6.10)


def kept(state: str = "tight", cases: tuple[str, ...] = (), **loads: tuple[float, ...]):
    return LoadShares(state, "initial", cases, loads)


def test_two_plies_pass_what_the_first_does_not_keep():
    """By hand: ply 1 keeps 0.62 of 7200 N, so 0.38 x 7200 = 2736 N pass; by equal shares 3600 N."""
    checker = Checker(job(), girder((load(),), plies=2, bearings=ENDS), RULES)
    demand = next(d for d in checker.asked if d.combination.code == "PV")
    assert pytest.approx(7200.0) == P
    assert pytest.approx((3600.0,)) == demand.S
    assert pytest.approx((2736.0,)) == kept(L1=(0.62, 0.38)).of(demand).S


def test_three_plies_loaded_on_both_faces_keep_each_load_apart():
    """By hand, 7200 N in front and 3600 N behind: 7200 - 0.5 x 7200 - 0.1 x 3600 = 3240 N pass to
    ply 2, and 3240 - 0.3 x 7200 - 0.2 x 3600 = 360 N on to ply 3, which keeps 0.2 and 0.7.
    """
    half = load("L2", face="back", permanent=1000.0, variable=1500.0)
    checker = Checker(job(), girder((load(), half), bearings=ENDS), RULES)
    demand = next(d for d in checker.asked if d.id.endswith(".PV"))
    found = kept(L1=(0.5, 0.3, 0.2), L2=(0.1, 0.2, 0.7)).of(demand)
    assert found.shear == pytest.approx((3240.0, 360.0))
    assert found.carried == pytest.approx((3960.0, 2880.0, 3960.0))
    assert demand.shear == pytest.approx((3600.0, 0.0))


def test_what_equal_shares_leave_is_the_same_either_way():
    into = (5000.0, 0.0, 300.0, 0.0)
    assert interface_shears(into, (sum(into) / 4,) * 4) == pytest.approx(interface_shears(into))


def demands_of(shares, plies=2):
    nails = columns({"spec": NAIL.key, "station": STATIONS})
    checker = Checker(job(), girder((load(),), plies=plies, bearings=ENDS), RULES)
    checks = checker.check(nails, {NAIL.key: NAIL}, {}, shares=shares)
    return {c.id: c for c in checks if c.interface}


def test_of_all_states_the_one_that_asks_for_most_is_told():
    states = [kept("play", L1=(0.7, 0.3)), kept("tight", L1=(0.55, 0.45))]
    told = demands_of(states)["L1.i1.PV"]
    assert told.demand == pytest.approx(0.45 * P)
    assert "ply 1 keeps 3960 of 7200 N; bolts tight in their holes, at first" in english(
        told.steps[0]
    )
    assert demands_of(states[::-1])["L1.i1.PV"].demand == pytest.approx(0.45 * P)
    equal = demands_of(())["L1.i1.PV"]
    assert told.resistance == pytest.approx(equal.resistance)
    assert told.utilisation == pytest.approx(equal.utilisation * 0.9)


def test_shares_of_one_combination_count_in_no_other():
    states = [kept(L1=(0.6, 0.4)), kept("play", ("P",), L1=(0.3, 0.7))]
    found = demands_of(states)
    assert found["L1.i1.PV"].demand == pytest.approx(0.4 * P)
    assert found["L1.i1.P"].demand == pytest.approx(0.7 * 1.35 * 2000.0)


def test_a_load_without_shares_is_no_load_that_passes_nothing():
    with pytest.raises(KeyError, match="L1"):
        demands_of([kept(L2=(0.5, 0.5))])


def test_a_ply_may_keep_less_than_its_equal_share_and_then_more_passes():
    """Nothing is capped at the equal share: what the springs say is asked for, more or less."""
    assert demands_of([kept(L1=(0.45, 0.55))])["L1.i1.PV"].demand == pytest.approx(0.55 * P)
    assert np.isclose(demands_of(())["L1.i1.PV"].demand, 0.5 * P)


def test_no_check_goes_missing_where_nothing_crosses():
    """Without fasteners springs pass nothing and ply 1 keeps all; what equal shares ask stands."""
    alone = [kept(L1=(1.0, 0.0, 0.0))]
    checker = Checker(job(), girder((load(),), bearings=ENDS), RULES)
    checks = checker.check(columns(), {}, {}, shares=alone)
    assert [c.id for c in checks if c.interface] == ["L1.i1.P", "L1.i2.P", "L1.i1.PV", "L1.i2.PV"]
    assert not any(c.ok for c in checks if c.interface)
