"""The worst share of every ply, told in front: against the spring model one case at a time."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from girderply.bases.en1995 import BASIS as EN1995
from girderply.catalogue import timber
from girderply.jobfile.reader import parse_job, read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.strength.demand import entering
from girderply.strength.sharing import Laws, laws_of, share, sharing_of
from girderply.strength.sharing.ply_forces import ply_forces
from girderply.strength.sharing.shares import PlyShare, Shares, State, factor, share_findings
from girderply.wording import english

SAMPLES = Path(__file__).parents[4] / "sample_jobs"


@cache
def one(name: str):
    return build_schedule(read_job(SAMPLES / f"{name}.toml"))


@cache
def found(name: str):
    s = one(name)
    return ply_forces(s.job, s.girder, s.fasteners, s.nails, s.bolts)


@pytest.mark.parametrize("name", ["four-ply-parallel", "three-ply-pratt"])
def test_first_state_is_that_of_the_share_command(name):
    made, ours = one(name), found(name)
    for slip, state in (("tight", 0), ("gap", 1)):
        report = sharing_of(made, bolt_slip=slip, raise_load=False)
        if slip == "gap" and ours.states[1].bolts != "play":
            continue
        case = [c.id for c in ours.cases].index(report.combination.code)
        theirs = report.sharing
        scale = np.abs(theirs.loads).sum()
        assert ours.reactions[state, case] == pytest.approx(theirs.reactions, abs=1e-7 * scale)


def test_one_face_alone_after_creep_by_a_solution_of_its_own():
    """Softer timber and fasteners that creep twice as much, put in as they are."""
    made, ours = one("three-ply-pratt"), found("three-ply-pratt")
    k = {1: 0.6, 2: 0.8}[made.job.basis.value("service_class")]
    creep = EN1995.creep(made.job.basis, "dry")
    assert (creep.timber, creep.joint) == (k, 2 * k)
    wood = timber(made.girder.timber)
    laws = laws_of(made.fasteners, made.nails, made.bolts, wood.rho_mean, by=EN1995)
    case = [c.id for c in ours.cases].index("PV.back")
    values = ours.cases[case].values
    assert {v for v, x in zip(values, made.girder.loads, strict=True) if x.face == "front"} == {0.0}
    loads = np.array(
        [entering(x, v, 3) for x, v in zip(made.girder.loads, values, strict=True)], float
    )
    soft = Laws(laws.modulus / (1 + 2 * k), laws.gap)
    theirs = share(made.girder, made.fasteners, soft, loads, E=wood.E_mean / (1 + k))
    state = ours.states.index(State("none", "final"))
    assert ours.reactions[state, case] == pytest.approx(
        theirs.reactions, abs=1e-7 * np.abs(loads).sum()
    )
    assert theirs.bearing_shares[2].max() * 3 > 1.15  # the ply that is loaded


@pytest.mark.parametrize("name", ["four-ply-parallel", "six-ply", "two-ply-howe"])
def test_worst_is_the_largest_of_all(name):
    made, ours = one(name), found(name)
    n = made.girder.plies
    whole = ours.reactions.sum(axis=2, keepdims=True)
    most = (n * ours.reactions / whole).max(axis=(0, 1, 3))
    told = {s.ply: s.share for s in made.shares.at_bearings}
    assert [told[p + 1] for p in range(n)] == pytest.approx(most.tolist())
    first = made.shares.at_bearings[0]
    assert first.share == pytest.approx(most.max())


def test_of_equal_shares_the_larger_load_is_told():
    """Springs without play: permanent and variable load are shared alike."""
    assert one("three-ply-pratt").shares.at_bearings[0].combination == "PV.front"


def test_bolts_with_play_help_a_light_load_less():
    assert one("four-ply-parallel").shares.at_bearings[0].combination == "P"
    assert one("four-ply-parallel").shares.at_bearings[0].state.bolts == "play"


def test_beyond_the_limit_is_a_warning_in_words():
    tight = State("tight", "final")
    worst = (
        PlyShare(1, 1.4601, 2, "", "PV", "1.35 G + 1.5 Q, medium", tight),
        PlyShare(3, 1.11, 1, "", "PV", "1.35 G + 1.5 Q, medium", tight),
        PlyShare(2, 1.0, 1, "", "PV", "1.35 G + 1.5 Q, medium", tight),
    )
    (finding,) = share_findings(Shares(0.10, worst))
    assert (finding.code, finding.severity) == ("ply-share", "warning")
    assert "the truss designer must make ply 1 good for 1.47, ply 3 good for 1.11" in english(
        finding.message
    )
    assert "at bearing 2" in english(finding.message)
    assert share_findings(Shares(0.5, worst)) == ()
    member = replace(worst[0], bearing=0, member="W3")
    (note,) = share_findings(Shares(0.10, (member,)))
    assert (note.severity, note.where) == ("note", "W3")


@pytest.mark.parametrize(("value", "told"), [(1.47, "1.47"), (1.4701, "1.48"), (0.999, "1.00")])
def test_a_share_is_never_told_less_than_it_is(value, told):
    assert english(factor(value)) == told


def test_a_girder_that_shares_unequally_says_so_first():
    findings = one("six-ply").findings
    assert findings[0].code == "ply-share"
    assert not [f for f in one("two-ply-imperial").findings if f.code == "ply-share"]


def test_forces_of_all_plies_add_up_to_the_whole():
    """Statics: with one state, reactions and forces of the plies are n times the equal ones."""
    made = one("three-ply-pratt")
    for bearing in (1, 2):
        mine = [r for r in made.reactions if (r.bearing, r.combination) == (bearing, "PV")]
        assert len(mine) == 3
        assert all(r.least <= r.equal * 1.3 and r.least <= r.most for r in mine)
        assert sum(r.least for r in mine) <= 3 * mine[0].equal <= sum(r.most for r in mine)
    ours = found("three-ply-pratt")
    case = [c.id for c in ours.cases].index("PV")
    whole = sum(v for v in ours.cases[case].values)
    assert ours.reactions[:, case].sum(axis=(1, 2)) == pytest.approx(whole)


def test_seats_are_told_and_judge_nothing():
    """Howe: ply 1 brings 16 kN to its bearing; by hand 2.5 x 0.8 / 1.3 N/mm2 on 38 mm by its width:
    17.5 kN on 300 mm, which is enough, and 8.2 kN on 140 mm, which is a warning and no verdict."""
    wide = one("two-ply-howe")
    text = (SAMPLES / "two-ply-howe.toml").read_text("utf-8")
    for now, then in (("300 mm", "140 mm"), ('"150 mm"\nw', '"70 mm"\nw'), ("9450", "9530")):
        assert now in text
        text = text.replace(now, then)
    narrow = build_schedule(parse_job(text))
    for made, width, pressed in ((wide, 300, []), (narrow, 140, ["seat-pressed"] * 2)):
        seat = next(s for s in made.seats if s.id == "B1.seat.PV")
        assert seat.resistance == pytest.approx(2.5 * 0.8 / 1.3 * width * 38)
        assert seat.demand == pytest.approx(
            max(r.most for r in made.reactions if (r.bearing, r.combination) == (1, "PV"))
        )
        assert [f.code for f in made.findings if f.code == "seat-pressed"] == pressed
        assert not made.failed


@pytest.mark.parametrize("name", ["two-ply-howe", "four-ply-parallel"])
def test_what_is_kept_of_each_load_adds_up_to_the_reactions(name):
    """Every load solved by itself, in every state; bolts with play bear in two-ply-howe."""
    s = one(name)
    job = replace(s.job, fastening=replace(s.job.fastening, design_by="computed shares"))
    ours = ply_forces(job, s.girder, s.fasteners, s.nails, s.bolts)
    for i, state in enumerate(ours.states):
        of_state = [x for x in ours.shares if (x.bolts, x.age) == (state.bolts, state.age)]
        for c, case in enumerate(ours.cases):
            (mine,) = [x for x in of_state if not x.cases or case.id in x.cases]
            values = zip(s.girder.loads, case.values, strict=True)
            kept = sum(v * np.array(mine.kept[load.id]) for load, v in values)
            assert kept == pytest.approx(ours.reactions[i, c].sum(axis=1), abs=0.01)
        for mine in of_state:
            for parts in mine.kept.values():
                assert sum(parts) == pytest.approx(1.0, abs=1e-6)
    assert any(x.cases for x in ours.shares) == (name == "two-ply-howe")


def test_one_load_alone_is_kept_as_the_share_command_says():
    """Another way to the same parts: the girder with that one load on it, its reactions by ply."""
    s = one("two-ply-howe")
    job = replace(s.job, fastening=replace(s.job.fastening, design_by="computed shares"))
    first = ply_forces(job, s.girder, s.fasteners, s.nails, s.bolts).shares[0]
    assert (first.bolts, first.age) == ("tight", "initial")
    wood = timber(s.girder.timber)
    laws = laws_of(s.fasteners, s.nails, s.bolts, wood.rho_mean, by=EN1995)
    for i in (0, 4):
        loads = np.zeros((len(s.girder.loads), 2))
        loads[i, 0] = 1000.0
        alone = share(s.girder, s.fasteners, laws, loads, E=wood.E_mean)
        assert first.kept[s.girder.loads[i].id] == pytest.approx(alone.shares, abs=1e-6)
        assert first.kept[s.girder.loads[i].id][0] != pytest.approx(0.5, abs=0.005)


def test_nobody_asks_and_no_load_is_solved_by_itself():
    assert found("two-ply-howe").shares == ()
