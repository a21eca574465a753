"""One fastener by EN 1995-1-1: points, rope effect, rows along a sloping chord, refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from helpers_strength import bolt_choice

from girderply.bases.combining import Combination, terms_of
from girderply.bases.crossing import Crossing, Placed
from girderply.bases.dowel.stack import Stack
from girderply.bases.dowel.through import in_stack
from girderply.bases.en1995.planes import FACTORS, Eurocode
from girderply.bases.registry import spec_of
from girderply.catalogue import Nail, timber
from girderply.errors import CatalogueError
from girderply.wording import english

MEDIUM = Combination("PV", terms_of(1.35, 1.5, 0.0, 0.0), "medium", 0.8, "test")
WIRE = Nail("4.0 x 130", 4.0, 130.0, 8.0, 600.0)
RING = Nail("4.0 x 130 ring", 4.0, 130.0, 8.0, 600.0, surface="other")
LEVEL = math.pi / 2


def _standard(thickness: float = 45.0, wood: str = "C24") -> Eurocode:
    choice = bolt_choice("M12")
    nails = {n.key: n for n in (WIRE, RING)}
    return Eurocode(spec_of(), timber(wood), thickness, nails, {choice.spec: choice})


def test_point_of_8_d_counts_and_a_millimetre_less_does_not():
    """8 x 4 = 32 mm for a smooth nail, 6 x 4 = 24 mm for others [EN 1995-1-1, 8.3.1.2, memory]."""
    standard = _standard()
    deep = Crossing("nail", WIRE.key, 1, 3, 32.0)
    short = Crossing("nail", WIRE.key, 1, 3, 31.0)
    ring = Crossing("nail", RING.key, 1, 3, 24.0)
    pattern = (2.0, 1.0)
    assert [p.interface for p in standard.planes(deep, LEVEL, pattern, MEDIUM, False)] == [1, 2]
    assert [p.interface for p in standard.planes(short, LEVEL, pattern, MEDIUM, False)] == [1]
    assert [p.interface for p in standard.planes(ring, LEVEL, pattern, MEDIUM, False)] == [1, 2]


def test_two_ply_nail_with_a_short_point_does_not_count_at_all():
    crossing = Crossing("nail", WIRE.key, 2, 1, 20.0)
    assert _standard().planes(crossing, LEVEL, (1.0,), MEDIUM, False) == ()


def test_nail_from_the_back_lists_its_interfaces_from_its_head():
    crossing = Crossing("nail", WIRE.key, 3, 1, 40.0)
    planes = _standard().planes(crossing, LEVEL, (2.0, 1.0), MEDIUM, False)
    assert [p.interface for p in planes] == [2, 1]
    assert planes[1].inputs["t_2"] == (40.0, "mm")
    assert planes[0].inputs["t_1"] == (45.0, "mm")


def test_stack_never_raises_the_table_value():
    crossing = Crossing("nail", WIRE.key, 1, 3, 40.0)
    for pattern in ((2.0, 1.0), (1.0, 2.0), (1.0, -1.0), (1.0, 1.0)):
        for plane in _standard().planes(crossing, LEVEL, pattern, MEDIUM, False):
            assert plane.value <= plane.table * (1 + 1e-12)
            assert plane.value == pytest.approx(plane.share * plane.table)


def test_each_interface_alone_gives_no_more_than_the_pattern():
    crossing = Crossing("nail", WIRE.key, 1, 3, 40.0)
    plain = _standard().planes(crossing, LEVEL, (2.0, 1.0), MEDIUM, False)
    boxed = _standard().planes(crossing, LEVEL, (2.0, 1.0), MEDIUM, True)
    assert all(b.value <= p.value * (1 + 1e-12) for p, b in zip(plain, boxed, strict=True))
    assert "each interface alone or together" in " ".join(map(english, boxed[0].steps))


def test_ring_nail_without_declared_values_has_no_rope_effect():
    crossing = Crossing("nail", RING.key, 1, 2, 45.0)
    (plane,) = _standard().planes(crossing, LEVEL, (1.0,), MEDIUM, False)
    assert plane.inputs["F_ax_Rk"][0] == 0.0
    assert any("no declared withdrawal strength" in english(step) for step in plane.steps)


def test_level_chord_counts_every_nail():
    placed = Placed(np.array([0.0, 40.0, 80.0]), np.array([10.0, 10.0, -10.0]))
    effective = _standard().effective(Crossing("nail", WIRE.key, 1, 2, 45.0), placed, LEVEL)
    assert effective.number == 3


def test_nails_of_a_steep_chord_count_by_rows_for_the_part_along_the_grain():
    """Two rows, 3 and 2 nails at 40 mm = 10 d: k_ef 0.85 (Table 8.1, memory).

    n_ef = 3^0.85 + 2^0.85 = 2.5442 + 1.8025 = 4.3467; force along the grain (0 degrees): n_ef
    itself; at 60 degrees to the grain: min(5; 4.3467 / 0.5) = 5.
    """
    placed = Placed(
        np.array([0.0, 40.0, 80.0, 20.0, 60.0]), np.array([25.0, 25.0, 25.0, -25.0, -25.0])
    )
    crossing = Crossing("nail", WIRE.key, 1, 2, 45.0)
    assert _standard().effective(crossing, placed, 0.0).number == pytest.approx(4.3467, abs=1e-4)
    assert _standard().effective(crossing, placed, math.radians(60)).number == pytest.approx(5.0)


def test_nails_closer_than_the_table_count_as_if_spread_out():
    """Five nails at 14 mm = 3.5 d: as three at 28 mm = 7 d, k_ef 0.70: 3^0.7 = 2.1577."""
    placed = Placed(14.0 * np.arange(5), np.zeros(5))
    crossing = Crossing("nail", WIRE.key, 1, 2, 45.0)
    assert _standard().effective(crossing, placed, 0.0).number == pytest.approx(2.1577, abs=1e-4)


def test_bolts_of_a_row_between_along_and_across():
    """Three M12 at 100 mm: 3^0.9 (100/156)^0.25 = 2.6879 x 0.89478 = 2.4051 along the grain.

    At 45 degrees, half-way to 3: 2.7025 (8.5.1.1(4), from memory).
    """
    standard, choice = _standard(), bolt_choice("M12")
    placed = Placed(np.array([0.0, 100.0, 200.0]), np.zeros(3))
    crossing = Crossing("bolt", choice.spec, 1, 3, 45.0, drilled=True)
    assert standard.effective(crossing, placed, 0.0).number == pytest.approx(2.4051, abs=2e-4)
    half = standard.effective(crossing, placed, math.pi / 4).number
    assert half == pytest.approx(2.7025, abs=2e-4)
    assert standard.effective(crossing, placed, LEVEL).number == pytest.approx(3.0)


def test_drilled_nail_bears_on_the_drilled_strength():
    """0.082 (1 - 0.04) 350 = 27.55 N/mm2 [Eq. (8.16), from memory]."""
    crossing = Crossing("nail", WIRE.key, 1, 2, 45.0, drilled=True)
    (plane,) = _standard().planes(crossing, LEVEL, (1.0,), MEDIUM, False)
    assert plane.inputs["f_h_k"][0] == pytest.approx(27.55, abs=0.005)


def test_timber_without_density_is_refused_with_what_is_needed():
    crossing = Crossing("nail", WIRE.key, 1, 2, 45.0)
    standard = _standard(wood="SPF")
    with pytest.raises(CatalogueError, match="strength class of EN 338"):
        standard.planes(crossing, LEVEL, (1.0,), MEDIUM, False)


@pytest.mark.parametrize("thickness", [20.0, 38.0, 70.0, 120.0])
def test_worked_formula_of_the_governing_mode_gives_its_number(thickness):
    """The printed line is computed again as it reads."""
    standard, choice = _standard(thickness), bolt_choice("M12")
    seen = set()
    for crossing in (
        Crossing("nail", WIRE.key, 1, 2, 33.0),
        Crossing("bolt", choice.spec, 1, 2, thickness, drilled=True),
    ):
        for plane in standard.planes(crossing, LEVEL, (1.0,), MEDIUM, False):
            line = next(s for s in plane.steps if english(s).startswith("governing ("))
            formula, number = english(line).split(": ")[1].removesuffix(" N").split(" = ")
            code = formula.replace(" x ", " * ").replace("^", "**").replace("2 (", "2 * (")
            value = eval(code, {"sqrt": math.sqrt})
            assert value == pytest.approx(float(number), rel=2e-3)
            seen.add(english(line)[11])
    assert seen <= set("abcdef")


def test_rope_effect_hangs_on_the_depth_of_the_point():
    """40 mm of point are 10 d: 20e-6 x 350^2 x (40/16 - 2) x 4 x 40 = 196 N."""
    crossing = Crossing("nail", WIRE.key, 1, 2, 40.0)
    (plane,) = _standard().planes(crossing, LEVEL, (1.0,), MEDIUM, False)
    assert plane.inputs["F_ax_Rk"][0] == pytest.approx(196.0, abs=0.5)


def test_one_hinge_in_the_stack_costs_the_factor_of_two_hinges():
    """60, 60 and 30 mm of C24, q = 0.082 x 350 x 8^0.7 = 123.05 N/mm, M_y = 26700 Nmm.

    Two plies alone bend twice: sqrt(4 M_y q / 2) x 1.15 = 2563.5 x 1.15 = 2948 N. In the stack the
    dowel bends once, in ply 1, and turns in plies 2 and 3; with the load's pattern V and V/2:
    -M_y + V^2/(2 q) + (V + V/2) 60/2 + (V/2) 30/2 = w_2 + w_3, where w = q t^2/4 - (V/2)^2/(4 q):
    V^2/(2 q) + V^2/(8 q) + 52.5 V = M_y + q (3600 + 900)/4, 0.0050792 V^2 + 52.5 V - 165131 = 0:
    V = 2528 N; x 1.05 = 2654 N. Share 2654/2948 = 0.900, though the bare limits are 0.986 apart.
    """
    q = 0.082 * 350 * 8**0.7
    one, _ = in_stack(Stack((60.0, 60.0, 30.0), (q,) * 3, 26700.0), (2.0, 1.0), False, FACTORS)
    assert one.alone == pytest.approx(2948.0, abs=1.0)
    assert one.together == pytest.approx(2654.0, abs=1.0)
    assert one.share == pytest.approx(0.900, abs=5e-4)
    assert [h.ply for h in one.mechanism.hinges] == [1]
