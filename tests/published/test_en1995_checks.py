"""EN 1995-1-1: values of tables, and two check values by hand and by a second method.

The document was not at hand. Where no other source is named the value is from memory; the two
joints were worked out by two independent methods before this code was written (not published).
"""

import math

import pytest

from girderply.bases.registry import spec_of
from girderply.model.girder import HungLoad
from girderply.standards.en1990_2002 import combination
from girderply.standards.en1993_1_8_2005 import bolts
from girderply.standards.en1995_1_1_2014 import (
    bolting,
    embedment,
    group,
    johansen,
    nailing,
    screws,
    slip,
    splitting,
    withdrawal,
    yield_moment,
)
from girderply.standards.en1995_1_1_2014 import (
    design_values as basis,
)
from girderply.strength.demand import combination_of


def test_nail_4_x_100_in_two_plies_of_38():
    """f_h 18.93, M_y 6617, F_v 1151 N without rope effect, 1186 N with it (two-method check).

    The point is 38 / 4 = 9.5 d deep: 9.5 / 4 - 2 = 0.375 of 20e-6 x 350^2 x 4 x 38 = 372.4 N, a
    quarter of 139.65 N is 34.9 N, below 15 % of 1151.
    """
    f_h = embedment.f_h_k_nail(4.0, 350.0, predrilled=False)
    M_y = yield_moment.M_y_Rk_nail(4.0, 600.0)
    assert f_h == pytest.approx(18.93, abs=0.005)
    assert M_y == pytest.approx(6617, abs=0.5)
    modes = johansen.single_shear(38.0, 38.0, f_h, f_h, 4.0, M_y)
    bare = johansen.with_rope(modes)
    assert (bare.governing, bare.F_v_Rk) == ("f", pytest.approx(1151, abs=0.5))
    F_ax = withdrawal.F_ax_Rk_smooth(350.0, 350.0, 4.0, 9.0, 38.0, 38.0)
    assert F_ax == pytest.approx(139.65, abs=0.005)
    roped = johansen.with_rope(modes, F_ax, withdrawal.rope_limit("round nail"))
    assert (roped.governing, roped.F_v_Rk) == ("f", pytest.approx(1186, abs=0.5))


@pytest.mark.parametrize(("alpha", "bare", "roped"), [(0.0, 4770, 5963), (math.pi / 2, 3118, 3897)])
def test_bolt_m12_4_6_in_two_plies_of_38(alpha, bare, roped):
    """4770 N along and 3118 N across the grain, mode (c); 5963 and 3897 with rope effect at its
    25 % limit (two-method check).
    """
    f_h = embedment.f_h_alpha_k(12.0, 350.0, alpha)
    M_y = yield_moment.M_y_Rk_bolt(12.0, bolts.f_ub("4.6"))
    modes = johansen.single_shear(38.0, 38.0, f_h, f_h, 12.0, M_y)
    without = johansen.with_rope(modes)
    assert (without.governing, without.F_v_Rk) == ("c", pytest.approx(bare, abs=0.5))
    full = johansen.with_rope(modes, 1e6, withdrawal.rope_limit("bolt"))
    assert full.F_v_Rk == pytest.approx(roped, abs=0.5)


@pytest.mark.parametrize(
    ("service_class", "row"),
    [(1, (0.6, 0.7, 0.8, 0.9, 1.1)), (2, (0.6, 0.7, 0.8, 0.9, 1.1)),
     (3, (0.5, 0.55, 0.65, 0.7, 0.9))],
)  # fmt: skip
def test_table_3_1(service_class, row):
    found = tuple(basis.k_mod(service_class, duration) for duration in basis.DURATIONS)
    assert found == row


def test_table_2_3_and_design_values():
    """Connections 1.3 read: LVL Handbook Europe 2025, p. 198."""
    assert basis.gamma_M("connections") == 1.3
    assert basis.gamma_M("solid timber") == 1.3
    assert basis.gamma_M("LVL") == 1.2
    assert basis.R_d(1186.0, 0.8, 1.3) == pytest.approx(729.846, abs=5e-4)
    assert basis.X_d(2.5, 0.9, 1.25) == pytest.approx(1.8)


def test_rope_limits_of_8_2_2_2():
    names = ("round nail", "square nail", "other nail", "screw", "bolt", "dowel")
    assert [withdrawal.rope_limit(n) for n in names] == [0.15, 0.25, 0.5, 1.0, 0.25, 0.0]


