"""Facts that no way of writing changes: mirror, faces, entries, names, order; more is never less.

On random chords with loads on both faces, uplift, slopes, a bearing inside, brackets, and every
sort of fastener, by the checks of transfer and beside connections. What is equal is equal to
the rounding of the frame's solution: 1e-8, as pieces of 10 mm stand beside pieces of metres.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from helpers_strength import RULES, bolt_choice, chord, columns, girder, job, load
from test_flow import BOLT, NAILS, case, flows

from girderply.bases.registry import spec_of
from girderply.catalogue import nail
from girderply.jobfile.job import BearingSpec, BracketSpec, FixingSpec
from girderply.strength.checks import Checker
from girderply.strength.fixings import fixing_checks
from girderply.strength.reactions import lever
from girderply.wording import english

SEEDS = range(200, 224)
INCH_NAIL, INCH_BOLT = nail("16d common"), bolt_choice("1/2 in")
EVERY_NAIL = NAILS | {INCH_NAIL.key: INCH_NAIL}
BRACKET = BracketSpec(90.0, 110.0, offset=-25.0)


def made(seed: int):
    """A random case whose chord stands on its ends and whose loads hang in brackets."""
    of_job, plies, fasteners = case(seed)
    member = plies.members[0]
    ends = tuple(BearingSpec(round(p[0], 6), 80.0) for p in (member.hook, member.far))
    loads = tuple(_placed(replace(x, bracket=BRACKET), member) for x in plies.loads)
    offsets = np.where(np.arange(len(fasteners.station)) % 2 == 0, 40.0, -30.0)
    plies = replace(plies, loads=loads, bearings=(*ends, *plies.bearings))
    return of_job, plies, replace(fasteners, offset=offsets)


def _placed(load, member):
    x, y = member.to_elevation(np.array([[load.station, 0.0]]))[0]
    return replace(load, x=float(x), y=float(y))


def found(of_job, plies, fasteners):
    """Utilisations by id."""
    checker = Checker(of_job, plies, RULES)
    checks = checker.check(fasteners, NAILS, {BOLT.spec: BOLT}, worked=False)
    return {c.id: c.utilisation for c in checks}


def same(one, two):
    assert one.keys() == two.keys()
    assert one
    for name, value in one.items():
        assert two[name] == pytest.approx(value, rel=1e-8, abs=1e-9), name


@pytest.mark.parametrize("seed", SEEDS)
def test_mirrored_left_to_right(seed):
    """The hook end is mirrored as well, so stations stay; heights stay, so offsets turn."""
    of_job, plies, fasteners = made(seed)
    member = plies.members[0]
    far_x = 7000.0
    turned = replace(
        member, hook=(far_x - member.hook[0], member.hook[1]),
        far=(far_x - member.far[0], member.far[1]),
    )  # fmt: skip
    assert math.cos(turned.angle) < 0
    mirrored = replace(
        plies,
        members=(turned,),
        bearings=tuple(BearingSpec(far_x - b.x, b.width) for b in plies.bearings),
        loads=tuple(_placed(x, turned) for x in plies.loads),
    )
    turned_offsets = replace(fasteners, offset=-fasteners.offset)
    same(found(of_job, plies, fasteners), found(of_job, mirrored, turned_offsets))


@pytest.mark.parametrize("seed", SEEDS)
def test_faces_exchanged(seed):
    """Ply 1 becomes ply n, interface k becomes n - k."""
    of_job, plies, fasteners = made(seed)
    n = plies.plies
    other = {"front": "back", "back": "front"}
    turned = replace(plies, loads=tuple(replace(x, face=other[x.face]) for x in plies.loads))
    reversed_ = replace(fasteners, from_ply=n + 1 - fasteners.from_ply,
                        to_ply=n + 1 - fasteners.to_ply)  # fmt: skip
    one, two = found(of_job, plies, fasteners), found(of_job, turned, reversed_)
    renamed = {_exchanged(name, n): value for name, value in two.items()}
    if all("+" not in name for name in one):  # ids of a place name the front face first
        same({k: v for k, v in one.items() if ".split.ply" not in k},
             {k: v for k, v in renamed.items() if ".split.ply" not in k})  # fmt: skip
    assert sorted(one.values()) == pytest.approx(sorted(two.values()), rel=1e-8)


def _exchanged(name: str, n: int) -> str:
    for k in range(1, n):
        if f".i{k}." in name:
            name = name.replace(f".i{k}.", f".i{n - k}.")
            break
    for one, two in ((".front", ".back"), (".back", ".front")):
        if name.endswith(one):
            return name.removesuffix(one) + two
    return name


@pytest.mark.parametrize("seed", SEEDS)
def test_entries_split_renamed_and_in_another_order(seed):
    """Each load as two entries of 30 and 70 %, with other names, the last first."""
    of_job, plies, fasteners = made(seed)
    parts = []
    for number, x in enumerate(plies.loads):
        for share in (0.3, 0.7):
            parts.append(
                replace(
                    x, id=f"Z{number}-{share}", permanent=x.permanent * share,
                    variable=x.variable * share, uplift=x.uplift and x.uplift * share,
                )
            )  # fmt: skip
    split = replace(plies, loads=tuple(reversed(parts)))
    one, two = found(of_job, plies, fasteners), found(of_job, split, fasteners)
    assert max(one.values()) == pytest.approx(max(two.values()), rel=1e-8)
    for here, there in ((one, two), (two, one)):
        every = np.array(list(there.values()))
        for name, value in here.items():
            assert np.isclose(every, value, rtol=1e-8).any(), name


@pytest.mark.parametrize("seed", SEEDS)
def test_twice_the_loads_are_twice_as_much(seed):
    of_job, plies, fasteners = made(seed)
    heavy = replace(
        plies,
        loads=tuple(
            replace(x, permanent=2 * x.permanent, variable=2 * x.variable,
                    uplift=x.uplift and 2 * x.uplift)
            for x in plies.loads
        ),
    )  # fmt: skip
    twice = {name: 2 * value for name, value in found(of_job, plies, fasteners).items()}
    same(twice, found(of_job, heavy, fasteners))


def by_nds(of_job, plies, fasteners):
    """The same case by NDS 2018: Southern Pine, 16d nails or half-inch bolts."""
    bolted = fasteners.kind == "bolt"
    spec = np.where(bolted, INCH_BOLT.spec, INCH_NAIL.key)
    drilled = np.where(bolted, 14.3, 0.0)
    return (
        replace(of_job, basis=spec_of("NDS 2018")),
        replace(plies, timber="Southern Pine"),
        replace(fasteners, spec=spec, drilled=drilled),
    )


def by_en(of_job, plies, fasteners):
    """The case as it is."""
    return of_job, plies, fasteners


def one_more(plies, seed: int):
    """The girder with one more load, on either face, at a place of its own."""
    rng = np.random.default_rng(seed)
    free = (float(v) for v in np.round(rng.uniform(200, 5800, 50), 1))
    at = next(v for v in free if all(abs(v - x.station) > 50 for x in plies.loads))
    extra = replace(
        plies.loads[0], id="more", station=at, face=str(rng.choice(["front", "back"])),
        plies_reached=int(rng.integers(1, plies.plies)), uplift=None,
        permanent=float(rng.choice([100.0, 3000.0])), variable=float(rng.choice([0.0, 4000.0])),
    )  # fmt: skip
    return replace(plies, loads=(*plies.loads, _placed(extra, plies.members[0])))


@pytest.mark.parametrize("basis", [by_en, by_nds])
@pytest.mark.parametrize("seed", range(300, 348))
def test_more_is_never_less(seed, basis):
    """One more load at a place of its own: no utilisation of transfer falls, be it on either face.

    Not asked of a load within 25 mm of another: it makes one place with it, in the middle of both.
    Not asked of what physics lets fall, and the next tests show how: shear beside a connection is
    the frame's (splitting, shear by NDS 3.4.3.3), reactions are the lever's (seats), loads on
    opposite faces pass less between plies at one place and turn the girder less (twist).
    """
    of_job, plies, fasteners = basis(*made(seed))
    one, two = (passed(of_job, each, fasteners) for each in (plies, one_more(plies, seed)))
    assert one.keys() < two.keys()
    assert {k: (v, two[k]) for k, v in one.items() if two[k] < v * (1 - 1e-9)} == {}


@pytest.mark.parametrize("basis", [by_en, by_nds])
@pytest.mark.parametrize("seed", range(300, 312))
def test_a_load_alone_presses_its_own_fixings(seed, basis):
    """What holds a bracket knows that bracket's load alone: one more load changes none of it."""
    of_job, plies, _ = basis(*made(seed))
    fixed = replace(BRACKET, fixing=FixingSpec(4.0, 120.0, 12))
    loads = tuple(replace(x, plies_reached=2, bracket=fixed) for x in plies.loads)
    plies = replace(plies, loads=loads)
    one, two = (
        {c.id: c.utilisation for c in fixing_checks(of_job, each, {})[0]}
        for each in (plies, one_more(plies, seed))
    )
    assert one
    assert {k: two[k] for k in one} == pytest.approx(one, rel=1e-12)


