"""Fasteners at an interface against outside values, through the whole strength layer."""

from __future__ import annotations

import math

import pytest
from interface_shears import one_face_pattern

from girderply.bases.combining import Combination, terms_of
from girderply.bases.crossing import Crossing
from girderply.bases.dowel.stack import Stack, limit
from girderply.bases.en1995.planes import Eurocode
from girderply.bases.nds.planes import AllowableStress
from girderply.bases.registry import spec_of
from girderply.bases.spec import BasisSpec
from girderply.catalogue import Nail, bolt, choose_bolt, nail, timber, washer
from girderply.strength.demand import interface_shears

LBF = 4.4482216152605
UNIT = Combination("PV", terms_of(1.0, 1.0, 0.0, 0.0), "medium", 1.0, "test")


def _plain_basis() -> BasisSpec:
    """No partial factor, so that characteristic values come out."""
    return spec_of(gamma_connection=1.0)


def test_nail_4_0_x_100_in_two_plies_of_38():
    """Reference note: f_h 18.93, M_y 6617, 1151 N without, 1186 N with the rope effect, mode (f).

    Two independent computations, not published; the withdrawal part is reduced, 9.5 d of point.
    """
    own = Nail("4.0 x 100", 4.0, 100.0, 8.0, 600.0)
    ec5 = Eurocode(_plain_basis(), timber("C24"), 38.0, {own.key: own}, {})
    crossing = Crossing("nail", own.key, 1, 2, 38.0)
    (plane,) = ec5.planes(crossing, math.pi / 2, (1.0,), UNIT, False)
    assert plane.inputs["f_h_k"][0] == pytest.approx(18.93, abs=0.005)
    assert plane.inputs["M_y_Rk"][0] == pytest.approx(6617.0, abs=0.5)
    assert plane.value == pytest.approx(1186.0, abs=0.5)
    assert plane.mode == "(f)"
    lasting = Combination("P", terms_of(1.0, 0.0, 0.0, 0.0), "permanent", 1.0, "test")
    (plane,) = ec5.planes(crossing, math.pi / 2, (1.0,), lasting, False)
    assert plane.value == pytest.approx(1151.0, abs=0.5)


@pytest.mark.parametrize(("alpha", "bare", "with_rope"), [(0.0, 4770, 5963), (90.0, 3118, 3897)])
def test_bolt_m12_in_two_plies_of_38(alpha, bare, with_rope):
    """Reference note: 4770 N along, 3118 N across, (c); with the rope effect's 25 %, 5963, 3897."""
    choice = choose_bolt(bolt("M12"), washer("DIN 436 M12"), 76.0)
    ec5 = Eurocode(_plain_basis(), timber("C24"), 38.0, {}, {choice.spec: choice})
    crossing = Crossing("bolt", choice.spec, 1, 2, 38.0, drilled=True)
    (plane,) = ec5.planes(crossing, math.radians(alpha), (1.0,), UNIT, False)
    assert plane.value == pytest.approx(with_rope, abs=1.0)
    assert plane.value / 1.25 == pytest.approx(bare, abs=1.0)
    assert plane.mode == "(c)"


@pytest.mark.parametrize(("key", "species", "lb"), [("16d common", "Douglas Fir-Larch", 141)])
def test_common_nail_of_table_12n(key, species, lb):
    """NDS 2018, Table 12N, 1 1/2 in side member, 10 D of point: 141 lb (read); half a pound."""
    own = nail(key)
    asd = AllowableStress(timber(species), 1.62 * 25.4, {key: own}, {})
    crossing = Crossing("nail", key, 1, 2, 1.62 * 25.4)
    once = Combination("PV", terms_of(1.0, 1.0, 0.0, 0.0), "ten years", 1.0, "test")
    (plane,) = asd.planes(crossing, math.pi / 2, (1.0,), once, False)
    assert plane.value / LBF == pytest.approx(lb, abs=0.5)


def test_bolts_of_a_four_ply_girder():
    """Reference D3 (derived there): 4000 lb on one face of four plies of SPF, 1/2 in bolts.

    The table's 170 lb per plane across the grain (printed to 10 lb, so 165 to 175 here), C_D 1.15;
    3000, 2000 and 1000 lb pass, and the first interface asks for 15.35 bolts by the table. The
    stack's own limit is what the project counts instead: it may not be higher at any interface.
    """
    choice = choose_bolt(bolt("1/2 in"), washer("cut 1/2 in"), 4 * 38.1)
    asd = AllowableStress(timber("SPF"), 38.1, {}, {choice.spec: choice})
    crossing = Crossing("bolt", choice.spec, 1, 4, 38.1, drilled=True)
    snow = Combination("PV", terms_of(1.0, 1.0, 0.0, 0.0), "two months", 1.15, "test")
    shears = interface_shears((4000.0 * LBF, 0.0, 0.0, 0.0))
    assert shears == pytest.approx(tuple(v * LBF for v in (3000.0, 2000.0, 1000.0)))
    planes = asd.planes(crossing, math.pi / 2, shears, snow, False)
    assert [p.table / LBF / 1.15 for p in planes] == pytest.approx([170.0] * 3, abs=5.0)
    assert all(p.value <= p.table * (1 + 1e-12) for p in planes)
    asked = [s / p.value for s, p in zip(shears, planes, strict=True)]
    assert max(asked) >= 3000.0 * LBF / planes[0].table


def test_straight_bolt_in_three_plies_in_closed_form():
    """A stiff bolt in three like plies: 4 p = 3 - 2/3 p^2 from the balance of moments.

    So interface 1 takes (sqrt 6 - 2) q t, two plies alone (sqrt 2 - 1) q t (mode (c)), and a plane
    of the symmetric case q t / 2 (mode (h)): 11.24 % too much, which is the design note's "11 %".
    """
    stack = Stack((45.0,) * 3, (200.0,) * 3, 1e9)
    first = limit(stack, one_face_pattern(3)).shears[0] / (200.0 * 45.0)
    assert first == pytest.approx(math.sqrt(6) - 2, rel=1e-12)
    assert 0.5 / first == pytest.approx(1.1124, abs=5e-5)
    alone = limit(stack.pair(1), (1.0,)).multiplier / (200.0 * 45.0)
    assert alone == pytest.approx(math.sqrt(2) - 1, rel=1e-12)
