"""How many fasteners an interface needs: ceiling, worst combination, what cannot carry."""

from __future__ import annotations

import pytest
from helpers_strength import RULES, bolt_choice, columns, girder, job, load

from girderply.bases.crossing import Crossing
from girderply.catalogue import Nail
from girderply.jobfile.job import FasteningSpec
from girderply.strength.checks import check_transfer
from girderply.strength.needs import capacity_per_fastener

NAIL = Nail("4.0 x 100", 4.0, 100.0, 8.0, 600.0)
NAILS = {NAIL.key: NAIL}


def test_as_many_as_the_hand_calculation_asks_for():
    """4800 / 763.6 = 6.3: seven at interface 1; the same nails from the back at 2: 2400: four."""
    kinds = [Crossing("nail", NAIL.key, 1, 3, 10.0), Crossing("nail", NAIL.key, 3, 1, 10.0)]
    one, two = capacity_per_fastener(job(), girder((load(),)), RULES, kinds, NAILS, {})
    assert (one.interface, one.count, one.combination) == (1, 7, "L1.PV")
    assert (two.interface, two.count, two.demand) == (2, 4, pytest.approx(2400.0))
    assert one.per_fastener == pytest.approx(763.6, abs=0.1)


def test_permanent_governs_where_it_is_most_of_the_load():
    """G = 6, Q = 0.1 kN: 8.1 kN with 0.6 and no rope effect asks more than 8.25 kN with 0.8."""
    hung = load(permanent=6000.0, variable=100.0)
    kinds = [Crossing("nail", NAIL.key, 1, 2, 45.0)]
    (one,) = capacity_per_fastener(job(), girder((hung,), plies=2), RULES, kinds, NAILS, {})
    assert one.combination == "L1.P"
    assert one.demand == pytest.approx(4050.0)


def test_interface_that_nothing_crosses_cannot_be_carried():
    kinds = [Crossing("nail", NAIL.key, 1, 3, 10.0)]
    one, two = capacity_per_fastener(job(), girder((load(),)), RULES, kinds, NAILS, {})
    assert one.count == 7
    assert (two.count, two.per_fastener, two.plane) == (-1, 0.0, None)


def test_the_number_asked_for_passes_the_check_and_one_less_does_not():
    choice = bolt_choice("M12")
    by_bolt = job(fastening=FasteningSpec(transfer_by="bolt"))
    plies = girder((load(permanent=8000.0, variable=9000.0),))
    kinds = [Crossing("bolt", choice.spec, 1, 3, 45.0, drilled=True)]
    bolts = {choice.spec: choice}
    needs = capacity_per_fastener(by_bolt, plies, RULES, kinds, {}, bolts)
    count = max(n.count for n in needs)

    def all_ok(n: int) -> bool:
        stations = [2100.0 + 60.0 * i for i in range(n)]
        group = {"kind": "bolt", "spec": choice.spec, "to_ply": 3, "drilled": 13.0}
        fasteners = columns(group | {"station": stations})
        checks = check_transfer(by_bolt, plies, RULES, fasteners, {}, bolts)
        return all(c.ok for c in checks if ".i" in c.id)

    assert count > 2
    assert all_ok(count)
    assert not all_ok(count - 1)


def test_weakest_of_several_kinds_sets_the_number():
    """4.0 and 5.0 nails through the same two plies: as if all were 4.0 (4800/763.6: seven)."""
    thick = Nail("5.0 x 100", 5.0, 100.0, 10.0, 600.0)
    kinds = [Crossing("nail", n.key, 1, 3, 10.0) for n in (thick, NAIL)]
    nails = NAILS | {thick.key: thick}
    one, _ = capacity_per_fastener(job(), girder((load(),)), RULES, kinds, nails, {})
    alone, _ = capacity_per_fastener(job(), girder((load(),)), RULES, kinds[:1], nails, {})
    assert one.count == 7
    assert alone.count < 7