def test_a_load_may_relieve_the_shear_beside_another():
    """Simple beam of 6 m, by hand: 7.2 kN at 4.8 m has 0.8 of it on its right, 0.2 on its left.

    3.6 kN on the left of the middle, at 2.4 m, adds 0.4 of it to the right; at 5.4 m, beyond the
    first, it takes 0.1 of it from what is on its right: shear is no sum of magnitudes.
    """
    ends = (BearingSpec(0.0, 80.0), BearingSpec(6000.0, 80.0))
    first = load("A", 4800.0, bracket=BRACKET)
    half = {"permanent": 1000.0, "variable": 1500.0}
    nails = columns({"station": [4700.0, 4900.0], "offset": 30.0, "to_ply": 2})
    told = {}
    for name, at in (("alone", None), ("before", 2400.0), ("beyond", 5400.0)):
        hung = (first,) if at is None else (first, load("B", at, **half))
        plies = girder(hung, plies=2, bearings=ends)
        checks = {c.id: c for c in Checker(job(), plies, RULES).across(nails)}
        told[name] = checks["A.split.ply2.PV"].demand
    by_hand = {"alone": 0.8 * 3600, "before": 0.8 * 3600 + 0.4 * 1800, "beyond": 2880 - 0.1 * 1800}
    assert told == pytest.approx(by_hand, rel=1e-6)


