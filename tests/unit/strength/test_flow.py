"""Transfer as a flow: against a linear programme, and never less than the zones of old."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from helpers_strength import RULES, bolt_choice, chord, columns, girder, job, load
from scipy.optimize import linprog

from girderply.bases.crossing import Placed
from girderply.catalogue import nail
from girderply.jobfile.job import BearingSpec, FasteningSpec, Role
from girderply.strength.checks import Checker, check_transfer
from girderply.strength.flow import ChordFlow, tightest, usage
from girderply.strength.in_force import Judge, grain_angle
from girderply.strength.stack_columns import crossings, transfer_fasteners
from girderply.wording import english

NAIL = nail("4.0 x 100")
NAILS = {NAIL.key: NAIL}
BOLT = bolt_choice("M12")


def programme(inside, need, worth):
    """Largest x so that loads times x find their fasteners.

    Args:
        inside: (p, m) who may serve whom. need: (p, K) of each load at K interfaces.
        worth: (p, m, K) what a whole fastener is worth to a load there.
    """
    p, m = inside.shape
    pairs = [(i, f) for i in range(p) for f in range(m) if inside[i, f]]
    K = need.shape[1]
    rows = np.zeros((p * K + m, len(pairs) + 1))
    for n, (i, f) in enumerate(pairs):
        rows[i * K : (i + 1) * K, n] = -worth[i, f]
        rows[p * K + f, n] = 1.0
    rows[: p * K, -1] = need.ravel()
    right = np.concatenate([np.zeros(p * K), np.ones(m)])
    cost = np.zeros(len(pairs) + 1)
    cost[-1] = -1.0
    found = linprog(cost, A_ub=rows, b_ub=right, bounds=(0, None))
    return float(found.x[-1]) if found.status == 0 else np.inf


@pytest.mark.parametrize("seed", range(25))
def test_windows_against_a_linear_programme(seed):
    rng = np.random.default_rng(seed)
    p, m = int(rng.integers(1, 8)), int(rng.integers(1, 25))
    at = np.sort(rng.uniform(0, 4000, p))
    low, high = np.maximum(at - 700, 0), np.minimum(at + 700, 4000)
    need = rng.uniform(100, 3000, p) * (rng.random(p) > 0.2)
    station = np.sort(rng.uniform(0, 4000, m))
    supply = rng.choice([400.0, 650.0], m)
    most = usage(low, high, need, station, supply).max()
    inside = (low[:, None] <= station) & (station <= high[:, None])
    worth = np.broadcast_to(supply[None, :, None], (p, m, 1))
    factor = programme(inside, need[:, None], worth)
    if not need.any():
        assert most == 0.0
    else:
        assert 1.0 / most == pytest.approx(factor, rel=1e-9)
    for i, (a, b) in enumerate(tightest(low, high, need, station, supply).tolist()):
        assert a <= i <= b
        every = usage(low, high, need, station, supply)[: i + 1, i:]
        assert usage(low, high, need, station, supply)[a, b] == pytest.approx(every.max())


def test_shortest_of_equally_tight_windows():
    at = np.array([500.0, 3000.0])
    found = tightest(at - 100, at + 100, np.ones(2), at, np.ones(2))
    assert found.tolist() == [[0, 0], [1, 1]]


def case(seed: int):
    """A random chord with loads on either or both faces, and fasteners of one of four sorts."""
    rng = np.random.default_rng(seed)
    plies, sort = int(rng.integers(2, 5)), int(rng.integers(4))
    slope = float(rng.choice([0.0, 0.0, 0.4]))
    name = "TC1" if slope else "BC1"
    member = chord(name, Role.TOP_CHORD if slope else Role.BOTTOM_CHORD, slope=slope)
    loads = []
    for n in range(int(rng.integers(1, 7))):
        values = {"permanent": 900.0 + 100 * int(rng.integers(9)), "variable": 1500.0}
        if rng.random() < 0.3:
            values["uplift"] = 2500.0
        face = str(rng.choice(["front", "back"]))
        reached = int(rng.integers(1, plies)) if rng.random() < 0.3 else 1
        at = float(np.round(rng.uniform(200, 5800), 1))
        loads.append(load(f"L{n}", at, chord=name, face=face, plies_reached=reached, **values))
    bearings = (BearingSpec(2700.0, 100.0),) if rng.random() < 0.5 and not slope else ()
    count = int(rng.integers(10, 60))
    station = np.sort(np.round(rng.uniform(50, 5950, count), 1)).tolist()
    by_bolt = sort == 0
    if by_bolt:
        rows = [{"kind": "bolt", "spec": BOLT.spec, "station": station, "to_ply": plies,
                 "drilled": 13.0, "point_depth": 45.0}]  # fmt: skip
    elif sort == 1:  # single interfaces
        rows = [
            {"spec": NAIL.key, "station": station[k::plies - 1], "from_ply": k + 1,
             "to_ply": k + 2, "point_depth": 42.0}
            for k in range(plies - 1)
        ]  # fmt: skip
    elif sort == 2:  # through all plies
        rows = [{"spec": NAIL.key, "station": station, "to_ply": plies, "point_depth": 40.0}]
    else:  # some through two, some through all
        rows = [
            {"spec": NAIL.key, "station": station[::2], "to_ply": plies, "point_depth": 40.0},
            {"spec": NAIL.key, "station": station[1::2], "to_ply": 2, "point_depth": 45.0},
        ]
    rows = [row | {"member": name} for row in rows if row["station"]]
    return (
        job(fastening=FasteningSpec(transfer_by="bolt" if by_bolt else "nail")),
        girder(tuple(loads), plies=plies, members=(member,), bearings=bearings),
        columns(*rows),
    )


def flows(of_job, plies, fasteners):
    """Every scenario of every chord, ready."""
    checker = Checker(of_job, plies, RULES)
    judge = Judge.of(of_job, plies, NAILS, {BOLT.spec: BOLT})
    index = transfer_fasteners(fasteners, of_job.fastening.transfer_by)
    for name, zones in checker.chords.items():
        flow = ChordFlow(judge, fasteners, index, zones, grain_angle(plies.member(name)))
        for scenario in checker.scenarios[name]:
            yield flow, scenario


def whole_programme(flow, scenario) -> float:
    """Every fastener parted among loads at will, each part worth what it is in its own pattern."""
    zones, n = flow.zones, len(next(d for d in scenario if d).S)
    inside = (flow.low[:, None] <= flow.station) & (flow.station <= flow.high[:, None])
    need, worth = np.zeros((len(zones), n)), np.zeros((len(zones), len(flow.station), n))
    for i, demand in enumerate(scenario):
        if demand is None:
            continue
        need[i] = demand.S
        for f in range(len(flow.station)):
            for k, plane in flow.planes(int(flow.of_class[f]), demand).items():
                worth[i, f, k - 1] = flow.weight[f] * plane.value
    return programme(inside, need, worth)


@pytest.mark.parametrize("seed", range(40))
def test_flow_on_random_girders_against_a_linear_programme(seed):
    """Exact where all fasteners cross the same interfaces or one each; else not beyond it."""
    compared = 0
    for flow, scenario in flows(*case(seed)):
        found = flow.scenario(scenario)
        if not found:
            continue
        factor = whole_programme(flow, scenario)
        most = max(t.used for t in found.values())
        if any(t.nearest for t in found.values()):
            continue  # its worths are those of the zones, below
        ours = 1.0 / most if most > 0 else np.inf
        single = all(len(flow.judge.counted(c)) == 1 for c in flow.classes)
        same_duration = len({d.combination.modification for d in scenario if d}) == 1
        if (len(flow.classes) == 1 or single) and same_duration:
            assert ours == pytest.approx(factor, rel=1e-6, abs=1e-9)
        else:
            assert ours <= factor * (1 + 1e-6) + 1e-9
        compared += 1
    assert compared or not flows


def two_sorts(seed: int):
    """As `case`, of three plies or more, nails through all of them with long and short points."""
    rng = np.random.default_rng(5000 + seed)
    of_job, plies, _ = case(seed)
    plies = replace(plies, plies=max(plies.plies, 3))
    station = np.sort(np.round(rng.uniform(50, 5950, int(rng.integers(12, 40))), 1)).tolist()
    rows = [
        {"spec": NAIL.key, "member": plies.members[0].id, "station": station[k::2],
         "to_ply": plies.plies, "point_depth": depth}
        for k, depth in enumerate((45.0, 34.0))
    ]  # fmt: skip
    return replace(of_job, fastening=FasteningSpec(transfer_by="nail")), plies, columns(*rows)


def test_two_sorts_through_all_plies_count_for_the_load_that_they_suit_least():
    """Never beyond a linear programme that parts every fastener at will."""
    compared = 0
    for seed in range(60):
        for flow, scenario in flows(*two_sorts(seed)):
            found = flow.scenario(scenario)
            if not found or len(flow.classes) < 2 or any(t.nearest for t in found.values()):
                continue
            most = max(t.used for t in found.values())
            factor = whole_programme(flow, scenario)
            assert (1.0 / most if most > 0 else np.inf) <= factor * (1 + 1e-6) + 1e-9
            compared += 1
    assert compared > 150


def zone_verdict(of_job, plies, fasteners) -> bool:
    """The rule of old, typed again: half-way zones, each fastener for the zone it stands in."""
    checker = Checker(of_job, plies, RULES)
    judge = Judge.of(of_job, plies, NAILS, {BOLT.spec: BOLT})
    index = transfer_fasteners(fasteners, of_job.fastening.transfer_by)
    classes, of_class = crossings(fasteners, index)
    for demand in checker.asked:
        zone = demand.zone
        alpha = grain_angle(plies.member(zone.chord))
        s = fasteners.station[index]
        inside = (fasteners.member[index] == zone.chord) & (zone.start < s) & (s < zone.end)
        mine = [c for c in range(len(classes)) if (inside & (of_class == c)).any()]
        boxed = judge.boxed([classes[c] for c in mine])
        there = np.zeros(plies.plies)
        for c in mine:
            at = index[inside & (of_class == c)]
            placed = Placed(fasteners.station[at], fasteners.offset[at])
            number = judge.standard.effective(classes[c], placed, alpha).number
            for k, plane in judge.planes(classes[c], alpha, demand, boxed).items():
                there[k] += number * plane.value
        if any(max(1e-6 * abs(demand.P), there[k]) < S for k, S in enumerate(demand.S, 1)):
            return False
    return True


@pytest.mark.parametrize("seed", range(100, 160))
def test_whatever_the_zones_pass_the_flow_passes(seed):
    of_job, plies, fasteners = case(seed)
    for scale in (1.0, 0.5, 0.25, 0.1):
        loads = tuple(
            replace(x, permanent=x.permanent * scale, variable=x.variable * scale,
                    uplift=x.uplift and x.uplift * scale)
            for x in plies.loads
        )  # fmt: skip
        light = replace(plies, loads=loads)
        if zone_verdict(of_job, light, fasteners):
            checks = check_transfer(of_job, light, RULES, fasteners, NAILS, {BOLT.spec: BOLT})
            assert not [c.id for c in checks if c.interface and not c.ok]
            return


def test_a_neighbour_with_little_to_do_helps():
    """Two loads 400 mm apart, five nails beside the light one: zones refused this."""
    near = {"spec": NAIL.key, "to_ply": 2, "point_depth": 42.0}
    hung = (load("A", 1000.0), load("B", 1400.0, permanent=100.0, variable=100.0))
    fasteners = columns(near | {"station": [900.0, *np.arange(1250.0, 1500.0, 15.0)]})
    plies = girder(hung, plies=2)
    assert not zone_verdict(job(), plies, fasteners)
    checks = {c.id: c for c in check_transfer(job(), plies, RULES, fasteners, NAILS, {})}
    assert all(c.ok for c in checks.values())
    heavy = checks["A.i1.PV"]
    each = heavy.inputs["F_v_Rd"][0]
    # both loads together ask the 18 nails for more than A alone does
    needed = (heavy.demand + checks["B.i1.PV"].demand) / each
    assert heavy.utilisation == pytest.approx(needed / 18)
    assert any(
        english(s).startswith("tightest place, 400\u00a0mm to 2\u00a0000\u00a0mm: A, B")
        for s in heavy.steps
    )


def test_bolts_serve_one_load_at_all_interfaces():
    """Front and back loads beside each other, one row of through bolts: counted as bolts."""
    hung = (load("A", 2000.0), load("B", 2100.0, face="back"))
    through = {"kind": "bolt", "spec": BOLT.spec, "to_ply": 3, "drilled": 13.0, "point_depth": 45.0}
    fasteners = columns(through | {"station": [1900.0, 1960.0, 2160.0, 2220.0]})
    by_bolt = job(fastening=FasteningSpec(transfer_by="bolt"))
    plies = girder(hung, plies=3)
    checks = {
        c.id: c for c in check_transfer(by_bolt, plies, RULES, fasteners, {}, {BOLT.spec: BOLT})
    }
    alone = {
        c.id: c
        for c in check_transfer(
            by_bolt, girder((load("A", 2000.0),)), RULES, fasteners, {}, {BOLT.spec: BOLT}
        )
    }
    one = alone["A.i1.PV"].utilisation
    assert max(c.utilisation for c in checks.values()) == pytest.approx(2 * one)


def test_a_fastener_counts_for_the_least_of_the_windows_it_stands_in():
    """Sloping chord, one row of nails 30 mm apart up to 2 m: the fuller window has fewer for each.

    The window of A holds all of them, that of B only the last few; in both orders of the loads.
    """
    member = chord("TC1", Role.TOP_CHORD, slope=0.6)
    station = np.arange(700.0, 2000.0, 30.0).tolist()
    rows = {"spec": NAIL.key, "member": "TC1", "station": station, "to_ply": 2, "point_depth": 42.0}
    both = (load("A", 1300.0, chord="TC1"), load("B", 2400.0, chord="TC1"))
    weights = []
    for hung in (both, both[:1]):
        plies = girder(hung, plies=2, members=(member,))
        flow, _ = next(flows(job(), plies, columns(rows)))
        weights.append(dict(zip(flow.station.tolist(), flow.weight.tolist(), strict=True)))
    assert 0.2 < weights[1][1900.0] < 0.95
    assert weights[0][1900.0] == pytest.approx(weights[1][1900.0])


def test_loads_out_of_each_others_reach_are_judged_apart():
    """B 3 m away is heavy and short of nails; A has its own ten, of which it uses one tenth.

    What stands between the two windows serves neither: a third load there that brings some of it
    into reach cannot make A easier.
    """
    low, high = np.array([400.0, 3400.0]), np.array([1600.0, 4600.0])
    station = np.array([*np.arange(950.0, 1050.0, 10.0), 2500.0, 4000.0])
    used = usage(low, high, np.array([1.0, 5.0]), station, np.ones(12))
    assert used[0].tolist() == [pytest.approx(0.1), -np.inf]
    assert used[1, 1] == pytest.approx(5.0)
    linked = usage(
        np.array([400.0, 1500.0, 3400.0]), np.array([1600.0, 3500.0, 4600.0]),
        np.array([1.0, 0.5, 5.0]), station, np.ones(12),
    )  # fmt: skip
    assert linked[0, 2] == pytest.approx(6.5 / 12)
    silent = usage(
        np.array([400.0, 1500.0, 3400.0]), np.array([1600.0, 3500.0, 4600.0]),
        np.array([1.0, 0.0, 5.0]), station, np.ones(12),
    )  # fmt: skip
    assert silent[0, 2] == -np.inf
