"""A bracket's own fixings: reach worked out, capacity by the stack behind steel at the face."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from helpers_strength import chord, girder, job, load
from scipy.optimize import linprog

from girderply.bases.crossing import Crossing
from girderply.bases.registry import spec_of
from girderply.catalogue import nail
from girderply.catalogue.screwing import ScrewSpec
from girderply.jobfile.job import BracketBoltSpec, BracketSpec, FixingSpec
from girderply.standards.nds_2018.yield_modes import reference_Z_lb, yield_loads_single_lb
from girderply.strength.fixings import fixing_checks, fixing_nail, reached, with_reach
from girderply.strength.in_force import Judge
from girderply.strength.load_sets import load_cases
from girderply.wording import english

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


@pytest.mark.parametrize("bracket", [{}, {"nail_length": 200.0}])
@pytest.mark.parametrize("said", [2, 3])
def test_what_is_not_given_reaches_the_first_ply(said, bracket):
    """Silence about the fixings, or their length alone, proves nothing: the load enters ply 1."""
    plies = hung(said, **bracket)
    bare = girder((load(plies_reached=said),), plies=3, thickness=38.0)
    for one in (plies, bare):
        proved, (finding,) = with_reach(job(), one)
        assert proved.loads[0].plies_reached == 1
        assert (finding.code, finding.severity) == ("reach-not-proved", "warning")
        assert finding.where == "loads.L1.plies_reached"
        assert "give diameter, length and number" in english(finding.tip)
        assert f"said to reach {said} plies" in english(finding.message)
        assert "taken to enter 1 ply" in english(finding.message)
    assert fixing_checks(job(), proved, {}) == ((), ())


def test_forty_millimetres_in_plies_of_thirty_eight_reach_one():
    """Said to reach two, it made all transfer checks vanish."""
    proved, findings = with_reach(job(), hung(2, nail_length=40.0))
    assert proved.loads[0].plies_reached == 1
    (finding,) = findings
    assert (finding.code, finding.severity) == ("reach-not-proved", "warning")
    assert "is taken to enter 1" in english(finding.message)
    worked_out, (said,) = with_reach(job(), hung(2, fixing=FixingSpec(4.0, 40.0, 12)))
    assert worked_out.loads[0].plies_reached == 1
    assert (said.code, said.severity) == ("reach-less", "warning")


def test_bolts_of_its_own_go_through_and_one_ply_asks_for_no_proof():
    through = hung(3, bolt="M16", bolts=(BracketBoltSpec(0.0, 0.0),))
    proved, findings = with_reach(job(), through)
    assert (proved.loads[0].plies_reached, findings) == (3, ())
    assert with_reach(job(), hung(1, nail_length=40.0))[1] == ()
    assert with_reach(job(), hung(1))[1] == ()


@pytest.mark.parametrize("length", [20.0, 40.0, 72.0])
def test_one_ply_behind_thin_steel_is_the_published_equation(length):
    """[EN 1995-1-1:2004+A2:2014, 8.2.3(1), Eq. (8.9)], without the credit of 1.15 (from memory)."""
    fixing = FixingSpec(4.0, length, 1)
    plies, own = hung(1), fixing_nail(fixing, job())
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
    plies, own = hung(2, fixing=fixing), fixing_nail(fixing, job())
    checks, notes = fixing_checks(job(), plies, {})
    assert notes == ()
    check = {c.id: c for c in checks}["L1.fixing.PV"]
    assert check.demand == pytest.approx(7200.0)
    f = 0.082 * 350 * 4.0**-0.3 * 4.0
    F = limit([38.0, 38.0], f, 0.3 * 600 * 4.0**2.6)
    assert check.resistance == pytest.approx(14 * F * 0.8 / 1.3, rel=0.02)
    assert own.length == 80.0


def american(**bracket):
    """Southern Pine by NDS 2018, loads of two months: C_D = 1.15."""
    plies = replace(hung(2, thickness=38.1, **bracket), timber="Southern Pine")
    return job(spec_of("NDS 2018", variable_duration="two months")), plies


@pytest.mark.parametrize("length", [60.0, 90.0])
def test_one_ply_behind_thin_steel_is_modes_two_and_three_of_nds(length):
    """[NDS 2018, Table 12.3.1A]: a side plate that grows thin and hard, by the printed equations.

    0.162 in common nail, G 0.55: F_e 5550 psi, F_yb 90 000 psi (Tables 12.3.3, I1). Of the modes
    of such a plate Is is the steel's own and Im cannot govern before II.
    """
    asked, plies = american()
    own = nail("16d common")
    short = replace(own, length=length)
    judge = Judge.of(asked, plies, {own.key: short}, {})
    case = next(c for c in load_cases(asked.basis, plies) if c.combination.code == "PV")
    crossing = Crossing("nail", own.key, 1, 1, length - 2.0, protrudes=length - 2.0 > 38.1)
    found = judge.standard.at_face(crossing, math.pi / 2, case.combination)
    D, l_m = own.d / 25.4, min(length - 2.0, 38.1) / 25.4
    if length - 2.0 < 38.1:
        l_m -= D  # half of the tapered point of 2 D
    loads = yield_loads_single_lb(D, l_m, 1e-5, 5550.0, 1e9, 90_000.0)
    Z = min(
        reference_Z_lb(
            {m: loads[m] for m in ("Im", "II", "IIIm", "IIIs", "IV")}, D, 0
        ).modes.values()
    )
    assert found.value == pytest.approx(Z * case.combination.modification * 4.4482216, rel=5e-4)


def test_two_plies_behind_steel_by_nds_against_a_linear_programme():
    """16d common of 4 in, 12 of them: the limit over R_d = 2.2 (D <= 0.17 in) times C_D 1.15."""
    asked, plies = american(fixing=FixingSpec(0.162 * 25.4, 4.0 * 25.4, 12))
    proved, findings = with_reach(asked, plies)
    assert (proved.loads[0].plies_reached, findings) == (2, ())
    checks, notes = fixing_checks(asked, proved, {})
    assert notes == ()
    check = {c.id: c for c in checks}["L1.fixing.PV"]
    D = 0.162 * 25.4
    q = 5550 * 0.0068947573 * D
    M_y = 90_000 * 0.0068947573 * D**3 / 6
    last = min(101.6 - 2.0 - 38.1, 38.1)
    F = limit([38.1, last], q, M_y)
    assert check.resistance == pytest.approx(12 * F / 2.2 * 1.15, rel=0.03)
    assert "NDS 2018" in check.clause


SCREW = ScrewSpec(
    key="5 x 100 demo", source="demo", d=5.0, d_root=3.3, d_shank=3.6, head=10.0, length=100.0,
    thread=60.0, M_y=6100.0, f_ax=12.0, f_head=10.0, rho_a=350.0, tension=7900.0,
)  # fmt: skip


@pytest.mark.parametrize(("length", "count"), [(69.0, 1), (70.0, 2), (107.9, 2), (108.0, 3)])
def test_screws_of_a_declaration_reach_by_six_diameters(length, count):
    """6 d = 30 mm deep in the last ply and 2 mm of steel: 38 + 30 + 2 = 70 for two plies of 38."""
    screw = replace(SCREW, length=length)
    asked = replace(job(), fastening=replace(job().fastening, screws=(screw,)))
    plies = hung(3, fixing=FixingSpec(5.0, length, 8, screw=SCREW.key))
    assert reached(asked, plies, plies.loads[0]) == count


def test_declared_screws_behind_steel_against_a_linear_programme():
    """d_ef = 1.1 x 3.3 = 3.63; f_h = 0.082 x 350 x 3.63^-0.3; declared M_y; 38 and 38 mm."""
    asked = replace(job(), fastening=replace(job().fastening, screws=(SCREW,)))
    plies = hung(2, fixing=FixingSpec(5.0, 100.0, 8, screw=SCREW.key))
    proved, findings = with_reach(asked, plies)
    assert (proved.loads[0].plies_reached, findings) == (2, ())
    checks, notes = fixing_checks(asked, proved, {})
    assert notes == ()
    check = {c.id: c for c in checks}["L1.fixing.PV"]
    F = limit([38.0, 38.0], 0.082 * 350 * 3.63**0.7, 6100.0)
    assert check.resistance == pytest.approx(8 * F * 0.8 / 1.3, rel=0.02)


def test_bolts_of_a_bracket_count_together_as_the_basis_counts_them():
    """Two M12 of one row 40 mm apart on a rafter: n_ef of 8.5.1.1(4), set against n across."""
    from girderply.catalogue import bolt, choose_bolt, washer

    pair = (BracketBoltSpec(-20.0, 0.0), BracketBoltSpec(20.0, 0.0))
    one = load(plies_reached=2, bracket=BracketSpec(**SIZE, bolt="M12", bolts=pair))
    slope = math.radians(30.0)
    plies = girder((one,), plies=2, thickness=38.0, members=(chord(slope=slope),))
    choice = choose_bolt(bolt("M12"), washer("DIN 436 M12"), 76.0)
    checks, _ = fixing_checks(job(), plies, {"L1": choice})
    check = {c.id: c for c in checks}["L1.fixing.PV"]
    along = 2**0.9 * (40.0 / (13 * 12.0)) ** 0.25
    expected = along + (2 - along) * 60.0 / 90.0
    assert check.inputs["n"][0] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("d", "length"), [(1.2, 90.0), (14.0, 200.0)])
@pytest.mark.parametrize("basis", ["EN", "NDS"])
def test_a_fixing_that_the_basis_has_no_figure_for_is_an_error_in_words(basis, d, length):
    fixing = FixingSpec(d, length, 12)
    asked, plies = american(fixing=fixing) if basis == "NDS" else (job(), hung(2, fixing=fixing))
    checks, notes = fixing_checks(asked, plies, {})
    if basis == "EN" and d < 8:
        assert checks
        return
    assert checks == ()
    assert [(n.code, n.severity) for n in notes] == [("fixing-not-checked", "error")]
    assert "must be between" in english(notes[0].message)


def test_of_either_face_pressed_while_the_other_is_lifted_the_harder_is_told():
    """B: 1.0 x 1 - 1.5 x 4 = 5.0 kN up beside a pressed A, 1.35 + 3.0 = 4.35 kN down beside it
    lifted; A: 7.2 kN down, 1.0 x 2 - 1.5 x 4 = 4.0 kN up.
    """
    bracket = BracketSpec(**SIZE, fixing=FixingSpec(4.0, 90.0, 20))
    loads = (
        load("A", plies_reached=2, bracket=bracket, uplift=4000.0),
        load("B", plies_reached=2, bracket=bracket, uplift=4000.0, face="back",
             permanent=1000.0, variable=2000.0),
        load("C", plies_reached=2, bracket=bracket, uplift=1000.0, face="back",
             permanent=1000.0, variable=2000.0),
    )  # fmt: skip
    checks, left = fixing_checks(job(), girder(loads, plies=3, thickness=38.0), {})
    assert left == ()
    found = {c.about: c.demand for c in checks if ".PVU" in c.id}
    assert found == pytest.approx({"A": 7200.0, "B": 5000.0, "C": 4350.0})
