"""Solved examples of timber fasteners, EN 1995-1-1, section 8.

NTNU, TKT4211, examples C1 (dowels in double shear), C2 (inclined members), C3 (bolts with washers
under moment), C5 (bolts) and example 19 of the Norwegian glulam book (a load hung in a beam), as
the open repository Anthrazit68/NODEMaple keeps them: Examples/Timber/EC5-8 Fasteners, files "NTNU
Example C1.pdf" to "C5.pdf" and "Limtreboka example 19.pdf"; read in November 2026. The pages round
on the way (beta, the embedment strength) to three figures; what they print goes in as printed.
"""

from __future__ import annotations

import math

import pytest

from girderply.bases.answers import Across
from girderply.bases.combining import Combination
from girderply.bases.en1995 import BASIS as EN1995
from girderply.bases.registry import spec_of
from girderply.catalogue import timber
from girderply.standards.en1995_1_1_2014 import embedment, group, johansen, spacing, withdrawal
from girderply.standards.en1995_1_1_2014.design_values import R_d
from girderply.standards.en1995_1_1_2014.splitting import F_90_Rk
from girderply.standards.en1995_1_1_2014.yield_moment import M_y_Rk_bolt

ROUNDED = 2e-3  # the pages carry beta and f_h with three figures


@pytest.mark.parametrize(
    ("d", "f_u", "printed"),
    [(12, 600, 115118), (12, 360, 69070), (12, 800, 153491), (10, 800, 95545), (16, 800, 324300)],
)
def test_yield_moments(d, f_u, printed):
    """C1 p. 4, C2 p. 6, C3 p. 11, C5 p. 6, Limtreboka p. 215 (that one to four figures)."""
    assert M_y_Rk_bolt(d, f_u) == pytest.approx(printed, rel=5e-5 if d < 16 else 2e-4)


@pytest.mark.parametrize(
    ("d", "rho", "degrees", "printed"),
    [
        (12, 350, 0, 25.3), (12, 350, 70, 17.2), (12, 380, 0, 27.4), (12, 380, 39, 22.6),
        (12, 430, 0, 31.0), (12, 430, 39, 25.6), (10, 380, 0, 28.0), (16, 390, 0, 27.0),
        (16, 390, 90, 17.0),
    ],
)  # fmt: skip
def test_embedment(d, rho, degrees, printed):
    """C1 p. 3, C2 p. 5, C3 p. 12 and 13, C5 p. 7, Limtreboka p. 214 and 215 (two figures)."""
    digits = 0.5 if d == 16 else 0.07  # C3 goes on from 27.4 and cuts 22.66 off to 22.6
    assert embedment.f_h_alpha_k(d, rho, math.radians(degrees)) == pytest.approx(
        printed, abs=digits
    )


@pytest.mark.parametrize(
    ("t_1", "t_2", "f_1", "f_2", "d", "M_y", "printed"),
    [
        (36, 48, 25.3, 25.3, 12, 115118, {"g": 10930, "h": 7286, "j": 6657, "k": 9614}),
        (80, 80, 17.2, 25.3, 12, 69070, {"g": 16512, "h": 12144, "j": 7075, "k": 6699}),
        (80, 80, 25.3, 17.2, 12, 69070, {"g": 24288, "h": 8256, "j": 8706, "k": 6700}),
        (75, 115, 22.6, 25.6, 12, 153491, {"g": 20340, "h": 17664, "j": 9330, "k": 10808}),
        (50, 100, 28.0, 28.0, 10, 95545, {"g": 14000, "h": 14000, "j": 6734, "k": 8412}),
    ],
    ids=["C1", "C2 along the middle", "C2 along the sides", "C3", "C5"],
)
def test_double_shear(t_1, t_2, f_1, f_2, d, M_y, printed):
    """C1 p. 5, C2 p. 8 and 16, C3 p. 15, C5 p. 9: every mode, and which governs."""
    modes = johansen.double_shear(t_1, t_2, f_1, f_2, d, M_y)
    for letter, value in printed.items():
        assert modes[letter] == pytest.approx(value, rel=ROUNDED)
    assert min(modes, key=modes.__getitem__) == min(printed, key=printed.__getitem__)


def test_rope_of_a_bolt_under_washers():
    """C3 p. 11 and 17: washers of 4 d on holes of d + 1; C30; 13568 N; (j) 11662, (k) 13510."""
    area = withdrawal.washer_area(48.0, 13.0, "round")
    under = withdrawal.F_ax_Rk_washer(area, 2.7)
    assert area == pytest.approx(1675, abs=3)
    assert under == pytest.approx(13568, rel=ROUNDED)
    parts = {"g": 20340.0, "h": 17664.0, "j": 9330.0, "k": 10808.0}
    found = johansen.with_rope(parts, withdrawal.F_ax_Rk_bolt(60000.0, under), 0.25)
    assert (found.governing, found.F_v_Rk) == ("j", pytest.approx(11662, abs=1))
    alone = johansen.with_rope({"k": 10808.0}, under, 0.25)
    assert alone.F_v_Rk == pytest.approx(13510, abs=1)


@pytest.mark.parametrize(
    ("F_v", "printed"), [(6657, 4609), (6699, 4638), (9330, 6459), (11662, 8073)]
)
def test_design_values(F_v, printed):
    """C1 p. 6, C2 p. 9, C3 p. 16 and 18: short term, k_mod 0.9, gamma_M 1.3."""
    assert R_d(F_v, 0.9, 1.3) == pytest.approx(printed, abs=1)


@pytest.mark.parametrize(
    ("n", "a_1", "printed"), [(3, 60, 2.11), (2, 64, 1.49), (2, 53, 1.42), (3, 90, 2.34)]
)
def test_effective_number(n, a_1, printed):
    """C1 p. 7, C2 p. 13 and 17, C3 p. 19; d = 12 (the pages cut 2.117 off to 2.11)."""
    assert group.n_ef_bolts(n, a_1, 12.0) == pytest.approx(printed, abs=0.01)


def test_loaded_edge_at_70_degrees():
    """C2 p. 12: a_4,t of a fastener of 12 mm; the same formula as of bolts, Table 8.4."""
    assert spacing.a_4_t_bolt(12.0, math.radians(70.0)) == pytest.approx(46.5, abs=0.06)


def test_splitting_of_a_beam_with_a_hung_load():
    """Limtreboka example 19, p. 217: 190 x 1215, h_e = 608: 92760 N; the page takes h_e/h = 0.5."""
    assert F_90_Rk(190.0, 1215.0, 608.0) == pytest.approx(92760, rel=1e-3)


def test_splitting_beside_bolts_as_the_basis_answers_it():
    """C3 p. 31: both side members 150 mm, h = 200, h_e = 140, short term: 31406 N."""
    short = Combination("D", (), "short", 0.9, "test")
    ask = Across(150.0, 200.0, 140.0, 1000.0, timber("C30"), short)
    found = EN1995.across(spec_of(service_class=2), ask)
    assert found is not None
    assert found.value == pytest.approx(31406, abs=1)
