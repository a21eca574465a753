"""Nominal sizes of planks of inches."""

from __future__ import annotations

import pytest

from girderply.catalogue.csv_files import table
from girderply.catalogue.nominal import nominal_size


@pytest.mark.parametrize(
    ("thickness", "depth", "name"),
    [
        # [NDS Supplement, Table 1A; value from memory], typed again
        (1.5, 3.5, "2x4"),
        (1.5, 5.5, "2x6"),
        (1.5, 7.25, "2x8"),
        (1.5, 9.25, "2x10"),
        (1.5, 11.25, "2x12"),
        (3.5, 7.25, "4x8"),
        (1.75, 7.25, None),
        (1.5, 7.5, None),
    ],
)
def test_a_plank_is_called_by_its_nominal_size(thickness, depth, name):
    assert nominal_size(25.4 * thickness, 25.4 * depth) == name


def test_a_plank_measures_less_than_it_is_called():
    rows = [(float(r["nominal"]), float(r["actual_in"])) for r in table("timber_nominal_inch").rows]
    assert rows == sorted(rows)
    assert all(0.2 < nominal - actual <= 0.75 for nominal, actual in rows)