def test_table_8_1_and_between_its_rows():
    found = [group.k_ef(x * 4.0, 4.0, predrilled=False) for x in (7, 8.5, 10, 12, 14, 30)]
    assert found == pytest.approx([0.7, 0.775, 0.85, 0.925, 1.0, 1.0])
    assert group.k_ef(16.0, 4.0, predrilled=True) == pytest.approx(0.5)
    assert group.k_ef(22.0, 4.0, predrilled=True) == pytest.approx(0.6)
    with pytest.raises(ValueError, match=r"a_1 of 27.9 mm is below the table, 7 d"):
        group.k_ef(27.9, 4.0, predrilled=False)


def test_effective_number_of_nails():
    assert group.n_ef_nails(6, 0.85) == pytest.approx(4.5859, abs=5e-5)  # 6^0.85
    assert group.n_ef_nails(6, 0.85, stagger=4.0, d=4.0) == 6.0
    assert group.n_ef_nails(6, 0.85, stagger=3.99, d=4.0) == pytest.approx(4.5859, abs=5e-5)
    assert group.n_ef_nails(1, 0.5) == 1.0


def test_effective_number_of_bolts():
    """(8.34): 4^0.9 x (60 / (13 x 12))^0.25 = 3.4822 x 0.78751 = 2.7423; (8.35) across: 4."""
    assert group.n_ef_bolts(4, 60.0, 12.0) == pytest.approx(2.7423, abs=5e-5)
    assert group.n_ef_bolts(4, 60.0, 12.0, math.pi / 2) == pytest.approx(4.0)
    assert group.n_ef_bolts(4, 60.0, 12.0, math.pi / 6) == pytest.approx(3.1615, abs=5e-5)
    assert group.n_ef_bolts(2, 400.0, 12.0) == 2.0  # never more than n


@pytest.mark.parametrize(
    ("modes", "together"),
    [("ab", True), ("gh", True), ("fk", True), ("cj", True), ("gj", False), ("af", False)],
)
def test_modes_that_may_be_added(modes, together):
    """8.1.3(2), as a published example applies it: "failure modes (j) and (k) are not compatible"
    with (h) (Porteous and Kermani, Structural Timber Design to Eurocode 5, five-member example).
    """
    assert group.shear_planes_may_add(*modes) is together


def test_slip_moduli_of_table_7_1():
    """420^1.5 = 8607.43: x 12 / 23 = 4490.8; x 4^0.8 / 30 = 3.03143 / 30 -> 869.76."""
    assert slip.K_ser_drilled(12.0, 420.0) == pytest.approx(4490.8, abs=0.05)
    assert slip.K_ser_nail(4.0, 420.0) == pytest.approx(869.76, abs=0.005)
    assert slip.K_u(900.0) == pytest.approx(600.0)
    assert slip.rho_m_two_members(400.0, 441.0) == pytest.approx(420.0)


def test_splitting_8_1_4():
    """14 x 38 x sqrt(120 / (1 - 120/200)) = 532 x 17.3205 = 9214.5 N; plates 240 wide: 1.3585."""
    assert splitting.F_90_Rk(38.0, 200.0, 120.0) == pytest.approx(9214.5, abs=0.05)
    assert splitting.w_plate(240.0) == pytest.approx(1.3585, abs=5e-5)
    assert splitting.w_plate(80.0) == 1.0
    assert splitting.F_v_Ed(900.0, -1200.0) == 1200.0
    with pytest.raises(ValueError, match=r"h_e must be between"):
        splitting.F_90_Rk(38.0, 200.0, 200.0)


@pytest.mark.parametrize(
    ("t_pen", "threaded", "factor"),
    [(31.9, False, 0.0), (40, False, 0.5), (48, False, 1.0), (90, False, 1.0),
     (24, True, 0.0), (28, True, 0.5), (32, True, 1.0)],
)  # fmt: skip
def test_what_a_short_point_leaves(t_pen, threaded, factor):
    """d 4: smooth from 8 d to 12 d, threaded from 6 d to 8 d."""
    found = withdrawal.penetration_factor(t_pen, 4.0, threaded=threaded)
    assert found == pytest.approx(factor, abs=1e-9)


def test_head_pull_through_may_govern():
    """Point in 450 kg/m3: 4.05 x 4 x 60 = 972 N. Head in 300: 1.8 x 4 x 20 + 6.3 x 64 = 547.2 N."""
    found = withdrawal.F_ax_Rk_smooth(300.0, 450.0, 4.0, 8.0, 20.0, 60.0)
    assert found == pytest.approx(547.2)
    assert withdrawal.F_ax_Rk_other(6.0, 15.0, 4.0, 8.0, 36.0) == pytest.approx(864.0)
    assert withdrawal.F_ax_Rk_other(6.0, 15.0, 4.0, 8.0, 60.0) == pytest.approx(960.0)


