"""A short run of the fuzzer of deliveries; the long one is on demand, see register_fuzz.py."""

from __future__ import annotations

import pytest
from register_fuzz import run


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_nothing_issued_is_replaced_or_lost(seed: int) -> None:
    assert run(seed, acts=15).total() > 5
