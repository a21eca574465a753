"""LVL Handbook Europe 2025 (Federation of the Finnish Woodworking Industries), chapter 9.

Calculation example of a nailed ledger, printed pages 204 and 205: nails 3.1 x 90 in single shear,
not predrilled, through a 51 mm ledger 39 mm deep into studs; no rope effect. The page puts 2,5
into d^-0,3 and d^2,6, but all its numbers are those of d = 3.1. Tolerance: half a unit of the last
printed digit.
"""

import pytest

from girderply.standards.en1995_1_1_2014 import design_values as basis
from girderply.standards.en1995_1_1_2014 import embedment, group, johansen, yield_moment

D, T_1, T_2 = 3.1, 51.0, 39.0
PRINTED_KN = {"a": 4.43, "b": 2.89, "c": 1.55, "d": 1.58, "e": 1.13, "f": 0.85}


@pytest.fixture(name="f_h")
def _f_h():
    return tuple(embedment.f_h_k_nail(D, rho, predrilled=False) for rho in (480.0, 410.0))


@pytest.fixture(name="modes")
def _modes(f_h):
    return johansen.single_shear(T_1, T_2, *f_h, D, yield_moment.M_y_Rk_nail(D, 600.0))


def test_embedment_strengths(f_h):
    assert f_h == pytest.approx((28.0, 23.9), abs=0.05)


def test_yield_moment():
    assert yield_moment.M_y_Rk_nail(D, 600.0) == pytest.approx(3410, abs=5)


@pytest.mark.parametrize("mode", PRINTED_KN)
def test_each_of_the_six_modes_to_the_last_printed_digit(modes, mode):
    assert modes[mode] / 1000 == pytest.approx(PRINTED_KN[mode], abs=0.005)


def test_two_hinges_govern(modes):
    resistance = johansen.with_rope(modes)
    assert resistance.governing == "f"
    assert resistance.F_v_Rk / 1000 == pytest.approx(0.85, abs=0.005)


def test_six_nails_in_a_row_with_the_handbooks_own_exponent():
    """k_ef = 0.88 is the handbook's rule for the edge of LVL, not Table 8.1."""
    assert group.n_ef_nails(6, 0.88) == pytest.approx(4.84, abs=0.005)


def test_design_resistance_of_the_six(modes):
    """The page rounds k_mod / gamma_M to 0.62 and prints 2.55 and 3.1 kN.

    Unrounded: 0.8 / 1.3 x 4.839 x 0.8498 = 2.531, staggered 0.8 / 1.3 x 6 x 0.8498 = 3.138; so
    the tolerance is the rounding of 0.6154 to 0.62 (0.75 %) and of 0.8498 to 0.85.
    """
    row = group.n_ef_nails(6, 0.88) * modes["f"]
    aside = group.n_ef_nails(6, 0.88, stagger=D, d=D) * modes["f"]
    assert basis.R_d(row, 0.8, 1.3) / 1000 == pytest.approx(2.55, rel=0.009)
    assert basis.R_d(aside, 0.8, 1.3) / 1000 == pytest.approx(3.1, abs=0.05)
