"""Screws by their declared values: by hand, against nails and bolts, and against limit analysis.

d_ef (1.1 times the root, or d where the smooth shank is 4 d deep at the point), the 6 d of thread
and which rules hold are read second-hand in J. Porteous, A. Kermani, Structural Timber Design to
Eurocode 5, on pages of eurocode.us; the clauses of EN 1995-1-1, 8.7, themselves from memory.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from girderply.bases.combining import Combination, terms_of
from girderply.bases.crossing import Crossing, Placed
from girderply.bases.dowel.stack import Stack
from girderply.bases.dowel.through import in_stack
from girderply.bases.en1995.planes import FACTORS, Eurocode
from girderply.bases.en1995.shanks import screw_axial, screw_shank
from girderply.bases.registry import spec_of
from girderply.catalogue import timber
from girderply.catalogue.catalogue_types import Nail, Screw

MEDIUM = Combination("PV", terms_of(1.35, 1.5, 0.0, 0.0), "medium", 0.8, "test")
ACROSS = math.pi / 2
# Invented values.
THIN = Screw(
    "5 x 80", 5.0, 80.0, 9.6, 895.0, "other", thread=50.0, d_root=3.2, d_shank=3.6, M_y=5400.0,
    f_ax=12.0, f_head=11.0, rho_a=350.0, tension=7200.0, source="demo",
)  # fmt: skip
THICK = replace(THIN, key="8 x 120", d=8.0, length=120.0, head=15.0, thread=60.0, d_root=5.6,
                d_shank=8.0, M_y=20000.0, drill=5.6)  # fmt: skip


def standard(*screws: Screw, thickness: float = 45.0, **basis: object) -> Eurocode:
    nails: dict[str, Nail] = {s.key: s for s in screws}
    return Eurocode(spec_of(**basis), timber("C24"), thickness, nails, {})  # type: ignore[arg-type]


def test_one_plane_by_hand():
    """Two plies of 45 mm of C24, screw 5 x 80 with 35 mm in the second, not drilled, medium term.

    d_ef = 1.1 x 3.2 = 3.52; f_h = 0.082 x 350 x 3.52^-0.3: ln 3.52 = 1.25846, x -0.3 = -0.37754,
    e^ = 0.68555, so 28.7 x 0.68555 = 19.675 N/mm2.
    Mode (f): sqrt(2 x 5400 x 19.675 x 3.52) = sqrt(747 965) = 864.85; x 1.15 = 994.6 N. (e) with
    t = 35: 1.05 x 19.675 x 35 x 3.52 / 3 x (sqrt(4 + 12 x 5400 / (19.675 x 3.52 x 1225)) - 1)
    = 848.38 x (sqrt(4 + 0.76382) - 1) = 848.38 x 1.18262 = 1003.3 N, so (f) governs.
    Withdrawal 12 x 5 x 35 = 2100, head 11 x 9.6^2 = 1013.8, steel 7200: 1013.8 N, a quarter of it
    253.4 N, less than the whole Johansen part (100 % for screws).
    F_v,Rk = 994.6 + 253.4 = 1248.0 N; x 0.8 / 1.3 = 768.0 N.
    """
    crossing = Crossing("screw", THIN.key, 1, 2, 35.0)
    (plane,) = standard(THIN).planes(crossing, ACROSS, (1.0,), MEDIUM, False)
    assert plane.inputs["d_ef"] == (pytest.approx(3.52), "mm")
    assert plane.inputs["f_h_k"][0] == pytest.approx(19.675, abs=0.002)
    assert plane.inputs["F_ax_Rk"][0] == pytest.approx(1013.8, abs=0.1)
    assert plane.inputs["F_v_Rk"][0] == pytest.approx(1248.0, abs=0.5)
    assert plane.value == pytest.approx(768.0, abs=0.3)
    assert plane.mode == "(f)"


def test_johansen_part_is_that_of_limit_analysis():
    """Without rope the plane is k_mod / gamma_M times the limit of the two plies by mechanisms."""
    no_pull = replace(THIN, head=5.0, f_head=1e-9)
    shank = screw_shank(no_pull, 350.0, ACROSS, 35.0, drilled=False)
    stack = Stack((45.0, 35.0), (shank.f_h * shank.d,) * 2, shank.M_y)
    limit = in_stack(stack, (1.0,), False, FACTORS)[0].together
    crossing = Crossing("screw", no_pull.key, 1, 2, 35.0)
    (plane,) = standard(no_pull).planes(crossing, ACROSS, (1.0,), MEDIUM, False)
    assert plane.value == pytest.approx(0.8 * limit / 1.3, rel=1e-6)


def test_as_strong_as_a_nail_of_its_effective_diameter_and_yield_moment():
    """Where nothing pulls, a screw of d_ef = 4 and M_y = 180 x 4^2.6 is a nail of 4 mm, 600."""
    screw = replace(THIN, d_root=4.0 / 1.1, M_y=0.3 * 600 * 4.0**2.6, head=5.0, f_head=1e-9)
    nail = Nail("4 x 80 ring", 4.0, 80.0, 8.0, 600.0, surface="other")
    both = Eurocode(spec_of(), timber("C24"), 45.0, {screw.key: screw, nail.key: nail}, {})
    (one,) = both.planes(Crossing("screw", screw.key, 1, 2, 35.0), ACROSS, (1.0,), MEDIUM, False)
    (two,) = both.planes(Crossing("nail", nail.key, 1, 2, 35.0), ACROSS, (1.0,), MEDIUM, False)
    assert one.value == pytest.approx(two.value, rel=1e-9)


def test_thread_at_the_point_must_be_6_d_for_any_rope():
    """6 x 5 = 30 mm: 29.9 mm of thread pull nothing, 30 mm pull 12 x 5 x 30 = 1800, head 1013.8."""
    assert screw_axial(THIN, 350.0, 29.9)[0] == 0.0
    assert screw_axial(THIN, 350.0, 30.0)[0] == pytest.approx(1013.76)
    strong_head = replace(THIN, head=14.0)
    assert screw_axial(strong_head, 350.0, 30.0)[0] == pytest.approx(1800.0)
    brittle = replace(strong_head, tension=900.0)
    assert screw_axial(brittle, 350.0, 30.0)[0] == 900.0


def test_density_of_the_declaration_counts_by_the_power_of_0_8():
    """(420 / 350)^0.8 = 1.2^0.8 = e^(0.8 x 0.182322) = 1.15704."""
    other = replace(THIN, rho_a=420.0, head=14.0)
    assert screw_axial(other, 350.0, 30.0)[0] == pytest.approx(1800.0 / 1.15704, rel=1e-5)


def test_thread_counts_only_in_the_last_ply_that_the_point_holds():
    """Three plies of 30 mm, 20 mm of point: less than 6 x 5, so the second ply is the last.

    Of 50 mm of thread 20 are beyond it: 30 mm are in it, and 12 x 5 x 30 = 1800 N.
    """
    screw = replace(THIN, head=14.0)
    crossing = Crossing("screw", screw.key, 1, 3, 20.0)
    (plane,) = standard(screw, thickness=30.0).planes(crossing, ACROSS, (1.0, 1.0), MEDIUM, False)
    assert plane.interface == 1
    assert plane.inputs["F_ax_Rk"][0] == pytest.approx(1800.0)


def test_smooth_shank_4_d_deep_at_the_point_bends_as_a_whole():
    """20 mm of 5 mm shank beyond the thread's end: d_ef = d = 5; a thinner shank never counts."""
    full = replace(THIN, d_shank=5.0)
    assert screw_shank(full, 350.0, ACROSS, 70.0, drilled=False).d == 5.0
    assert screw_shank(full, 350.0, ACROSS, 69.9, drilled=False).d == pytest.approx(3.52)
    assert screw_shank(THIN, 350.0, ACROSS, 70.0, drilled=False).d == pytest.approx(3.52)


