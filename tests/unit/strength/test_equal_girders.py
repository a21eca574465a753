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
from helpers_strength import RULES
from test_flow import BOLT, NAILS, case, flows

from girderply.jobfile.job import BearingSpec, BracketSpec
from girderply.strength.checks import Checker
from girderply.wording import english

SEEDS = range(200, 224)
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


@pytest.mark.parametrize("seed", range(300, 348))
def test_more_is_never_less(seed):
    """One more load at a place of its own: no utilisation of transfer falls, be it on either face.

    Not asked of splitting: shear beside a connection is the frame's, and a load may relieve it. Not
    of a load within 25 mm of another: it makes one place with it, in the middle of both.
    """
    of_job, plies, fasteners = made(seed)
    rng = np.random.default_rng(seed)
    free = (float(v) for v in np.round(rng.uniform(200, 5800, 50), 1))
    at = next(v for v in free if all(abs(v - x.station) > 50 for x in plies.loads))
    extra = replace(
        plies.loads[0], id="more", station=at, face=str(rng.choice(["front", "back"])),
        plies_reached=int(rng.integers(1, plies.plies)), uplift=None,
        permanent=float(rng.choice([100.0, 3000.0])), variable=float(rng.choice([0.0, 4000.0])),
    )  # fmt: skip
    more = replace(plies, loads=(*plies.loads, _placed(extra, plies.members[0])))
    one, two = (passed(of_job, each, fasteners) for each in (plies, more))
    assert one.keys() < two.keys()
    assert {k: (v, two[k]) for k, v in one.items() if two[k] < v * (1 - 1e-9)} == {}


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
    parts = (fasteners, NAILS, {BOLT.spec: BOLT})
    return {c.id: c.utilisation for c in checker.check(*parts, worked=False, whole=False)}


@pytest.mark.parametrize("slope", [0.0, 0.5])
def test_only_the_part_across_the_grain_splits_a_receiving_ply(slope):
    """By hand: ply 2 of 3 has a third of 7200 on a simple beam, 0.6 of it on the left, x cos."""
    from helpers_strength import chord, columns, girder, job, load  # noqa: PLC0415

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
    from helpers_strength import columns, girder, job, load  # noqa: PLC0415

    ends = (BearingSpec(0.0, 80.0), BearingSpec(6000.0, 80.0))
    lifted = load("L1", 2400.0, bracket=BRACKET, uplift=9000.0)
    nails = columns({"station": [2300.0], "offset": 40.0, "to_ply": 3},
                    {"station": [2500.0], "offset": -30.0, "to_ply": 3})  # fmt: skip
    checker = Checker(job(), girder((lifted,), bearings=ends), RULES)
    checks = {c.id: c for c in checker.across(nails)}
    assert checks["L1.split.ply2.PV"].inputs["h_e"][0] == pytest.approx(137.5)
    assert checks["L1.split.ply2.U"].inputs["h_e"][0] == pytest.approx(127.5)
