"""What is read from the plies on their springs: shear beside a load, seats, shares."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from helpers_strength import job
from sharing_girders import beam, columns, truss

from girderply.bases.registry import spec_of
from girderply.catalogue import nail
from girderply.jobfile.job import BearingSpec
from girderply.strength.seats import seat_checks
from girderply.strength.sharing.ply_forces import ply_forces
from girderply.strength.sharing.shares import member_shares
from girderply.strength.shear import MemberShear

NAILS = {"4.0 x 100": nail("4.0 x 100")}
ROWS = [(m, s, 0.0, 1, 2) for m, s in (("BC1", 420.0), ("BC1", 2900.0), ("BC1", 6100.0))]


def test_the_larger_of_both_sides_of_a_load():
    """Along the chord it is the left side here and the right one there."""
    larger = set()
    for part in (0.12, 0.25, 0.4, 0.6, 0.7, 0.8, 0.95):
        girder = truss(2, at=(("BC1", part),))
        found = ply_forces(job(), girder, columns(ROWS), NAILS, {})
        shear = MemberShear.of(job(), girder).with_computed(found)
        at = girder.loads[0].station
        first, last = (found.mesh.station[found.mesh.ends[:, k]] for k in (0, 1))
        mine = found.mesh.member[found.mesh.ends[:, 0]] == 0
        (left,), (right,) = (np.flatnonzero(mine & (np.abs(s - at) < 1e-6)) for s in (last, first))
        most = [np.abs(found.pieces[:, 0, 0, e, 1]).max() for e in (left, right)]
        assert shear.by_springs(0, "BC1", at, at, (0,)) == pytest.approx(max(most))
        if abs(most[0] - most[1]) > 0.1 * max(most):
            larger.add(most[0] > most[1])
    assert larger == {True, False}


@pytest.mark.parametrize(
    ("x", "length", "C_b"), [(300.0, 100.0, 1 + 9.525 / 100.0), (7240.0, 100.0, 1.0)]
)
def test_a_seat_near_either_end_of_its_chord_is_not_raised(x, length, C_b):
    """250 mm of chord beyond it on one side, 10 mm on the other: 3 in (76 mm) are asked for.

    [NDS 2018, 3.10.4], (l_b + 3/8 in) / l_b, from memory
    """
    plain = truss(2, at=(("BC1", 0.3),))
    by_nds = job(spec_of("NDS 2018"))
    other = BearingSpec(7000.0 if x < 1000.0 else 0.0, 100.0)
    bearings = sorted((BearingSpec(x, length), other), key=lambda b: b.x)
    girder = replace(plain, timber="SPF", bearings=tuple(bearings))
    found = ply_forces(by_nds, girder, columns(ROWS), NAILS, {})
    checks, notes = seat_checks(by_nds, girder, found)
    assert notes == ()
    (own,) = (c for c in checks if c.about == f"B{1 + bearings.index(BearingSpec(x, length))}")
    assert own.inputs["C_b"][0] == pytest.approx(C_b)


def test_a_point_too_short_to_count_is_no_spring():
    """All points 5 mm deep: nothing is handed to ply 2; with 45 mm something is."""
    girder, held = truss(2, at=(("BC1", 0.3),)), columns(ROWS)
    for depth, passed in ((45.0, True), (5.0, False)):
        nails = replace(held, point_depth=np.full(len(ROWS), depth))
        found = ply_forces(job(), girder, nails, NAILS, {})
        assert (np.abs(found.reactions[:, :, 1]).max() > 100.0) == passed
        assert np.abs(found.reactions[:, :, 0]).max() > 1000.0


def test_a_member_s_share_is_that_of_its_largest_axial_force():
    """By hand: 100 and 300 N along ply 1, 100 and 100 along ply 2: 300 against (300 + 100) / 2."""
    girder = beam(2, 6000.0, (2000.0,))
    found = ply_forces(job(), girder, columns([("BC1", 2000.0, 0.0, 1, 2)]), NAILS, {})
    assert len(found.mesh.ends) == 2
    pieces = np.zeros((1, 1, 2, 2, 6))
    pieces[0, 0, :, :, 3] = [[100.0, 300.0], [100.0, 100.0]]
    share = member_shares(replace(found, pieces=pieces), girder)
    assert share[0, 0, :, 0] == pytest.approx([1.5, 0.5])
