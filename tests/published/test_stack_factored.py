"""Mechanisms with the standards' factors against the factored modes of both standards.

Sources: EN 1995-1-1:2004, Eq. (8.6) with 1.05 and 1.15; NDS 2018, Tables 12.3.1A and B (equations
from interface_shears import one_face_pattern
from memory, each checked by its own tests against published values). Tolerance: round-off.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from interface_shears import one_face_pattern

from girderply.bases.dowel.mechanisms import BARE, Factors, factored_limit
from girderply.bases.dowel.stack import Stack, limit
from girderply.bases.en1995.planes import FACTORS
from girderply.standards.en1995_1_1_2014.johansen import double_shear, single_shear
from girderply.standards.nds_2018.yield_modes import (
    R_d,
    reference_Z_lb,
    yield_loads_double_lb,
    yield_loads_single_lb,
)


def _draws(count: int, seed: int):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        d = rng.uniform(2.5, 24.0)
        t_1, t_2 = d * np.exp(rng.uniform(np.log(1.5), np.log(14.0), 2))
        f_1, f_2 = rng.uniform(6.0, 45.0, 2)
        yield d, t_1, t_2, f_1, f_2, 0.3 * rng.uniform(240.0, 900.0) * d**2.6


def test_two_plies_are_the_table_of_eurocode_with_its_factors():
    seen = set()
    for d, t_1, t_2, f_1, f_2, M_y in _draws(1500, 30):
        modes = single_shear(t_1, t_2, f_1, f_2, d, M_y)
        letter = min(modes, key=modes.__getitem__)
        got = factored_limit(Stack((t_1, t_2), (f_1 * d, f_2 * d), M_y), (1.0,), FACTORS)
        assert got.multiplier == pytest.approx(modes[letter], rel=1e-11)
        assert got.mechanism.letter == letter
        seen.add(letter)
    assert seen == set("abcdef")


def test_symmetric_three_plies_are_the_double_shear_table_of_eurocode():
    for d, t_1, t_2, f_1, f_2, M_y in _draws(1500, 31):
        least = min(double_shear(t_1, t_2, f_1, f_2, d, M_y).values())
        stack = Stack((t_1, t_2, t_1), (f_1 * d, f_2 * d, f_1 * d), M_y)
        got = factored_limit(stack, (1.0, -1.0), FACTORS).multiplier
        assert got == pytest.approx(least, rel=1e-11)


@pytest.mark.parametrize("theta", [0.0, math.radians(64.0), math.pi / 2])
def test_two_plies_are_the_table_of_nds_with_its_reduction_terms(theta):
    """M_y = F_yb D^3 / 6; all in pounds and inches."""
    rng = np.random.default_rng(32)
    seen = set()
    for _ in range(600):
        D = float(rng.uniform(0.25, 1.0))
        l_s, l_m = D * np.exp(rng.uniform(np.log(1.5), np.log(14.0), 2))
        F_es, F_em = rng.uniform(1500.0, 6000.0, 2)
        F_yb = float(rng.uniform(3e4, 1e5))
        loads = yield_loads_single_lb(D, l_m, l_s, F_em, F_es, F_yb)
        reference = reference_Z_lb(loads, D, theta)
        factors = Factors(*(1 / R_d(m, D, theta) for m in ("Im", "II", "IIIm", "IV")))
        stack = Stack((l_s, l_m), (F_es * D, F_em * D), F_yb * D**3 / 6)
        got = factored_limit(stack, (1.0,), factors)
        assert got.multiplier == pytest.approx(reference.Z_lb, rel=1e-11)
        seen.add(reference.governing)
    assert {"II", "IIIm", "IIIs", "IV"} <= seen


def test_symmetric_three_plies_are_the_double_shear_table_of_nds():
    """Two planes together, so the pattern of one plane is half the load."""
    D, F_yb, theta = 0.5, 45000.0, 0.0
    loads = yield_loads_double_lb(D, 1.5, 1.25, 5500.0, 4700.0, F_yb)
    factors = Factors(*(1 / R_d(m, D, theta) for m in ("Im", "II", "IIIm", "IV")))
    stack = Stack((1.25, 1.5, 1.25), (4700 * D, 5500 * D, 4700 * D), F_yb * D**3 / 6)
    got = factored_limit(stack, (0.5, -0.5), factors).multiplier
    assert got == pytest.approx(reference_Z_lb(loads, D, theta).Z_lb, rel=1e-11)


@pytest.mark.parametrize("plies", [2, 3, 4, 6])
def test_without_factors_all_mechanisms_give_the_bare_limit(plies):
    """Two searches: Newton along the carried bounds, and every pair by itself."""
    rng = np.random.default_rng(plies)
    for _ in range(150):
        t = tuple(np.exp(rng.uniform(np.log(5.0), np.log(120.0), plies)))
        q = tuple(np.exp(rng.uniform(np.log(20.0), np.log(600.0), plies)))
        stack = Stack(t, q, float(np.exp(rng.uniform(np.log(2e3), np.log(4e5)))))
        pattern = one_face_pattern(plies)
        bare = limit(stack, pattern).multiplier
        assert factored_limit(stack, pattern, BARE).multiplier == pytest.approx(bare, rel=1e-11)
        factored = factored_limit(stack, pattern, FACTORS).multiplier
        assert bare * (1 - 1e-12) <= factored <= 1.15 * bare * (1 + 1e-12)
