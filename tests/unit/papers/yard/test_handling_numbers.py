"""Moves, masses, balance and slings of girders put together by hand; figures worked by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from made_girder import made_schedule

from girderply.jobfile.job import Role
from girderply.model.girder import Joint, Member
from girderply.schedule.balance import LONG, balance
from girderply.schedule.contract import to_contract
from girderply.schedule.handling import MECHANICAL, handling


def bar(name, role, a, b, depth, joints=()):
    """A level bar from a to b, sawn square."""
    (x0, y), (x1, _) = a, b
    h = depth / 2
    outline = np.array([[x0, y - h], [x1, y - h], [x1, y + h], [x0, y + h]])
    return Member(name, role, depth, a, b, outline, joints)


def two_bars(joints, length=8000.0):
    """A long bar below and a short one above it, which starts 1 000 from the left."""
    low = bar("BC1", Role.BOTTOM_CHORD, (0.0, 100.0), (length, 100.0), 200.0)
    high = bar("TC1", Role.TOP_CHORD, (1000.0, 1100.0), (5000.0, 1100.0), 200.0)
    made = made_schedule(2).girder
    found = tuple(Joint(n, x, 1100.0, ("TC1",)) for n, x in joints)
    return replace(made, members=(low, high), joints=found, loads=(), plates=())


def test_balance_of_two_bars():
    """Areas as 2 to 1: x = (2*4000 + 1*3000)/3, y = (2*100 + 1*1100)/3."""
    found = balance(two_bars([]))
    assert found.x == pytest.approx(11000 / 3)
    assert found.y == pytest.approx(1300 / 3)
    assert found.slings is None
    assert not found.long


def test_distances_run_from_the_left_end_and_the_underside():
    """The same girder further left and lower balances at the same distances."""
    girder = two_bars([("A", 1500.0), ("B", 4900.0)])
    shift = np.array([-700.0, -250.0])
    members = tuple(
        replace(m, outline=m.outline + shift, hook=tuple(m.hook + shift), far=tuple(m.far + shift))
        for m in girder.members
    )
    joints = tuple(replace(j, x=j.x - 700.0, y=j.y - 250.0) for j in girder.joints)
    a, b = balance(girder), balance(replace(girder, members=members, joints=joints))
    assert (a.x, a.y) == pytest.approx((b.x, b.y))
    for s, t in zip(a.slings, b.slings, strict=True):
        assert (s.x, s.y, s.station) == pytest.approx((t.x, t.y, t.station))


def test_slings_are_the_joints_nearest_to_the_quarter_points():
    """Balance at 3 667, quarters at 1 667 and 5 667: of 1 200, 1 800, 4 300, 4 900 the inner left
    and the outer right one; shares by the lever: (4900 - 3667)/(4900 - 1800).
    """
    joints = [("A", 1200.0), ("B", 1800.0), ("C", 4300.0), ("D", 4900.0)]
    left, right = balance(two_bars(joints)).slings
    assert (left.joint, right.joint) == ("B", "D")
    assert (left.x, left.y, left.station) == pytest.approx((1800.0, 1100.0, 800.0))
    assert left.share == pytest.approx((4900 - 11000 / 3) / 3100)
    assert left.share + right.share == pytest.approx(1.0)
    moment = left.share * left.x + right.share * right.x
    assert moment == pytest.approx(11000 / 3), "the slings balance about the centre of gravity"


def test_a_joint_below_the_balance_holds_no_sling():
    girder = two_bars([("A", 1500.0), ("B", 4900.0)])
    low = tuple(replace(j, y=300.0) if j.id == "A" else j for j in girder.joints)
    assert balance(girder).slings is not None
    assert balance(replace(girder, joints=low)).slings is None


def test_joints_on_one_side_only_give_no_pair():
    assert balance(two_bars([("A", 1500.0), ("B", 2000.0)])).slings is None


@pytest.mark.parametrize(("length", "long"), [(LONG, False), (LONG + 1.0, True)])
def test_long_girders_are_known(length, long):
    """12 m: common practice, no source."""
    assert balance(two_bars([], length)).long is long


def test_moves_of_three_plies_with_the_made_masses():
    """168 kg a ply; nails of 4.0 x 100: 7850e-9 * pi/4 * 16 * 100 kg each."""
    schedule = made_schedule(3)
    first, second, last = handling(schedule)
    f = schedule.fasteners
    nail = 7850e-9 * np.pi / 4 * 16 * 100
    n1, n2 = (int(((f.kind == "nail") & (f.stage == s)).sum()) for s in (1, 2))
    assert [(m.kind, m.plies, m.mass) for m in first.moves] == [("lay", (1, 2), 168.0)]
    assert first.mass == pytest.approx(2 * 168 + n1 * nail)
    turn, lay = second.moves
    assert (turn.kind, turn.plies) == ("turn", (1, 2))
    assert turn.mass == pytest.approx(first.mass), "turned before the third ply is laid on"
    assert (lay.kind, lay.plies, lay.mass) == ("lay", (3,), 168.0)
    assert second.mass == pytest.approx(3 * 168 + (n1 + n2) * nail)
    (off,) = last.moves
    assert (off.kind, off.plies) == ("lift off", (1, 2, 3))
    assert off.mass == pytest.approx(3 * 168 + 9.4), "all that the schedule weighs"
    assert all(m.people == MECHANICAL for part in (first, second, last) for m in part.moves)


def test_light_plies_go_by_hand():
    """24 kg: two people (33.3); the stack of two, 48 kg and more: crane."""
    made = made_schedule(2)
    light = replace(made, masses=replace(made.masses, ply=24.0, plies=48.0))
    first, last = handling(light)
    assert first.moves[0].people == 2
    assert last.moves[-1].people == MECHANICAL


def test_the_contract_carries_the_moves():
    contract = to_contract(made_schedule(3))
    part = contract["stages"][1]["handling"]
    assert [m["move"] for m in part["moves"]] == ["turn", "lay"]
    assert part["moves"][1] == {
        "move": "lay", "plies": [3], "mass_kg": 168.0, "people": None, "mechanical": True,
    }  # fmt: skip
    assert contract["lifting"]["join_in_place"] is False
    assert len(contract["lifting"]["slings_suggested"]) == 2