def test_a_load_on_the_other_face_may_relieve_what_passes_there():
    """7.2 kN in front pass half of it to ply 2 of 2; 4.35 kN behind at one place leave 1.425 kN.

    Either face alone stays a case of its own, so what governs does not fall.
    """
    behind = load("B", face="back", permanent=1000.0, variable=2000.0)
    nails = columns({"station": [2300.0, 2500.0], "to_ply": 2, "spec": "4.0 x 100"})
    alone, both = (
        {c.id: c.demand for c in Checker(job(), girder(x, plies=2), RULES).check(
            nails, NAILS, {}, whole=False)}
        for x in ((load("A"),), (load("A"), behind))
    )  # fmt: skip
    assert alone["A.i1.PV"] == pytest.approx(3600.0)
    assert both["A+B.i1.PV"] == pytest.approx(1425.0)
    assert both["A+B.i1.PV.front"] == pytest.approx(3600.0)


def test_a_load_beyond_a_bearing_lifts_the_other():
    """By lever: 6 kN at 2 of 4 m press 3 kN on each; 2 kN at 6 m take 1 kN from the first."""
    one = lever((0.0, 4000.0), np.array([2000.0]), np.array([6000.0]))
    two = lever((0.0, 4000.0), np.array([2000.0, 6000.0]), np.array([6000.0, 2000.0]))
    assert one.tolist() == [3000.0, 3000.0]
    assert two.tolist() == [2000.0, 6000.0]


def test_a_load_is_credited_with_no_more_than_the_hardest_one():
    """Each fastener to the nearest load is the better way here: 36 % for one, 93 % for another.

    The flow asks more of both, so both are said to use what the hardest does, and why is told.
    """
    of_job, plies, fasteners = made(13)
    held = 0
    for flow, scenario in flows(of_job, plies, fasteners):
        found = flow.scenario(scenario)
        for tight in found.values():
            if tight.nearest and tight.there < tight.own_there * (1 - 1e-6):
                assert tight.used == pytest.approx(max(t.used for t in found.values()))
                held += 1
    assert held > 2
    checks = Checker(of_job, plies, RULES).check(fasteners, NAILS, {}, whole=False)
    steps = [(c, english(s)) for c in checks for s in c.steps]
    said = [(c, s) for c, s in steps if "stands nearest to" in s]
    assert said
    for check, words in said:
        own, hardest = (float(v) for v in re.findall(r"([0-9.]+)\s%", words))
        assert own < hardest == pytest.approx(100 * check.utilisation, abs=0.06)
        assert check.sweep.needed / check.sweep.there == pytest.approx(check.utilisation)


def passed(of_job, plies, fasteners):
    """Utilisations of what passes between plies, by id."""
    checker = Checker(of_job, plies, RULES)
    parts = (fasteners, EVERY_NAIL, {b.spec: b for b in (BOLT, INCH_BOLT)})
    return {c.id: c.utilisation for c in checker.check(*parts, worked=False, whole=False)}


@pytest.mark.parametrize("slope", [0.0, 0.5])
def test_only_the_part_across_the_grain_splits_a_receiving_ply(slope):
    """By hand: ply 2 of 3 has a third of 7200 on a simple beam, 0.6 of it on the left, x cos."""
    member = chord(slope=slope)
    at = load("L1", 2400.0, bracket=BRACKET)
    ends = tuple(BearingSpec(round(p[0], 6), 80.0) for p in (member.hook, member.far))
    plies = girder((_placed(at, member),), members=(member,), bearings=ends)
    nails = columns({"station": [2200.0, 2600.0], "offset": 30.0, "to_ply": 3})
    checker = Checker(job(), plies, RULES)
    checks = {c.id: c for c in checker.across(nails)}
    expected = 2400.0 * 0.6 * math.cos(slope)
    assert checks["L1.split.ply2.PV"].demand == pytest.approx(expected, rel=1e-6)


def test_uplift_splits_a_receiving_ply_from_the_upper_edge():
    """Nails 40 above and 30 below the middle of 195: 137.5 from below, 127.5 from above."""
    ends = (BearingSpec(0.0, 80.0), BearingSpec(6000.0, 80.0))
    lifted = load("L1", 2400.0, bracket=BRACKET, uplift=9000.0)
    nails = columns({"station": [2300.0], "offset": 40.0, "to_ply": 3},
                    {"station": [2500.0], "offset": -30.0, "to_ply": 3})  # fmt: skip
    checker = Checker(job(), girder((lifted,), bearings=ends), RULES)
    checks = {c.id: c for c in checker.across(nails)}
    assert checks["L1.split.ply2.PV"].inputs["h_e"][0] == pytest.approx(137.5)
    assert checks["L1.split.ply2.U"].inputs["h_e"][0] == pytest.approx(127.5)
