"""TräGuiden (Svenskt Trä), bearing capacity of single-shear bolted joints, timber to timber.

Two tables, force along and across the grain, updated 2019-10-01, read at
https://www.traguiden.se/konstruktion/dimensionering/hallfasthet-och-barformaga/barformaga/
(barformaga-for-enskariga/ and barformaga-for-enskariga-skruvforband-tra-mot-tra/): bolts 4.6
(400 N/mm2), C24, medium duration, service class 1 and 2; design values in kN and the mode's
letter by EN 1995-1-1, 8.2.2. What rope effect the values hold is not stated.
"""

import math

import pytest

from girderply.standards.en1995_1_1_2014 import design_values as basis
from girderply.standards.en1995_1_1_2014 import embedment, johansen, yield_moment

SIZES = (8, 10, 12, 16, 20)
ALONG = {
    25: "1.8c 2.1c 2.5c 3.1c 3.6c",
    34: "2.4c 2.9c 3.4c 4.2c 5.0c",
    42: "3.0c 3.6c 4.1c 5.2c 6.1c",
    45: "3.2f 3.8c 4.4c 5.5c 6.5c",
    56: "3.3f 4.6f 5.5c 6.9c 8.1c",
    66: "3.5f 4.8f 6.2f 8.1c 9.5c",
    70: "3.6f 4.8f 6.3f 8.6c 10.1c",
    78: "3.7f 5.0f 6.4f 9.5c 11.2c",
    90: "3.9f 5.2f 6.7f 10.0f 12.9c",
    95: "3.9f 5.3f 6.8f 10.1f 13.6c",
    100: "4.0f 5.4f 6.8f 10.3f 14.2f",
}
ACROSS = {
    25: "1.4c 1.7c 1.9c 2.3c 2.6c",
    34: "1.9c 2.3c 2.6c 3.1c 3.6c",
    42: "2.4c 2.8c 3.2c 3.9c 4.4c",
    45: "2.5c 3.0c 3.4c 4.1c 4.7c",
    56: "3.0f 3.7c 4.2c 5.1c 5.8c",
    66: "3.1f 4.2f 5.0c 6.0c 6.9c",
    70: "3.2f 4.3f 5.2c 6.4c 7.3c",
    78: "3.3f 4.4f 5.6f 7.1c 8.1c",
    90: "3.5f 4.6f 5.9f 8.1c 9.3c",
    95: "3.6f 4.7f 6.0f 8.6c 9.8c",
    100: "3.7f 4.8f 6.1f 8.9f 10.3c",
}
CELLS = [
    (direction, t, d, float(cell[:-1]), cell[-1])
    for direction, table in (("along", ALONG), ("across", ACROSS))
    for t, row in table.items()
    for d, cell in zip(SIZES, row.split(), strict=True)
]
# Modes (c), (d), (f) lie within 1.5 % of one another here, so that the unstated rope effect
# decides, and the page's letter is not the one of the Johansen parts.
TIED = [("across", 100, 16)]


def _modes(direction, t, d):
    alpha = 0.0 if direction == "along" else math.pi / 2
    f_h = embedment.f_h_alpha_k(d, 350.0, alpha)
    return johansen.single_shear(t, t, f_h, f_h, d, yield_moment.M_y_Rk_bolt(d, 400.0))


@pytest.mark.parametrize(("direction", "t", "d", "value", "mode"), CELLS)
def test_governing_mode_of_every_cell(direction, t, d, value, mode):
    johansen_parts = _modes(direction, t, d)
    if (direction, t, d) in TIED:
        three = [johansen_parts[m] for m in "cdf"]
        assert max(three) / min(three) < 1.02
        return
    resistance = johansen.with_rope(johansen_parts)
    assert resistance.governing == mode
    assert basis.R_d(resistance.F_v_Rk, 0.8, 1.3) / 1000 < value  # it holds some rope effect


@pytest.mark.parametrize("t", [25, 34, 42, 45, 56, 66, 70])
def test_m16_along_the_grain_is_the_tilting_mode_with_rope_effect_at_its_limit(t):
    """M16 along the grain in mode (c) reads as 1.25 times the Johansen part.

    Tolerance: half a unit of the last digit. The other sizes hold rope effects that the page
    does not explain, up to 1.9 times the Johansen part (M8, 100 mm, across).
    """
    printed = float(ALONG[t].split()[3][:-1])
    modes = johansen.with_rope(_modes("along", t, 16), F_ax_Rk=1e6, limit=0.25)
    assert modes.governing == "c"
    assert basis.R_d(modes.F_v_Rk, 0.8, 1.3) / 1000 == pytest.approx(printed, abs=0.05)
