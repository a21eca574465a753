"""The stack's limit analysis against the closed-form modes of EN 1995-1-1, 8.2.2, and design facts.

Sources: EN 1995-1-1:2004, Eq. (8.6) and (8.7) without the factors 1.05 and 1.15 and without rope
effect (the equations themselves are from memory, and checked by their own tests against the
published example used again here). The tolerance of the sweep is round-off of two different
routes through double precision.
"""

from __future__ import annotations

import numpy as np
import pytest
from interface_shears import one_face_pattern

from girderply.bases.dowel.stack import Stack, limit
from girderply.standards.en1995_1_1_2014.johansen import double_shear, single_shear


def _draws(count: int, seed: int):
    """Thickness 1.5 d to 14 d, unequal embedment 6 to 45 N/mm2, steel 240 to 900 N/mm2."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        d = rng.uniform(2.5, 24.0)
        t_1, t_2 = d * np.exp(rng.uniform(np.log(1.5), np.log(14.0), 2))
        f_1, f_2 = rng.uniform(6.0, 45.0, 2)
        yield d, t_1, t_2, f_1, f_2, 0.3 * rng.uniform(240.0, 900.0) * d**2.6


def test_two_plies_are_the_six_single_shear_modes():
    seen = set()
    for d, t_1, t_2, f_1, f_2, M_y in _draws(3000, 20):
        modes = single_shear(t_1, t_2, f_1, f_2, d, M_y, factored=False)
        letter = min(modes, key=modes.__getitem__)
        got = limit(Stack((t_1, t_2), (f_1 * d, f_2 * d), M_y), (1.0,))
        assert got.multiplier == pytest.approx(modes[letter], rel=1e-10)
        runner_up = sorted(modes.values())[1]
        if runner_up > modes[letter] * (1 + 1e-9):
            assert got.mechanism.letter == letter
        seen.add(letter)
    assert seen == set("abcdef")


def test_middle_ply_against_two_alike_is_the_four_double_shear_modes():
    seen = set()
    for d, t_1, t_2, f_1, f_2, M_y in _draws(3000, 21):
        modes = double_shear(t_1, t_2, f_1, f_2, d, M_y, factored=False)
        letter = min(modes, key=modes.__getitem__)
        stack = Stack((t_1, t_2, t_1), (f_1 * d, f_2 * d, f_1 * d), M_y)
        assert limit(stack, (1.0, -1.0)).multiplier == pytest.approx(modes[letter], rel=1e-10)
        seen.add(letter)
    assert seen == set("ghjk")


def test_handbook_nail_in_ledger():
    """LVL Handbook Europe 2025, ch. 9, p. 204-205: nail 3.1 x 90, 51 mm on 39 mm of point.

    Printed: f_h 28.0 and 23.9, M_y 3410, mode (f) 0.85 kN with the factor 1.15. Tolerance: half a
    unit of the last digit printed, 0.005 kN, taken back through the factor.
    """
    d = 3.1
    got = limit(Stack((51.0, 39.0), (28.0 * d, 23.9 * d), 3410.0), (1.0,))
    assert got.mechanism.letter == "f"
    assert 1.15 * got.multiplier == pytest.approx(850.0, abs=5.0)


def _bolt(size: float, t: float, plies: int, f_u: float = 400.0, rho: float = 350.0) -> Stack:
    """Grade 4.6 by default; EN 1995-1-1 Eq. (8.32) along the grain and (8.30), from memory."""
    q = 0.082 * (1 - 0.01 * size) * rho * size
    return Stack((t,) * plies, (q,) * plies, 0.3 * f_u * size**2.6)


def test_double_shear_value_is_11_percent_unsafe_for_m16_in_three_plies_of_45():
    """Design note, section 7: "up to 11 % unsafe (M16 in three 45 mm plies)"."""
    stack = _bolt(16, 45.0, 3)
    per_plane = limit(stack, (1.0, -1.0)).multiplier
    first = limit(stack, one_face_pattern(3)).shears[0]
    assert per_plane / first == pytest.approx(1.11, abs=0.005)


def test_single_shear_value_is_2_percent_unsafe_for_six_plies_of_38():
    """Design note, section 7: "2 % unsafe at six plies of 38 mm"; here an M12 of grade 4.6."""
    stack = _bolt(12, 38.0, 6)
    single = limit(stack.pair(1), (1.0,)).multiplier
    first = limit(stack, one_face_pattern(6)).shears[0]
    assert single / first == pytest.approx(1.02, abs=0.005)
    assert limit(_bolt(12, 38.0, 2), (1.0,)).multiplier == pytest.approx(single)
