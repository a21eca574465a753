"""The factors 1.05 and 1.15 of EN 1995-1-1, 8.2.2 are credited to the stack as far as its mode."""

from __future__ import annotations

import numpy as np
from interface_shears import one_face_pattern

from girderply.bases.dowel.mechanisms import Factors
from girderply.bases.dowel.stack import Stack, limit
from girderply.bases.dowel.through import in_stack
from girderply.bases.en1995.planes import FACTORS
from girderply.wording import english

CREDIT = {**dict.fromkeys("abc", 1.0), **dict.fromkeys("de", 1.05), "f": 1.15}


def test_no_interface_takes_more_over_the_plastic_limit_than_its_own_mode():
    """Against the bare limit of the whole fastener, found by another search."""
    rng = np.random.default_rng(41)
    spared = 0
    for _ in range(100):
        plies = int(rng.integers(3, 6))
        t = tuple(np.exp(rng.uniform(np.log(8.0), np.log(60.0), plies)))
        q = float(np.exp(rng.uniform(np.log(40.0), np.log(500.0))))
        stack = Stack(t, (q,) * plies, float(np.exp(rng.uniform(np.log(5e3), np.log(3e5)))))
        pattern = one_face_pattern(plies)
        bare = limit(stack, pattern).multiplier
        for one, s in zip(in_stack(stack, pattern, False, FACTORS), pattern, strict=True):
            credit = CREDIT[one.single.letter]
            assert one.share * one.alone <= credit * bare * abs(s) * (1 + 1e-9)
            spared += one.spared
    assert spared > 5


def test_two_plies_alone_keep_the_value_of_the_table():
    """Mode (c) has no factor: the table's own value stands, with nothing taken off."""
    (one,) = in_stack(Stack((12.0, 10.0), (300.0, 300.0), 2e5), (1.0,), False, FACTORS)
    assert one.single.letter in "abc"
    assert one.share == 1.0
    assert not one.spared


def test_reductions_are_no_credit():
    """Factors below 1, as NDS has them, stay as they are."""
    nds = Factors(0.25, 1 / 3.6, 1 / 3.2, 1 / 3.2)
    assert nds.credited(0.25) == nds
    assert FACTORS.credited(1.05) == Factors(1.0, 1.0, 1.05, 1.05)
    assert FACTORS.credited(0.25) == Factors(1.0, 1.0, 1.0, 1.0)


def test_a_spared_credit_is_said():
    stack = Stack((10.0, 14.0, 60.0, 60.0), (200.0,) * 4, 2e4)
    found = in_stack(stack, one_face_pattern(4), False, FACTORS)
    assert any(one.spared for one in found)
    for one in found:
        assert ("1.05 and 1.15 are taken no larger" in english(one.words())) == one.spared