def test_bolt_pulled_through_its_washer():
    """40 x 40 washer on a 13 mm hole: 1600 - 132.73 = 1467.27 mm2; 3 x 2.5 x that = 11005 N.

    The bolt itself: A_s of M12 is 84.3 mm2 (ISO 898-1, value from memory), 0.9 x 400 x 84.3.
    """
    area = withdrawal.washer_area(40.0, 13.0, "square")
    washer = withdrawal.F_ax_Rk_washer(area, 2.5)
    assert washer == pytest.approx(11005, abs=0.5)
    assert withdrawal.washer_area(40.0, 13.0, "round") == pytest.approx(1123.9, abs=0.05)
    A_s = bolts.A_s(12.0, 1.75)
    assert A_s == pytest.approx(84.3, abs=0.05)
    tension = bolts.F_t_Rk(400.0, A_s)
    assert tension == pytest.approx(30338, abs=10)
    assert withdrawal.F_ax_Rk_bolt(tension, washer) == washer


@pytest.mark.parametrize(
    ("d", "pitch", "A_s"),
    [(8, 1.25, 36.6), (10, 1.5, 58.0), (16, 2.0, 157.0), (20, 2.5, 245.0), (24, 3.0, 353.0)],
)
def test_stress_areas_of_iso_898_1(d, pitch, A_s):
    """Value from memory; half a unit of the last digit."""
    assert bolts.A_s(d, pitch) == pytest.approx(A_s, abs=0.5 if A_s > 100 else 0.05)


def test_bolt_grades():
    """Read for 4.6, 8.8, 10.9; value from memory for 5.8."""
    assert [bolts.f_ub(g) for g in ("4.6", "5.8", "8.8", "10.9")] == [400, 500, 800, 1000]


DIN_436 = [(10, 30, 3, True), (12, 40, 4, True), (16, 50, 5, True), (20, 60, 5, False),
           (24, 80, 6, False)]  # fmt: skip


@pytest.mark.parametrize(("d", "side", "thickness", "passes"), DIN_436)
def test_square_washers_of_din_436_against_10_4_3(d, side, thickness, passes):
    """DIN 436 sizes, value from memory: M10 to M16 pass, M20 and M24 are too thin."""
    assert side >= bolting.washer_outer_min(d)
    assert (thickness >= bolting.washer_thickness_min(d)) is passes


ISO_7093_1 = [(8, 24, 2), (10, 30, 2.5), (12, 37, 3), (16, 50, 3), (20, 60, 4), (24, 72, 5)]
ISO_7094 = [(8, 28, 3), (10, 34, 3), (12, 44, 4), (16, 56, 5), (20, 72, 6)]


@pytest.mark.parametrize(("d", "outer", "thickness"), ISO_7093_1)
def test_iso_7093_1_is_wide_enough_but_too_thin(d, outer, thickness):
    """Sizes read in a public CAD parts library: wide enough, too thin at every size."""
    assert outer >= bolting.washer_outer_min(d)
    assert thickness < bolting.washer_thickness_min(d)


@pytest.mark.parametrize(("d", "outer", "thickness"), ISO_7094)
def test_iso_7094_passes_up_to_m20(d, outer, thickness):
    assert outer >= bolting.washer_outer_min(d)
    assert thickness >= bolting.washer_thickness_min(d)


def test_holes():
    assert bolting.hole_max_bolt(12.0) == 13.0
    assert nailing.hole_max_nail(4.0) == pytest.approx(3.2)
    assert bolting.net_depth_ratio(120.0, 13.0, 2) == pytest.approx(1 - 26 / 120)
    assert bolting.net_depth_ratio(120.0, 13.0, 0) == 1.0


def test_nailing_limits_of_8_3_1():
    """4 mm in 38 mm of C24: 28 mm will do; split-prone timber asks 56, or a_4 of 40 mm."""
    assert nailing.t_pen_min(4.0, smooth=True) == 32.0
    assert nailing.t_pen_min(4.0, smooth=False) == 24.0
    assert nailing.t_min_undrilled(4.0, 350.0) == 28.0
    assert nailing.t_min_undrilled(6.0, 400.0) == 48.0  # (13 x 6 - 30) x 400 / 400, over 7 d = 42
    assert nailing.t_min_undrilled_split_prone(4.0, 350.0) == 56.0
    assert nailing.t_min_undrilled_split_prone(6.0, 400.0) == 96.0
    assert nailing.a_4_min_split_prone(4.0, 420.0) == 40.0
    assert nailing.a_4_min_split_prone(4.0, 421.0) == 56.0
    assert nailing.points_may_overlap(38.0, 21.9, 4.0)
    assert not nailing.points_may_overlap(38.0, 22.0, 4.0)


