"""One fastener by NDS 2018: moisture, group action, points, refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from helpers_strength import bolt_choice

from girderply.bases.combining import Combination, terms_of
from girderply.bases.crossing import Crossing, Placed
from girderply.bases.nds.planes import AllowableStress
from girderply.catalogue import nail, timber
from girderply.errors import CatalogueError
from girderply.standards.nds_2018.group_action import C_g

SNOW = Combination("PV", terms_of(1.0, 1.0, 0.0, 0.0), "two months", 1.15, "test")
LEVEL = math.pi / 2
PLY = 38.1


def _standard(wood: str = "Southern Pine", *, wet: bool = False) -> AllowableStress:
    choice = bolt_choice("1/2 in", 3, PLY)
    nails = {"16d common": nail("16d common")}
    return AllowableStress(timber(wood), PLY, nails, {choice.spec: choice}, wet)


def _bolt() -> Crossing:
    return Crossing("bolt", bolt_choice("1/2 in", 3, PLY).spec, 1, 3, PLY, drilled=True)


def test_wet_service_takes_three_tenths():
    """C_M = 0.7 (Table 11.3.3, from memory)."""
    crossing = Crossing("nail", "16d common", 1, 2, PLY)
    (dry,) = _standard().planes(crossing, LEVEL, (1.0,), SNOW, False)
    (wet,) = _standard(wet=True).planes(crossing, LEVEL, (1.0,), SNOW, False)
    assert wet.value == pytest.approx(0.7 * dry.value)


def test_point_shallower_than_6_diameters_does_not_count():
    """6 x 0.162 = 0.972 in (12.1.6.4, from memory)."""
    standard = _standard()
    deep = Crossing("nail", "16d common", 1, 2, 0.98 * 25.4)
    short = Crossing("nail", "16d common", 1, 2, 0.96 * 25.4)
    assert len(standard.planes(deep, LEVEL, (1.0,), SNOW, False)) == 1
    assert standard.planes(short, LEVEL, (1.0,), SNOW, False) == ()


def test_tapered_point_is_deducted_only_where_it_ends_inside():
    """1.5 in of point, less than 10 D = 1.62: 1.5 - 0.162; through and out: all of 1.5."""
    standard = _standard()
    inside = Crossing("nail", "16d common", 1, 2, PLY)
    through = Crossing("nail", "16d common", 1, 2, PLY, protrudes=True)
    (a,) = standard.planes(inside, LEVEL, (1.0,), SNOW, False)
    (b,) = standard.planes(through, LEVEL, (1.0,), SNOW, False)
    assert a.inputs["l_m"][0] / 25.4 == pytest.approx(1.338)
    assert b.inputs["l_m"][0] / 25.4 == pytest.approx(1.5)


def test_bolt_across_the_grain_is_weaker_than_along():
    standard = _standard()
    along = standard.planes(_bolt(), 0.0, (2.0, 1.0), SNOW, False)
    across = standard.planes(_bolt(), LEVEL, (2.0, 1.0), SNOW, False)
    assert all(x.value < y.value for x, y in zip(across, along, strict=True))


def test_published_bolt_of_two_plies_of_southern_pine():
    """NDS 2018, Table 12A, 1 1/2 + 1 1/2 in, 1/2 in bolt, G 0.55: Z_par 530, Z_perp 250 lb.

    Values from memory (the reference table), printed to 10 lb: half of that.
    """
    standard = _standard()
    spec = bolt_choice("1/2 in", 3, PLY).spec
    two = Crossing("bolt", spec, 1, 2, PLY, drilled=True)
    lbf = 4.4482216152605
    (along,) = standard.planes(two, 0.0, (1.0,), SNOW, False)
    assert along.table / lbf / 1.15 == pytest.approx(530.0, abs=5.0)
    (across,) = standard.planes(two, LEVEL, (1.0,), SNOW, False)
    assert across.table / lbf / 1.15 == pytest.approx(250.0, abs=5.0)


def test_bolts_at_stations_of_their_own_are_no_row():
    placed = Placed(np.array([0.0, 102.0, 204.0]), np.array([20.0, -20.0, 20.0]))
    assert _standard().effective(_bolt(), placed, LEVEL).number == pytest.approx(3.0)


def test_bolts_above_each_other_are_a_row_across_the_chord():
    """Two lines of three, 50.8 mm apart along the chord and 50.8 mm across: n = 3 in each."""
    placed = Placed(
        np.array([100.0, 100.0, 100.0, 150.8, 150.8]),
        np.array([-50.8, 0.0, 50.8, -50.8, 50.8]),
    )
    standard = _standard()
    E_psi = (standard.timber.E_mean or 0.0) / 0.00689475729
    expected = C_g(3, 2.0, E_psi * 1.5 * 2.0, E_psi * 1.5 * 2.0, 0.5)
    assert standard.effective(_bolt(), placed, LEVEL).number == pytest.approx(5 * expected)
    assert 0.9 < expected < 0.999


def test_close_bolts_lose_by_the_geometry_factor():
    """1.75 in apart in a row along the grain, full 4 D = 2 in: C_delta 0.875 (Table 12.5.1B)."""
    placed = Placed(np.array([0.0, 44.45, 88.9]), np.zeros(3))
    assert _standard().effective(_bolt(), placed, LEVEL).number == pytest.approx(3 * 0.875)


def test_thin_nails_have_neither_factor():
    placed = Placed(np.array([0.0, 0.0]), np.array([-20.0, 20.0]))
    crossing = Crossing("nail", "16d common", 1, 2, PLY)
    assert _standard().effective(crossing, placed, LEVEL).number == 2


def test_timber_without_gravity_is_refused_with_what_is_needed():
    crossing = Crossing("nail", "16d common", 1, 2, PLY)
    standard = _standard("C24")
    with pytest.raises(CatalogueError, match="needs a species group"):
        standard.planes(crossing, LEVEL, (1.0,), SNOW, False)
