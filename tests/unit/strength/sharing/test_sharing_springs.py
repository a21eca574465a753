from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from sharing_girders import E_MODULUS, beam, columns, on_ply, truss

from girderply.bases.en1995 import BASIS as EN1995
from girderply.catalogue.catalogue_types import Bolt, BoltChoice, Nail, Washer
from girderply.errors import RangeError
from girderply.strength.sharing import Laws, laws_of, make_model, share, solve
from girderply.strength.sharing.law import SpringLaws, answer, plastic_slip

NAIL = Nail("4.0 x 100", 4.0, 100.0, 8.0, 600.0)
M12 = Bolt("M12", 12.0, 1.75, 7.5, 10.8, 18.0, 13.0, 13.0, (110.0,), 400.0, 240.0)
CHOICE = BoltChoice(M12, Washer("w", "M12", "square", 14.0, 40.0, 4.0), 90.0, 110.0, 110.0, False)
BOLTS = {"M12 x 110": CHOICE}
NAILS = {NAIL.key: NAIL}


def mixed():
    """A nail, a predrilled nail, a bolt."""
    rows = [("BC1", 500.0, 0.0, 1, 2), ("BC1", 900.0, 0.0, 1, 2), ("BC1", 1500.0, 0.0, 1, 2)]
    cols = columns(rows)
    return replace(
        cols,
        kind=np.array(["nail", "nail", "bolt"]),
        spec=np.array([NAIL.key, NAIL.key, "M12 x 110"]),
        drilled=np.array([0.0, 3.2, 13.5]),
    )


def test_slip_moduli_of_the_standard():
    """EN 1995-1-1, Table 7.1: rho^1.5 d^0.8 / 30 and rho^1.5 d / 23; K_u = 2/3 K_ser."""
    laws = laws_of(mixed(), NAILS, BOLTS, 420.0, "serviceability", by=EN1995)
    by_hand = [420**1.5 * 4**0.8 / 30, 420**1.5 * 4 / 23, 420**1.5 * 12 / 23]
    assert laws.modulus == pytest.approx(by_hand)
    assert laws_of(mixed(), NAILS, BOLTS, 420.0, by=EN1995).modulus == pytest.approx(
        np.array(by_hand) / 1.5
    )
    assert not laws.gap.any()


def test_bolts_in_their_holes():
    gap = laws_of(mixed(), NAILS, BOLTS, 420.0, bolt_slip="gap", by=EN1995)
    assert gap.gap == pytest.approx([0.0, 0.0, 1.5])
    idle = laws_of(mixed(), NAILS, BOLTS, 420.0, bolt_slip="idle", by=EN1995)
    assert idle.modulus[2] == 0.0
    assert (idle.modulus[:2] > 0).all()


def test_words_and_specs_that_are_not_known():
    with pytest.raises(RangeError, match="bolt_slip must be one of"):
        laws_of(mixed(), NAILS, BOLTS, 420.0, bolt_slip="loose", by=EN1995)  # type: ignore[arg-type]
    with pytest.raises(RangeError, match="state must be one of"):
        laws_of(mixed(), NAILS, BOLTS, 420.0, "ULS", by=EN1995)  # type: ignore[arg-type]
    with pytest.raises(RangeError, match="spec 'M12 x 110' of a bolt"):
        laws_of(mixed(), NAILS, {}, 420.0, by=EN1995)


def test_a_fastener_outside_the_plies_is_refused():
    with pytest.raises(RangeError, match="from ply 1 to ply 2"):
        make_model(truss(2), columns([("BC1", 500.0, 0.0, 1, 3)]), E_MODULUS)


def test_a_gap_wider_than_the_slip_is_no_fastener():
    girder = beam(2, 5000.0, (2000.0,))
    cols = columns([("BC1", 2000.0, 0.0, 1, 2), ("BC1", 3000.0, 0.0, 2, 1)])
    loads = on_ply(girder, 0, (600.0,))
    K = np.array([800.0, 900.0])
    model = make_model(girder, cols, E_MODULUS)
    wide = solve(model, Laws(K, np.array([1e3, 0.0])), loads)
    idle = solve(model, Laws(K * [0, 1], np.zeros(2)), loads)
    assert wide.force[0] == pytest.approx(np.zeros((1, 2)))
    assert wide.force[1] == pytest.approx(idle.force[1], rel=1e-6)
    assert wide.reactions == pytest.approx(idle.reactions, rel=1e-6)


def test_a_gap_takes_its_slip_off():
    """One fastener under the load of two equal beams: by compatibility, by hand.

    With beam flexibility f at the place: slip = f (P - F) - f F, F = K (slip - gap).
    """
    girder = beam(2, 5000.0, (2000.0,))
    cols = columns([("BC1", 2000.0, 0.0, 1, 2)])
    EI = E_MODULUS * 45.0 * 195.0**3 / 12
    f = 2000**2 * 3000**2 / (3 * EI * 5000)
    P, K, gap = 4000.0, 700.0, 0.9
    F = K * (f * P - gap) / (1 + 2 * f * K)
    laws = Laws(np.array([K]), np.array([gap]))
    found = share(girder, cols, laws, on_ply(girder, 0, (P,)), E=E_MODULUS)
    assert found.force[0, 0] == pytest.approx([0.0, -F], rel=1e-6, abs=1e-6)
    assert found.slip[0, 0, 1] == pytest.approx(-(F / K + gap), rel=1e-6)


def test_the_law_of_a_spring_by_hand():
    """K 100, gap 0.5, strength 60: free, elastic, yielding, in a direction of 3:4."""
    laws = SpringLaws(np.full(3, 100.0), np.full(3, 0.5), np.full(3, 60.0))
    slip = np.outer([0.4, 0.9, 2.0], [0.6, 0.8])
    got = answer(laws, slip, np.zeros((3, 2)))
    assert got.force == pytest.approx(np.outer([0, 40, 60], [0.6, 0.8]))
    assert got.beyond == pytest.approx([0.0, 0.0, 0.9])
    assert got.energy == pytest.approx(40**2 / 200 + 60**2 / 200 + 60 * 0.9)
    kept = plastic_slip(slip, np.zeros((3, 2)), got.beyond)
    assert kept[2] == pytest.approx([0.54, 0.72])
    again = answer(laws, slip, kept)
    assert again.force[2] == pytest.approx(got.force[2])
    assert again.beyond[2] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("size", [0.0, 0.3, 0.9, 2.5])
def test_the_tangent_is_the_slope_of_the_force(size):
    laws = SpringLaws(np.array([100.0]), np.array([0.2]), np.array([60.0]))
    slip, none, h = size * np.array([[0.6, -0.8]]), np.zeros((1, 2)), 1e-6
    slope = np.empty((2, 2))
    for j in range(2):
        step = np.zeros((1, 2))
        step[0, j] = h
        up, down = (answer(laws, slip + s, none).force[0] for s in (step, -step))
        slope[:, j] = (up - down) / (2 * h)
    assert answer(laws, slip, none).tangent[0] == pytest.approx(slope, abs=1e-3)
