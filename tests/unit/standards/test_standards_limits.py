"""Validity limits, edges of rules and factors that no published table of ours reaches.

Multiples and limits are values from memory of the documents named in the functions.
"""

import math

import numpy as np
import pytest

from girderply.errors import RangeError
from girderply.standards.en1995_1_1_2014 import (
    bolting,
    embedment,
    group,
    nailing,
    screws,
    splitting,
    yield_moment,
)
from girderply.standards.nds_2018 import adjustment, bearing, group_action, penetration, yield_modes


def _lap_joint(n, s, EA_m, EA_s, gamma):
    """Load per fastener over the largest one, averaged: an elastic lap joint, solved as a chain.

    Main member pulled at its far end, side member held at the other; two nodes per fastener.
    """
    K = np.zeros((2 * n, 2 * n))
    springs = [(i, n + i, gamma) for i in range(n)]
    springs += [(i, i + 1, EA_m / s) for i in range(n - 1)]
    springs += [(n + i, n + i + 1, EA_s / s) for i in range(n - 1)]
    for i, j, k in springs:
        K[[i, j], [i, j]] += k
        K[[i, j], [j, i]] -= k
    load = np.zeros(2 * n)
    load[n - 1] = 1.0  # the main member is pulled past the last fastener ...
    free = [i for i in range(2 * n) if i != n]  # ... the side member held before the first
    u = np.zeros(2 * n)
    u[free] = np.linalg.solve(K[np.ix_(free, free)], load[free])
    forces = gamma * (u[:n] - u[n:])
    assert forces.sum() == pytest.approx(1.0)
    return forces.sum() / (n * forces.max())


@pytest.mark.parametrize(
    ("n", "s", "EA_m", "EA_s", "D"),
    [
        (2, 2.0, 7e6, 5e6, 0.5),
        (5, 3.0, 4e6, 9e6, 0.75),
        (9, 2.5, 12e6, 6e6, 0.625),
        (3, 4.0, 6e6, 6e6, 1),
    ],
)
def test_group_action_is_the_elastic_lap_joint(n, s, EA_m, EA_s, D):
    """Second method: the printed formula is the closed solution of this chain of springs."""
    gamma = group_action.gamma_wood_lb_per_in(D)
    assert gamma == pytest.approx(180000 * D * math.sqrt(D))
    found = group_action.C_g(n, s, EA_m, EA_s, D)
    assert found == pytest.approx(_lap_joint(n, s, EA_m, EA_s, gamma), rel=1e-6)
    assert found == pytest.approx(group_action.C_g(n, s, EA_s, EA_m, D))


def test_group_action_leaves_thin_and_single_fasteners_alone():
    assert group_action.C_g(12, 2.0, 7e6, 5e6, 0.249) == 1.0
    assert group_action.C_g(1, 2.0, 7e6, 5e6, 1.0) == 1.0
    assert group_action.C_g(12, 2.0, 7e6, 5e6, 0.25) < 0.99


def test_hankinson():
    """4800 and 2550 psi at 30 degrees: 4800 x 2550 / (4800 / 4 + 2550 x 3/4) = 3932.5; ends too."""
    found = bearing.F_e_theta_psi(4800.0, 2550.0, math.pi / 6)
    assert found == pytest.approx(3932.5, abs=0.05)
    assert bearing.F_e_psi(0.43, 0.5, 0.0) == pytest.approx(4800)
    assert bearing.F_e_psi(0.43, 0.5, math.pi / 2) == pytest.approx(2550)
    assert bearing.F_e_psi(0.43, 0.5, math.pi / 6) == pytest.approx(3932.5, abs=0.05)


def test_quarter_inch_is_where_the_grain_begins_to_matter():
    assert bearing.F_e_psi(0.5, 0.2499, 1.2) == 4650
    assert bearing.F_e_psi(0.5, 0.25, 0.0) == 5600
    assert yield_modes.R_d("IV", 0.25, 0.0) == 3.2
    assert yield_modes.R_d("IV", 0.2499, 0.0) == pytest.approx(2.999)
    assert adjustment.C_M(wet_fabricated=True, wet_service=False, D_in=0.25) == 0.4


@pytest.mark.parametrize("G", [0.299, 0.751])
@pytest.mark.parametrize(
    "function",
    [
        bearing.F_e_small_psi,
        bearing.F_e_parallel_psi,
        lambda G: bearing.F_e_perpendicular_psi(G, 0.5),
        lambda G: penetration.W_nail_lb_per_in(G, 0.162),
    ],
)
def test_specific_gravity_has_limits(function, G):
    with pytest.raises(RangeError, match=r"^G must be between 0.3 and 0.75"):
        function(G)


@pytest.mark.parametrize("G", [0.3, 0.75])
def test_limits_of_specific_gravity_are_within(G):
    values = (
        bearing.F_e_small_psi(G),
        bearing.F_e_parallel_psi(G),
        bearing.F_e_perpendicular_psi(G, 1.0),
    )
    assert min(values) > 1000
    assert penetration.W_nail_lb_per_in(G, 0.162) == pytest.approx(
        1380 * G**2 * math.sqrt(G) * 0.162
    )


@pytest.mark.parametrize("D", [0.249, 1.01])
def test_bearing_across_the_grain_is_for_quarter_inch_to_one_inch(D):
    with pytest.raises(RangeError, match=r"^D_in must be between 0.25 and 1.0"):
        bearing.F_e_perpendicular_psi(0.5, D)


@pytest.mark.parametrize("D", [0.0985, 0.376])
def test_nails_outside_table_i1(D):
    with pytest.raises(RangeError, match=r"^D_in must be between 0.099 and 0.375"):
        bearing.F_yb_nail_psi(D)