def test_thread_beyond_the_last_ply_that_counts_holds_nothing():
    """4 x 80 through two plies of 38 mm, 4 mm into the third, where it does not count.

    Of 30 mm of thread 26 stand in ply 2: 12 x 4 x 26 = 1248 N (24 mm = 6 d are needed); with all
    30 mm it would be 1440 N. Head 30 x 9.6^2 = 2765 N and steel 7200 N hold more.
    """
    screw = replace(THIN, key="4 x 80", d=4.0, thread=30.0, d_root=2.5, d_shank=2.8, f_head=30.0)
    crossing = Crossing("screw", screw.key, 1, 3, 4.0)
    (plane,) = standard(screw, thickness=38.0).planes(crossing, ACROSS, (1.0, 0.5), MEDIUM, False)
    assert plane.interface == 1
    assert plane.inputs["F_ax_Rk"][0] == pytest.approx(1248.0)


def test_a_thick_screw_bears_as_a_bolt():
    """d_ef = 1.1 x 5.6 = 6.16 > 6: f_h,0 = 0.082 x (1 - 0.0616) x 350 = 26.932 along the grain.

    Across: k_90 = 1.35 + 0.015 x 6.16 = 1.4424, 26.932 / 1.4424 = 18.672.
    """
    along = screw_shank(THICK, 350.0, 0.0, 45.0, drilled=True)
    across = screw_shank(THICK, 350.0, ACROSS, 45.0, drilled=True)
    assert along.f_h == pytest.approx(26.932, abs=0.001)
    assert across.f_h == pytest.approx(18.672, abs=0.001)


def test_rows_along_the_grain_count_as_nails_or_as_bolts():
    """Eight at 14 d, force along the grain.

    Thin: k_ef = 1 at 14 d, so all eight count [Table 8.1, memory]. Thick: 8^0.9 x (112 / (13 x
    8))^0.25 = 6.498 x 1.01870 = 6.619 [Eq. (8.34), memory].
    """
    for screw, expected in ((THIN, 8.0), (THICK, 6.619)):
        placed = Placed(np.arange(8) * 14.0 * screw.d, np.zeros(8))
        crossing = Crossing("screw", screw.key, 1, 2, 35.0, drilled=screw.drill > 0)
        found = standard(screw).effective(crossing, placed, 0.0)
        assert found.number == pytest.approx(expected, abs=0.001)


def test_a_point_that_comes_out_pulls_nothing():
    crossing = Crossing("screw", THIN.key, 1, 2, 45.0, protrudes=True)
    (plane,) = standard(THIN).planes(crossing, ACROSS, (1.0,), MEDIUM, False)
    assert plane.inputs["F_ax_Rk"][0] == 0.0
