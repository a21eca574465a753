"""Shear at a connection and load over a bearing, NDS 2018, worked by hand (clauses from memory)."""

from __future__ import annotations

import pytest

from girderply.standards.nds_2018.shear_and_bearing import C_b, P_perp_lb, V_r_lb


def test_shear_at_a_connection_counts_the_depth_beyond_the_fasteners():
    """2/3 x 175 x 1.5 x 6.5 = 1137.5 lb, from 5 d = 46.25 in of the end on [3.4.3.3(b)]."""
    assert V_r_lb(175, 1.5, 9.25, 6.5, 60) == pytest.approx(1137.5)
    assert V_r_lb(175, 1.5, 9.25, 6.5, 46.25) == pytest.approx(1137.5)


def test_nearer_to_an_end_the_depth_counts_twice_more():
    """1137.5 x (6.5 / 9.25)^2 = 561.69 lb [3.4.3.3(a)]."""
    assert V_r_lb(175, 1.5, 9.25, 6.5, 40) == pytest.approx(561.69, abs=5e-3)


def test_load_over_a_bearing():
    """565 x 1.5 x 3.5 = 2966.25 lb; off an end x 3.875 / 3.5 = 3284.06 lb [3.10.2, 3.10.4]."""
    assert P_perp_lb(565, 1.5, 3.5, C_b(3.5, 1)) == pytest.approx(2966.25)
    assert P_perp_lb(565, 1.5, 3.5, C_b(3.5, 6)) == pytest.approx(3284.06, abs=5e-3)
