"""A short run of the inspection fuzzer; the long one is on demand."""

from __future__ import annotations

import random

import pytest
from fuzz_inspection import wrong
from inspection_oracle import most_shear

from girderply.inspection.gap import single_shear

FOUND = {
    172: "what was added decided whether the design holds within the tolerance",
    1000: "a bolt that was added and the one before it were taken as a row with no spacing",
    239: "the place of a missing bolt moved with its row, onto a plate",
}


@pytest.mark.parametrize("seed", FOUND)
def test_what_is_judged_good_is_good_by_a_second_engine(seed):
    verdict, said = wrong(seed)
    assert said == []
    assert verdict in ("accepted", "add", "partial", "engineer")


def test_over_a_gap_a_dowel_carries_what_equilibrium_alone_finds():
    """The closed forms of the gap against forces found by halving."""
    dice = random.Random(5)
    for _ in range(60):
        q, M = dice.uniform(20, 200), dice.uniform(2e3, 2e5)
        lengths = dice.uniform(20, 60), dice.uniform(20, 60)
        for gap in (0.0, 1.0, 3.0):
            alone = most_shear(q, M, lengths, gap)
            assert single_shear(q, M, lengths, gap) == pytest.approx(alone, rel=1e-6)
