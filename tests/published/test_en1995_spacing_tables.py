"""EN 1995-1-1, Table 8.2 (nails) and Table 8.4 (bolts), typed again independently of the files.

Table 8.2: value from memory; the same expressions read in LVL Handbook Europe 2025, Table 5.1.
Table 8.4: value from memory; the rows for M8 to M24 read in a public wiki of timber design
(MassTimber-wiki, "Randafstanden", by EC5 Table 8.4); a_3_c, a_4_t, a_4_c read in LVL Handbook
Europe 2025, Table 5.3.
"""

import math

import pytest

from girderply.standards.en1995_1_1_2014 import spacing

ALONG, ACROSS, ASLANT = 0.0, math.pi / 2, math.radians(30)  # sin 0.5, cos 0.8660


def _nail(d, alpha, rho_k, predrilled):
    x = spacing.nail_distances(d, alpha, rho_k, predrilled=predrilled)
    return tuple(v / d for v in (x.a_1, x.a_2, x.a_3_t, x.a_3_c, x.a_4_t, x.a_4_c))


@pytest.mark.parametrize(
    ("d", "rho_k", "predrilled", "alpha", "multiples"),
    [
        (4.0, 350, False, ALONG, (10, 5, 15, 10, 5, 5)),
        (4.0, 350, False, ACROSS, (5, 5, 10, 10, 7, 5)),
        (4.0, 420, False, ASLANT, (9.3301, 5, 14.3301, 10, 6, 5)),
        (5.0, 420, False, ALONG, (12, 5, 15, 10, 5, 5)),
        (5.0, 350, False, ACROSS, (5, 5, 10, 10, 10, 5)),
        (4.0, 421, False, ALONG, (15, 7, 20, 15, 7, 7)),
        (4.0, 500, False, ACROSS, (7, 7, 15, 15, 9, 7)),
        (5.0, 480, False, ACROSS, (7, 7, 15, 15, 12, 7)),
        (4.0, 350, True, ALONG, (5, 3, 12, 7, 3, 3)),
        (4.0, 700, True, ACROSS, (4, 4, 7, 7, 5, 3)),
        (5.0, 350, True, ACROSS, (4, 4, 7, 7, 7, 3)),
        (6.0, 350, True, ASLANT, (4.8660, 3.5, 11.3301, 7, 5, 3)),
    ],
)
def test_table_8_2_in_multiples_of_d(d, rho_k, predrilled, alpha, multiples):
    assert _nail(d, alpha, rho_k, predrilled) == pytest.approx(multiples, abs=5e-5)


def test_dense_timber_is_not_nailed_undrilled():
    with pytest.raises(ValueError, match=r"rho_k above 500 kg/m3 needs predrilling, not 501"):
        spacing.a_1_nail(4.0, 0.0, 501, predrilled=False)


@pytest.mark.parametrize(
    ("d", "row"),
    [
        (8, (40, 32, 80, 32, 32, 24)),
        (12, (60, 48, 84, 48, 48, 36)),
        (16, (80, 64, 112, 64, 64, 48)),
        (20, (100, 80, 140, 80, 80, 60)),
        (24, (120, 96, 168, 96, 96, 72)),
    ],
)
def test_table_8_4_as_the_wiki_lists_it(d, row):
    """The wiki's row takes a_1, a_2, a_3_t, a_3_c along the grain and a_4 across it."""
    along, across = spacing.bolt_distances(d, ALONG), spacing.bolt_distances(d, ACROSS)
    found = (along.a_1, along.a_2, along.a_3_t, along.a_3_c, across.a_4_t, across.a_4_c)
    assert found == pytest.approx(row)


@pytest.mark.parametrize(
    ("alpha_deg", "a_3_c"),
    [(90, 7.0), (120, 6.1962), (150, 4.0), (165, 4.0), (180, 4.0), (240, 6.1962)],
)
def test_unloaded_end_of_bolts_by_the_angle(alpha_deg, a_3_c):
    """(1 + 6 |sin|) d between 90 and 150 and between 210 and 270 degrees, 4 d between."""
    found = spacing.a_3_c_bolt(12.0, math.radians(alpha_deg)) / 12.0
    assert found == pytest.approx(a_3_c, abs=5e-5)


@pytest.mark.parametrize(("alpha", "a_1", "a_4_t"), [(ACROSS, 48, 48), (ASLANT, 58.392, 36)])
def test_bolts_at_an_angle(alpha, a_1, a_4_t):
    """M12: (4 + |cos|) d; max((2 + 2 sin) d, 3 d)."""
    x = spacing.bolt_distances(12.0, alpha)
    assert (x.a_1, x.a_4_t) == pytest.approx((a_1, a_4_t), abs=5e-4)


def test_loaded_end_of_a_thin_bolt_is_80_mm_at_least():
    assert spacing.a_3_t_bolt(10.0, 0.0) == 80.0
    assert spacing.a_3_t_bolt(12.0, 0.0) == 84.0
