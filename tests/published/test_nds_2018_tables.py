"""NDS 2018, printed tables, cell by cell, with the tables' own rounding.

Nail values are printed to the pound, bolt values to 10 lb, halves up (525 prints as 530). Cells
are values from memory unless marked read; the yield equations reproduce all of them but one,
which is told apart below.
"""

import math

import pytest

from girderply.standards.nds_2018 import bearing, group_action, yield_modes

ACROSS = math.pi / 2


def _half_up(value, step):
    return math.floor(value / step + 0.5) * step


TABLE_12_3_3 = {  # G: below 1/4 in, along the grain (value from memory)
    0.67: (7950, 7500), 0.55: (5550, 6150), 0.50: (4650, 5600), 0.49: (4450, 5500),
    0.46: (4000, 5150), 0.43: (3500, 4800), 0.42: (3350, 4700), 0.37: (2650, 4150),
    0.36: (2550, 4050), 0.35: (2400, 3900),
}  # fmt: skip
TABLE_12_3_3_ACROSS = {  # G: across the grain for 1/2, 5/8, 3/4, 7/8, 1 in (value from memory)
    0.55: (3650, 3250, 2950, 2750, 2550),
    0.50: (3150, 2800, 2600, 2400, 2250),
    0.43: (2550, 2250, 2050, 1900, 1800),
    0.42: (2450, 2200, 2000, 1850, 1750),
}
DIAMETERS = (0.5, 0.625, 0.75, 0.875, 1.0)


@pytest.mark.parametrize("G", TABLE_12_3_3)
def test_table_12_3_3_small_and_along(G):
    assert (bearing.F_e_small_psi(G), bearing.F_e_parallel_psi(G)) == TABLE_12_3_3[G]


@pytest.mark.parametrize("G", TABLE_12_3_3_ACROSS)
def test_table_12_3_3_across(G):
    found = tuple(bearing.F_e_perpendicular_psi(G, D) for D in DIAMETERS)
    assert found == TABLE_12_3_3_ACROSS[G]


# Table 12N, side member 1-1/2 in, common nails: D -> G -> lb. Read: 141 (0.162, G 0.50), 128
# (0.148, species inferred), 185 (0.192, 20d, species inferred: the same G as the 128).
TABLE_12N = {
    0.131: {0.55: 106, 0.50: 97, 0.43: 84, 0.42: 82},
    0.148: {0.67: 154, 0.55: 128, 0.50: 118, 0.49: 115, 0.46: 109, 0.43: 102, 0.42: 100},
    0.162: {0.67: 184, 0.55: 154, 0.50: 141, 0.49: 138, 0.46: 131, 0.43: 122, 0.42: 120},
    0.192: {0.55: 185},
    0.207: {0.67: 243, 0.55: 203, 0.50: 186, 0.49: 182, 0.46: 172, 0.43: 161, 0.42: 158},
}
NAILS = [(D, G, Z) for D, row in TABLE_12N.items() for G, Z in row.items()]


@pytest.mark.parametrize(("D", "G", "Z"), NAILS)
def test_table_12n_nails_to_the_pound(D, G, Z):
    F_e = bearing.F_e_psi(G, D, 0.0)
    loads = yield_modes.yield_loads_single_lb(D, 10 * D, 1.5, F_e, F_e, bearing.F_yb_nail_psi(D))
    assert _half_up(yield_modes.reference_Z_lb(loads, D, 0.0).Z_lb, 1) == Z


# Table 12A, 1-1/2 in to 1-1/2 in: G -> per diameter (Z par, Zs perp, Zm perp, Z perp).
TABLE_12A = {
    0.55: [(530, 330, 330, 250), (660, 400, 400, 280), (800, 460, 460, 310), (930, 520, 520, 330),
           (1060, 580, 580, 350)],
    0.50: [(480, 300, 300, 220), (600, 360, 360, 240), (720, 420, 420, 270), (850, 470, 470, 290),
           (970, 530, 530, 310)],
    0.49: [(470, 290, 290, 210), (590, 350, 350, 240), (710, 400, 400, 260), (830, 460, 460, 280),
           (950, 510, 510, 300)],
}  # fmt: skip
BOLTS = [
    (G, D, cells) for G, rows in TABLE_12A.items() for D, cells in zip(DIAMETERS, rows, strict=True)
]