@pytest.mark.parametrize(
    ("p", "factor"), [(0.971, 0.0), (0.972, 0.6), (1.296, 0.8), (1.62, 1.0), (2.0, 1.0)]
)
def test_penetration_factor_of_16d_common(p, factor):
    """6 D is 0.972 in, 10 D 1.62 in."""
    assert penetration.penetration_factor(p, 0.162) == pytest.approx(factor)


def test_bearing_length_counts_the_point_from_ten_diameters():
    """D 0.162, point 2 D = 0.324: full at 1.62 in, less half a point below."""
    assert penetration.l_m_nail_in(1.62, 0.162, 0.324) == 1.62
    assert penetration.l_m_nail_in(1.61, 0.162, 0.324) == pytest.approx(1.448)
    with pytest.raises(RangeError, match=r"^p_in must be between 0.97"):
        penetration.l_m_nail_in(0.97, 0.162, 0.324)
    with pytest.raises(RangeError, match=r"^E_in must be between"):
        penetration.l_m_nail_in(1.0, 0.162, 1.1)


@pytest.mark.parametrize(
    ("t", "D", "beyond", "counts"),
    [
        (0.375, 0.148, 0.444, True),
        (0.374, 0.148, 0.5, False),
        (0.5, 0.162, 0.6, False),
        (0.5, 0.148, 0.443, False),
    ],
)
def test_clinched_nails_in_double_shear(t, D, beyond, counts):
    assert penetration.clinched_counts_in_double_shear(t, D, beyond) is counts


def test_factors_that_are_single_numbers():
    """NDS 12.5.2.2, 12.5.3, 12.5.4.1, 12.5.4.2 and Table 11.3.1; value from memory."""
    found = (adjustment.C_EG, adjustment.C_DI, adjustment.C_TN_LATERAL, adjustment.C_TN_WITHDRAWAL)
    assert found == (0.67, 1.1, 0.83, 0.67)
    assert (adjustment.K_F_CONNECTION, adjustment.PHI_CONNECTION) == (3.32, 0.65)
    assert adjustment.Z_adjusted_lb(120.0, C_D=1.15, C_M=0.7) == pytest.approx(96.6)


def test_reduction_term_wants_an_angle_of_at_most_a_right_one():
    assert yield_modes.K_theta(math.pi / 2) == pytest.approx(1.25)
    with pytest.raises(RangeError, match=r"^theta must be between 0.0"):
        yield_modes.K_theta(1.6)
    with pytest.raises(RangeError, match=r"^theta must be between 0.0"):
        yield_modes.K_theta(-0.1)


def test_screw_limits_of_8_7_2():
    good = screws.F_ax_Rk_screw(12.0, 6.0, 36.0, 350.0, 350.0, math.radians(30))
    assert good == pytest.approx(12 * 6 * 36 / (1.2 * 0.75 + 0.25))
    with pytest.raises(RangeError, match=r"^l_ef must be between"):
        screws.F_ax_Rk_screw(12.0, 6.0, 35.9, 350.0, 350.0, math.pi / 2)
    with pytest.raises(RangeError, match=r"^alpha must be between"):
        screws.F_ax_Rk_screw(12.0, 6.0, 36.0, 350.0, 350.0, math.radians(29))
    with pytest.raises(RangeError, match=r"^alpha must be between"):
        screws.F_ax_Rk_screw(12.0, 6.0, 36.0, 350.0, 350.0, math.radians(91))
    assert screws.screw_counts_as_bolt(6.01)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: embedment.f_h_k_nail(8.1, 350, predrilled=True),
            r"^d must be between 0.0 and 8.0",
        ),
        (lambda: embedment.f_h_0_k(30.1, 350), r"^d must be between 0.0 and 30.0"),
        (lambda: embedment.k_90(30.1), r"^d must be between 0.0 and 30.0"),
        (lambda: embedment.k_90(12, "pine"), r"^wood must be one of 'softwood'"),
        (lambda: nailing.a_4_min_split_prone(4.0, 500.1), r"^rho_k above 500 kg/m3"),
        (lambda: yield_moment.M_y_Rk_bolt(30.1, 400), r"^d must be between 0.0 and 30.0"),
        (lambda: yield_moment.M_y_Rk_nail(8.1, 600), r"^d must be between 0.0 and 8.0"),
        (lambda: bolting.net_depth_ratio(100, 13, 8), r"^holes must be between 0 and 7.69"),
        (lambda: group.n_ef_nails(3, 1.01), r"^k_ef must be between 0.0 and 1.0"),
        (lambda: splitting.F_90_Rk(38, 200, 120, 0.99), r"^w must be between 1.0"),
    ],
)
def test_limits_of_en_1995(call, message):
    with pytest.raises(RangeError, match=message):
        call()


def test_limits_of_en_1995_are_within():
    assert nailing.a_4_min_split_prone(4.0, 500.0) == 56.0
    assert embedment.f_h_0_k(30.0, 350.0) == pytest.approx(0.082 * 0.7 * 350)
    nail = embedment.f_h_k(8.01, 350.0, math.pi / 2, bolt=False, predrilled=False)
    assert nail == pytest.approx(embedment.f_h_alpha_k(8.01, 350.0, math.pi / 2))


def test_the_thin_fasteners_term_is_not_for_bolts():
    assert yield_modes.K_D(0.25) == pytest.approx(3.0)
    with pytest.raises(RangeError, match=r"^D_in must be between 0.0 and 0.25"):
        yield_modes.K_D(0.26)
