from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from sharing_girders import E_MODULUS, columns, load, truss

from girderply.jobfile.job import BearingSpec
from girderply.strength.sharing import Laws, share
from girderply.strength.sharing.mesh import FrameError, make_mesh

ROWS = [
    ("BC1", 1000.0, 40.0, 1, 2),
    ("BC1", 1006.0, -40.0, 1, 2),  # shares the node of the one before
    ("BC1", 2265.0, 0.0, 1, 2),  # 2 mm from joint J2: shares its node
    ("TC2", 50.0, 10.0, 2, 1),
    ("W1", 700.0, 5.0, 1, 2),
]


def names(girder, mesh):
    return [girder.members[i].id for i in mesh.member]


def test_members_share_translations_at_a_joint_and_no_rotation():
    girder = truss(2)
    mesh = make_mesh(girder, columns([]))
    j6 = [i for i, xy in enumerate(mesh.xy) if np.allclose(xy, (0.55 * 7300, 1900))]
    assert sorted(names(girder, mesh)[i] for i in j6) == ["TC1", "TC2", "W2", "W3"]
    assert len({tuple(mesh.dof[i, :2]) for i in j6}) == 1
    assert len({mesh.dof[i, 2] for i in j6}) == 4


def test_every_number_is_used_once_over():
    mesh = make_mesh(truss(2), columns(ROWS))
    assert sorted(set(mesh.dof.ravel().tolist())) == list(range(mesh.size))


def test_chords_are_cut_at_joints_bearings_loads_and_fasteners():
    girder = truss(2)
    mesh = make_mesh(girder, columns(ROWS))
    bottom = mesh.station[mesh.of_member(1 - 1)]
    assert bottom == pytest.approx([0, 1003, 2190, 2263, 4526, 5402, 7300])
    assert mesh.station[mesh.bearings] == pytest.approx([0.0, 7300.0])
    assert mesh.station[mesh.loads.node] == pytest.approx([2190.0, 4526.0])


def test_fasteners_hang_on_their_node_by_an_arm():
    girder = truss(2)
    mesh = make_mesh(girder, columns(ROWS))
    assert mesh.fasteners.arm[:3] == pytest.approx(np.array([[-3, 40], [3, -40], [2, 0]]))
    assert mesh.fasteners.node[0] == mesh.fasteners.node[1]
    # TC2 runs to the left and up from J4: off its centreline to the left is down here
    direction = np.array([0.55 * 7300 - 7300, 1900.0])
    direction /= np.hypot(*direction)
    expected = [10 * -direction[1], 10 * direction[0]]
    assert mesh.fasteners.arm[3] == pytest.approx(expected, abs=1e-9)


def test_a_load_near_a_joint_keeps_its_lever():
    girder = truss(2)
    near = load("L9", girder.member("BC1"), 2263.0 + 7.0)
    mesh = make_mesh(replace(girder, loads=(near,)), columns([]))
    assert mesh.loads.arm[0] == pytest.approx([7.0, 0.0])


def test_the_lever_of_a_load_reaches_the_bearings():
    """Statics: 7 mm past the joint are 7 mm past the joint, whatever node carries them."""
    girder = truss(2)
    near = load("L9", girder.member("BC1"), 2263.0 + 7.0)
    girder = replace(girder, loads=(near,))
    none = Laws(np.zeros(0), np.zeros(0))
    found = share(girder, columns([]), none, np.array([[0.0, 7300.0]]), E=E_MODULUS)
    assert found.reactions[1] == pytest.approx([7300 - 2270, 2270], abs=1e-4)


def test_a_member_beyond_its_last_joint_goes_straight_on():
    girder = truss(2)
    chord = replace(girder.member("BC1"), hook=(-600.0, 0.0))
    members = (chord, *girder.members[1:])
    mesh = make_mesh(replace(girder, members=members, loads=()), columns([("BC1", 200.0, 0, 1, 2)]))
    assert mesh.xy[0] == pytest.approx([-400.0, 0.0])
    assert mesh.station[0] == 200.0


def test_a_bearing_stands_under_the_lowest_chord():
    girder = replace(truss(2), bearings=(BearingSpec(500.0, 90.0), BearingSpec(7250.0, 90.0)))
    mesh = make_mesh(girder, columns([]))
    assert [names(girder, mesh)[i] for i in mesh.bearings] == ["BC1", "BC1"]
    assert mesh.xy[mesh.bearings, 0] == pytest.approx([500.0, 7250.0])


def test_a_bearing_away_from_all_chords_is_told():
    girder = replace(truss(2), bearings=(BearingSpec(0.0, 90.0), BearingSpec(9000.0, 90.0)))
    with pytest.raises(
        FrameError, match="no chord of the girder lies over the bearing at x = 9000"
    ):
        make_mesh(girder, columns([]))


def test_a_member_that_nothing_touches_has_two_ends():
    girder = truss(2)
    lonely = replace(girder.member("W1"), joints=("nowhere",))
    members = tuple(lonely if m.id == "W1" else m for m in girder.members)
    mesh = make_mesh(replace(girder, members=members), columns([]))
    index = [m.id for m in members].index("W1")
    assert mesh.station[mesh.of_member(index)] == pytest.approx([0.0, lonely.length])