@pytest.mark.parametrize(
    ("d", "rho_k", "must"), [(6.0, 500, False), (6.01, 350, True), (4.0, 501, True)]
)
def test_when_nails_are_predrilled(d, rho_k, must):
    assert nailing.must_predrill(d, rho_k) is must


def test_embedment_of_other_woods_and_angles():
    """M16, 350 kg/m3: 0.082 x 0.84 x 350 = 24.108; k_90 1.59, 1.54, 1.14; at 30 degrees
    24.108 / (1.59 / 4 + 3 / 4) = 21.009.
    """
    assert embedment.f_h_0_k(16.0, 350.0) == pytest.approx(24.108)
    woods = [embedment.k_90(16.0, wood) for wood in ("softwood", "LVL", "hardwood")]
    assert woods == pytest.approx([1.59, 1.54, 1.14])
    found = embedment.f_h_alpha_k(16.0, 350.0, math.pi / 6)
    assert found == pytest.approx(21.009, abs=5e-4)


def test_a_thick_nail_is_embedded_like_a_bolt():
    at_8 = embedment.f_h_k(8.0, 350.0, 1.0, bolt=False, predrilled=True)
    assert at_8 == pytest.approx(0.082 * 0.92 * 350)
    thick = embedment.f_h_k(9.0, 350.0, 1.0, bolt=False, predrilled=True)
    assert thick == embedment.f_h_alpha_k(9.0, 350.0, 1.0)
    thin_bolt = embedment.f_h_k(6.0, 350.0, 1.0, bolt=True, predrilled=True)
    assert thin_bolt == embedment.f_h_alpha_k(6.0, 350.0, 1.0)


def test_yield_moments():
    """(8.14): 0.3 and 0.45 x 600 x 4^2.6 = 36.758; wire below 600 N/mm2 is not covered."""
    assert yield_moment.M_y_Rk_nail(4.0, 600.0, "square") == pytest.approx(9924.8, abs=0.05)
    assert yield_moment.M_y_Rk_nail(4.0, 600.0, "other") == pytest.approx(6616.5, abs=0.05)
    assert yield_moment.M_y_Rk_bolt(12.0, 400.0) == pytest.approx(76745, abs=0.5)
    with pytest.raises(ValueError, match=r"f_u must be between 600.0"):
        yield_moment.M_y_Rk_nail(4.0, 599.0)


def test_screws_by_their_declaration():
    """(8.40a): 12 x 6 x 60 / (1.2 x 0.25 + 0.75) x (420/350)^0.8 = 4114.3 x 1.15704 = 4760.4."""
    found = screws.F_ax_Rk_screw(12.0, 6.0, 60.0, 420.0, 350.0, math.radians(60))
    assert found == pytest.approx(4760.4, abs=0.05)
    assert screws.F_head_Rk_screw(10.0, 12.0, 350.0, 350.0) == pytest.approx(1440.0)
    dense = screws.F_head_Rk_screw(10.0, 12.0, 420.0, 350.0)
    assert dense == pytest.approx(1666.1, abs=0.05)  # 1440 x 1.15704
    assert screws.d_ef_screw(6.0, 6.0, 4.0, 24.0) == 6.0
    assert screws.d_ef_screw(6.0, 6.0, 4.0, 23.9) == pytest.approx(4.4)
    assert screws.d_ef_screw(6.0, 4.3, 4.0, 60.0) == pytest.approx(4.4)  # shank thinner than thread
    assert not screws.screw_counts_as_bolt(6.0)
    assert screws.screw_counts_as_bolt(6.6)


def test_fundamental_combination_of_en_1990():
    """(6.10): 1.35 x 2000 + 1.5 x 3000 = 7200; uplift against the dead load: 2000 - 4500."""
    spec = spec_of("EN 1995-1-1")
    usual = [spec.number(f"gamma_{name}") for name in ("permanent", "variable")]
    assert usual == [
        combination.gamma_F(action, favourable=False) for action in ("permanent", "variable")
    ]
    helps = combination.gamma_F("permanent", favourable=True)
    assert spec.number("gamma_permanent_favourable") == helps
    hung = HungLoad("L", "BC1", "front", 0.0, 0.0, 0.0, 2000.0, 3000.0, 3000.0, None, 1, None, None)
    found = {code: combination_of(spec, code).value(hung) for code in ("P", "PV", "U")}
    assert found == pytest.approx({"P": 2700.0, "PV": 7200.0, "U": -2500.0})
