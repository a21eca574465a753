"""A bracket's own fixings: reach worked out, capacity by the stack behind steel at the face."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from helpers_strength import girder, job, load
from scipy.optimize import linprog

from girderply.bases.crossing import Crossing
from girderply.bases.registry import spec_of
from girderply.catalogue import nail
from girderply.jobfile.job import BracketSpec, FixingSpec
from girderply.strength.cases import load_cases
from girderply.strength.fixings import fixing_checks, fixing_nail, reached, with_reach
from girderply.strength.judge import Judge

SIZE = {"width": 100.0, "height": 140.0}


def hung(said: int, thickness: float = 38.0, plies: int = 3, **bracket):
    one = load(plies_reached=said, bracket=BracketSpec(**SIZE, **bracket))
    return girder((one,), plies=plies, thickness=thickness)


@pytest.mark.parametrize(
    ("length", "said", "count"),
    [(40.0, 2, 1), (70.0, 2, 1), (72.0, 2, 2), (109.9, 3, 2), (110.0, 3, 3), (200.0, 2, 2)],
)
def test_reach_by_hand(length, said, count):
    """Smooth, 4 mm: 8 d = 32 mm deep in the last ply, 2 mm of steel: 38 + 32 + 2 = 72 for two."""
    fixing = FixingSpec(4.0, length, 10)
    plies = hung(said, fixing=fixing)
    assert reached(job(), plies, plies.loads[0]) == count
    by_length = hung(said, nail_length=length)
    assert reached(job(), by_length, by_length.loads[0]) == count


def test_forty_millimetres_in_plies_of_thirty_eight_reach_one():
    """Said to reach two, it made all transfer checks vanish."""
    proved, findings = with_reach(job(), hung(2, nail_length=40.0))
    assert proved.loads[0].plies_reached == 1
    (finding,) = findings
    assert (finding.code, finding.severity) == ("reach-less", "warning")
    assert "is taken to enter 1" in str(finding.message)


def test_bolts_of_its_own_go_through_and_silence_is_stamped_elsewhere():
    assert with_reach(job(), hung(3))[1] == ()
    assert with_reach(job(), hung(1, nail_length=40.0))[1] == ()


@pytest.mark.parametrize("length", [20.0, 40.0, 72.0])
def test_one_ply_behind_thin_steel_is_the_published_equation(length):
    """[EN 1995-1-1:2004+A2:2014, 8.2.3(1), Eq. (8.9)], without the credit of 1.15 (from memory)."""
    fixing = FixingSpec(4.0, length, 1)
    plies, own = hung(1), fixing_nail(fixing)
    judge = Judge.of(job(), plies, {own.key: own}, {})
    case = load_cases(job().basis, plies)[1]
    depth = min(length - 2.0, 38.0)
    crossing = Crossing("nail", own.key, 1, 1, length - 2.0)
    found = judge.standard.at_face(crossing, math.pi / 2, case.combination)
    f_h, M_y = 0.082 * 350 * 4.0**-0.3, 0.3 * 600 * 4.0**2.6
    F = min(0.4 * f_h * depth * 4.0, math.sqrt(2 * M_y * f_h * 4.0)) if depth >= 32.0 else 0.0
    assert found.value == pytest.approx(F * 0.8 / 1.3, rel=1e-3)


def limit(lengths, f, M_y, cells=40):
    """Largest force at the face that plies share in equal parts: static theorem, cell by cell."""
    r, h = len(lengths), [v / cells for v in lengths for _ in range(cells)]
    size = len(h)
    moments, rows, right = [], [], []
    # unknowns: force per length of every cell, and the force at the face
    for end in range(1, size):
        row = [0.0] * (size + 1)
        at = sum(h[:end])
        x = 0.0
        for i in range(end):
            row[i] = -h[i] * (at - (x + h[i] / 2))
            x += h[i]
        row[size] = at
        moments.append(row)
    for row in moments:
        rows += [row, [-v for v in row]]
        right += [M_y, M_y]
    equal, zero = [], []
    for p in range(r):
        row = [h[i] if i // cells == p else 0.0 for i in range(size)] + [-1.0 / r]
        equal.append(row)
        zero.append(0.0)
    last, x = [0.0] * (size + 1), 0.0
    for i in range(size):
        last[i] = -h[i] * (sum(h) - (x + h[i] / 2))
        x += h[i]
    last[size] = sum(h)
    equal.append(last)
    zero.append(0.0)
    found = linprog(
        [0.0] * size + [-1.0], A_ub=rows, b_ub=right, A_eq=equal, b_eq=zero,
        bounds=[(-f, f)] * size + [(0, None)],
    )  # fmt: skip
    return float(found.x[-1])


def test_two_plies_behind_steel_against_a_linear_programme():
    """80 mm nail, two plies of 38: 38 and 40 capped to 38 mm; cells of 1 mm leave 2 %."""
    fixing = FixingSpec(4.0, 80.0, 14)
    plies, own = hung(2, fixing=fixing), fixing_nail(fixing)
    checks, notes = fixing_checks(job(), plies, {})
    assert notes == ()
    check = {c.id: c for c in checks}["L1.fixing.PV"]
    assert check.demand == pytest.approx(7200.0)
    f = 0.082 * 350 * 4.0**-0.3 * 4.0
    F = limit([38.0, 38.0], f, 0.3 * 600 * 4.0**2.6)
    assert check.resistance == pytest.approx(14 * F * 0.8 / 1.3, rel=0.02)
    assert own.length == 80.0


def test_fixings_that_nobody_knows_are_said_not_to_be_checked():
    checks, notes = fixing_checks(job(), hung(2, nail_length=90.0), {})
    assert checks == ()
    assert [n.code for n in notes] == ["fixing-not-checked"]
    american = job(spec_of("NDS 2018", variable_duration="two months"))
    plies = replace(hung(2, fixing=FixingSpec(4.0, 80.0, 14)), timber="Spruce-Pine-Fir")
    assert [n.code for n in fixing_checks(american, plies, {})[1]] == ["fixing-not-checked"]
    assert nail("16d common").length > 0
