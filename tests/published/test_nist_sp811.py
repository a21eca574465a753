"""Conversion factors of NIST Special Publication 811 (2008), appendix B.8; values from memory."""

from __future__ import annotations

import pytest

from girderply.units.pint_units import factor


@pytest.mark.parametrize(
    ("unit", "dimension", "printed", "exact"),
    [
        ("in", "length", 25.4, True),
        ("ft", "length", 304.8, True),
        ("lbf", "force", 4.448222, False),
        ("kip", "force", 4448.222, False),
        ("lb", "mass", 0.4535924, False),
        ("oz", "mass", 0.02834952, False),
        ("psi", "stress", 6.894757e-3, False),
        ("ksi", "stress", 6.894757, False),
        ("deg", "angle", 0.01745329, False),
    ],
)
def test_factor_is_the_printed_one(unit, dimension, printed, exact):
    # Seven digits are printed; half a unit of the last is at most 5e-7 of the value.
    tolerance = 1e-14 if exact else 5e-7
    assert factor(unit, dimension) == pytest.approx(printed, rel=tolerance)
