"""A ply over its bearing, worked by hand; values of the clauses from memory."""

from __future__ import annotations

from dataclasses import replace

import pytest

from girderply.bases.answers import Seat
from girderply.bases.combining import Combination
from girderply.bases.en1995 import BASIS as EN1995
from girderply.bases.nds import BASIS as NDS
from girderply.bases.registry import spec_of
from girderply.catalogue import timber
from girderply.errors import CatalogueError

MEDIUM = Combination("PV", (), "medium", 0.8, "test")
SNOW = Combination("PV", (), "two months", 1.15, "test")
LBF = 4.4482216152605


def test_seat_by_eurocode():
    """38 mm ply of C24 on 140 mm, 20 mm from the end, nothing near on the other side.

    A_ef = 38 x (140 + 20 + 30) = 7220 mm2 where the next force is far, k_c,90 = 1.5 from 2 h on:
    1.5 x 0.8 x 2.5 / 1.3 x 7220 = 16 662 N. Right under a force: l_1 = 0, A_ef = 38 x 140 = 5320
    and k_c,90 = 1: 8185 N.
    """
    far = Seat(38.0, 140.0, (20.0, 4000.0), 195.0, timber("C24"), MEDIUM, to_next=400.0)
    assert EN1995.seat(spec_of(), far).value == pytest.approx(16662, abs=1)
    assert EN1995.seat(spec_of(), replace(far, to_next=0.0)).value == pytest.approx(8185, abs=1)
    nearer = EN1995.seat(spec_of(), replace(far, to_next=389.0))
    assert nearer.value == pytest.approx(16662 / 1.5, abs=1)
    with pytest.raises(CatalogueError, match="needs a strength class of EN 338"):
        EN1995.seat(spec_of(), replace(far, timber=timber("SPF")))


def test_seat_by_nds():
    """1 1/2 in ply of SPF on 3 1/2 in: 425 x 1.5 x 3.5 = 2231 lb; C_D is not put on it.

    3 in or more from the end C_b = 3.875/3.5 = 1.107: 2470 lb. Wet in use 0.67: 1655 lb.
    """
    spec = spec_of("NDS 2018")
    seat = Seat(38.1, 3.5 * 25.4, (80.0, 4000.0), 184.0, timber("SPF"), SNOW)
    assert NDS.seat(spec, seat).value / LBF == pytest.approx(2470.3, abs=0.1)
    near = replace(seat, to_ends=(50.0, 4000.0))
    assert NDS.seat(spec, near).value / LBF == pytest.approx(2231.25, abs=0.1)
    wet = replace(seat, moisture="wet")
    assert NDS.seat(spec, wet).value / LBF == pytest.approx(0.67 * 2470.3, abs=0.1)
    made_wet = replace(seat, moisture="made wet, used dry")
    assert NDS.seat(spec, made_wet).value == NDS.seat(spec, seat).value


@pytest.mark.parametrize(("service_class", "k_def"), [(1, 0.6), (2, 0.8), (3, 2.0)])
def test_joints_creep_twice_as_much_as_their_timber(service_class, k_def):
    """EN 1995-1-1, Table 3.2 and 2.3.2.2(3); NDS 3.5.2: K_cr 1.5 dry, 2.0 else."""
    creep = EN1995.creep(spec_of(service_class=service_class), "dry")
    assert (creep.timber, creep.joint) == (k_def, 2 * k_def)
    spec = spec_of("NDS 2018")
    assert NDS.creep(spec, "dry").timber == pytest.approx(0.5)
    assert NDS.creep(spec, "made wet, used dry").timber == pytest.approx(1.0)
