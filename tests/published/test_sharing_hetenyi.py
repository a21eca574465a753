"""Two equal beams joined by springs all along, a point load on one of them.

Source: M. Hetenyi, Beams on Elastic Foundation, University of Michigan Press 1946, ch. II, infinite
beam under a point load (value from memory): on a foundation k' the deflection is
P b / (2 k') exp(-b x) (cos b x + sin b x), b = (k' / (4 E I))^(1/4).

Derived here: the relative displacement w of two beams joined by k per length obeys
E I w'''' + 2 k w = p, so k' = 2 k; the interface carries k w = P b / 4 at the load, P / 2 in all.
Tolerance: springs at a spacing s stand for what is continuous; the error falls with (b s)^2 or
faster, and is asked to. The beams are long (b L / 2 > 14), so their ends add less than 1e-5.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from sharing_girders import E_MODULUS, beam, columns, on_ply

from girderply.strength.sharing import Laws, share

LENGTH, DEPTH, THICK, P = 12000.0, 195.0, 45.0, 10000.0
K_LENGTH = 20.0  # N/mm per mm
EI = E_MODULUS * THICK * DEPTH**3 / 12
BETA = (2 * K_LENGTH / (4 * EI)) ** 0.25
MIDDLE = LENGTH / 2


def joined(spacing: float):
    """Fasteners at this spacing, one of them at the load."""
    count = int(MIDDLE / spacing - 0.5)
    stations = MIDDLE + spacing * np.arange(-count, count + 1)
    cols = columns([("BC1", s, 0.0, 1, 2) for s in stations])
    K = np.full(len(stations), K_LENGTH * spacing)
    girder = beam(2, LENGTH, (MIDDLE,), DEPTH)
    found = share(girder, cols, Laws(K, np.zeros_like(K)), on_ply(girder, 0, (P,)), E=E_MODULUS)
    return stations, -found.force[:, 0, 1], found


def peak_error(spacing: float) -> float:
    _, down, _ = joined(spacing)
    return abs(down.max() / spacing / (P * BETA / 4) - 1.0)


def test_the_peak_comes_nearer_as_the_spacing_falls():
    errors = [peak_error(s) for s in (400.0, 200.0, 100.0, 50.0)]
    assert errors[-1] < 1e-3
    for coarse, fine in pairwise(errors):
        assert fine < coarse / 3.5  # second order or better


def test_the_whole_transfer_is_half_the_load():
    for spacing in (200.0, 50.0):
        _, down, found = joined(spacing)
        assert down.sum() == pytest.approx(P / 2, rel=1e-4)
        assert found.passed[0] == pytest.approx(P / 2, rel=1e-4)


def test_the_interface_force_along_the_beam():
    spacing = 50.0
    stations, down, _ = joined(spacing)
    x = np.abs(stations - MIDDLE)
    expected = P * BETA / 4 * np.exp(-BETA * x) * (np.cos(BETA * x) + np.sin(BETA * x))
    assert down / spacing == pytest.approx(expected, abs=2e-3 * P * BETA / 4)
    assert down.min() < 0  # further away load is given back


def test_the_force_per_length_by_bins_is_the_same():
    spacing = 50.0
    _, down, found = joined(spacing)
    flow = found.flow(beam(2, LENGTH, (MIDDLE,), DEPTH), "BC1", bin_length=spacing)
    assert -flow.force[0, :, 1].min() == pytest.approx(down.max() / spacing, rel=1e-9)
    total = flow.force[0, :, 1] @ np.diff(flow.edges)
    assert -total == pytest.approx(down.sum(), rel=1e-9)
