"""One order list over several girders: sums by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hand_girder import hand_schedule
from supplier import reworded, sample

from girderply.errors import GirderplyError
from girderply.jobfile.job import UnitSystem
from girderply.schedule.total import DeliveryError, delivery_units, total_order
from girderply.schedule.types import OrderLine

NAIL = OrderLine("nail", "4.0 x 100", 191, 201, 2.0)
NUT = OrderLine("nut", "M12", 12, 13, 0.0)


def test_pieces_times_each_list_nails_first():
    """2 x 191 + 3 x 5 = 397 needed, 2 x 201 + 3 x 6 = 420 to order, 2 x 2.0 + 3 x 0.1 = 4.3 kg."""
    one = replace(reworded(hand_schedule(), quantity=2), order=(NUT, NAIL))
    few = OrderLine("nail", "4.0 x 100", 5, 6, 0.1, "long")
    two = replace(reworded(hand_schedule(), mark="G9", quantity=3), order=(few,))
    nail, nut = total_order([one, two])
    assert (nail.needed, nail.ordered, nail.note) == (397, 420, "long")
    assert nail.mass == pytest.approx(4.3)
    assert (nut.kind, nut.needed, nut.ordered, nut.mass) == ("nut", 24, 26, 0.0)


def test_another_finish_is_another_article():
    bare, dipped = NAIL, replace(NAIL, finish="finish: hot-dip galvanised", ordered=40)
    one = replace(hand_schedule(), order=(bare,))
    two = replace(reworded(hand_schedule(), mark="G9"), order=(dipped,))
    lines = total_order([one, two])
    quantity = one.girder.quantity
    assert [(x.finish, x.ordered) for x in lines] == [
        ("", 201 * quantity),
        ("finish: hot-dip galvanised", 40 * quantity),
    ]


def test_a_mass_not_known_leaves_the_sum_not_known():
    one = replace(hand_schedule(), order=(NAIL,))
    two = replace(hand_schedule(), order=(replace(NAIL, mass=0.0),))
    assert total_order([one, two])[0].mass == 0.0


def test_several_samples_by_their_fasteners():
    """Counted from the fasteners, not from the lists: nails 4.0 x 100 of two jobs."""
    made = [sample("two-ply-howe"), sample("truncated-nodes")]
    nails = sum(s.girder.quantity * int((s.fasteners.spec == "4.0 x 100").sum()) for s in made)
    line = next(x for x in total_order(made) if x.spec == "4.0 x 100")
    assert line.needed == nails
    assert nails * 1.05 <= line.ordered < nails * 1.05 + 3, "rounded up for each of three pieces"


@pytest.mark.parametrize(
    ("schedules", "words"),
    [
        ([], "at least one girder"),
        ([hand_schedule(), hand_schedule()], "G7 of job R-12 is in the delivery twice"),
        (
            [hand_schedule(), reworded(hand_schedule(units=UnitSystem.IMPERIAL), mark="G8")],
            "metric and in imperial",
        ),
    ],
)
def test_what_cannot_be_one_delivery(schedules, words):
    with pytest.raises(DeliveryError, match=words) as caught:
        delivery_units(schedules)
    assert isinstance(caught.value, GirderplyError)
