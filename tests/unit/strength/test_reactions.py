"""Reactions: by levers by hand, by the frame against the lever and against PyNiteFEA 3.2."""

from dataclasses import replace

import numpy as np
import pytest
from pynite_plies import PynitePlies
from sharing_girders import E_MODULUS, beam, truss

from girderply.jobfile.job import BearingSpec
from girderply.model.girder import Joint
from girderply.strength.reactions import _by_frame, lever, reactions
from girderply.strength.sharing.mesh import NOTHING

VALUES = [4000.0, 9000.0]


def test_levers_by_hand():
    """2 kN at 1 m and 6 kN at 7 m on supports at 0.5 m and 8.5 m: 2 x 0.5 + 6 x 6.5 = 40 = 8 R."""
    left, right = lever((500.0, 8500.0), np.array([1000.0, 7000.0]), np.array([2000.0, 6000.0]))
    assert right == pytest.approx(5000.0)
    assert left == pytest.approx(3000.0)


def test_two_bearings_of_a_frame_are_the_lever_s():
    girder = truss(2)
    assert len(girder.bearings) == 2
    np.testing.assert_allclose(_by_frame(girder, np.array(VALUES)), reactions(girder, VALUES))


def test_three_bearings_are_those_of_an_independent_solver():
    girder = truss(2)
    low, high = girder.bearings
    girder = replace(girder, bearings=(low, BearingSpec(0.4 * high.x, 140.0), high))
    ours = reactions(girder, VALUES)
    loads = np.array([[v, 0.0] for v in VALUES])
    theirs = PynitePlies(girder, NOTHING, np.empty(0), E_MODULUS).build(loads).solve()
    expected = [theirs.reaction(b.x, 0) for b in girder.bearings]
    np.testing.assert_allclose(ours, expected, rtol=1e-6)
    assert sum(ours) == pytest.approx(sum(VALUES))


def test_one_bearing_has_no_reactions_to_tell():
    girder = truss(2)
    assert reactions(replace(girder, bearings=girder.bearings[:1]), VALUES) is None


@pytest.mark.parametrize("off", [8.0, -8.0])
def test_a_load_beside_a_joint_keeps_its_place_over_three_bearings(off):
    """Two spans of 3 m, one load P at a, in closed form: M = P a (L2 - a2) / 4 L2 over the middle
    leaves P (L - a) / L - M / L at the near end. It hangs on the node of the joint at 2 m.
    """
    L, P, a = 3000.0, 6000.0, 2000.0 + off
    plain = beam(2, 2 * L, (a,))
    chord = replace(plain.members[0], joints=("J1",))
    joint = Joint("J1", 2000.0, 0.0, ("BC1",))
    middle = BearingSpec(L, 100.0)
    bearings = (plain.bearings[0], middle, plain.bearings[1])
    girder = replace(plain, members=(chord,), joints=(joint,), bearings=bearings)
    M = P * a * (L**2 - a**2) / (4 * L**2)
    near, far = P * (L - a) / L - M / L, -M / L
    found = reactions(girder, [P])
    assert found == pytest.approx([near, P - near - far, far], rel=1e-4)