def _directions(G, D):
    along, across = bearing.F_e_psi(G, D, 0.0), bearing.F_e_psi(G, D, ACROSS)
    return ((along, along, 0.0), (along, across, ACROSS), (across, along, ACROSS),
            (across, across, ACROSS))  # fmt: skip


@pytest.mark.parametrize(("G", "D", "cells"), BOLTS)
def test_table_12a_bolts_in_single_shear(G, D, cells):
    found = []
    for F_em, F_es, theta in _directions(G, D):
        loads = yield_modes.yield_loads_single_lb(D, 1.5, 1.5, F_em, F_es, bearing.F_YB_BOLT_PSI)
        found.append(_half_up(yield_modes.reference_Z_lb(loads, D, theta).Z_lb, 10))
    assert tuple(found) == cells


# Table 12F, main 1-1/2 in between two of 1-1/2 in: (Z par, Zs perp, Zm perp).
TABLE_12F = [
    (0.55, 0.5, (1150, 800, 550)), (0.55, 0.75, (1730, 1330, 660)), (0.55, 1.0, (2310, 1530, 770)),
    (0.50, 0.625, (1310, 1040, 530)), (0.50, 0.875, (1840, 1260, 630)),
    (0.42, 0.5, (880, 640, 370)),
]  # fmt: skip


@pytest.mark.parametrize(("G", "D", "cells"), TABLE_12F)
def test_table_12f_bolts_in_double_shear(G, D, cells):
    """Zs perp of 1 in, G 0.55 was remembered as 1520, with little confidence; 1530 stands here.

    Two cells of that row come of the same bearing strength: mode Im gives Zm perp =
    1 x 1.5 x 2550 / 5 = 765, printed 770; mode Is gives Zs perp = 2 x 1 x 1.5 x 2550 / 5 = 1530.
    With 770 printed, 1520 cannot be.
    """
    found = []
    for F_em, F_es, theta in _directions(G, D)[:3]:
        loads = yield_modes.yield_loads_double_lb(D, 1.5, 1.5, F_em, F_es, bearing.F_YB_BOLT_PSI)
        found.append(_half_up(yield_modes.reference_Z_lb(loads, D, theta).Z_lb, 10))
    assert tuple(found) == cells


# Table 11.3.6A: D 1 in, s 4 in, E 1 400 000 psi: (A_s / A_m, A_s in2) -> C_g of 2, 4, 6.
TABLE_11_3_6A = {
    (0.5, 5): (0.98, 0.84, 0.68),
    (0.5, 12): (0.99, 0.92, 0.81),
    (1.0, 5): (1.00, 0.91, 0.78),
    (1.0, 12): (1.00, 0.96, 0.88),
}


@pytest.mark.parametrize(("ratio", "A_s"), TABLE_11_3_6A)
def test_table_11_3_6a_group_action(ratio, A_s):
    """Printed to 0.01; value from memory."""
    EA_s, EA_m = 1.4e6 * A_s, 1.4e6 * A_s / ratio
    found = [group_action.C_g(n, 4.0, EA_m, EA_s, 1.0) for n in (2, 4, 6)]
    assert found == pytest.approx(TABLE_11_3_6A[ratio, A_s], abs=0.005)


@pytest.mark.parametrize(
    ("D", "F_yb"),
    [(0.113, 100000), (0.131, 100000), (0.148, 90000), (0.162, 90000), (0.192, 80000),
     (0.207, 80000), (0.225, 80000), (0.244, 70000), (0.263, 70000)],
)  # fmt: skip
def test_bending_yield_strength_of_the_common_nails(D, F_yb):
    """Table L4's column for common nails 6d to 60d; value from memory."""
    assert bearing.F_yb_nail_psi(D) == F_yb
