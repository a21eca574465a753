"""What changed, in words: small changes made by hand, and a real swap held against `compare`."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hand_girder import hand_schedule
from hypothesis import given, settings
from hypothesis import strategies as st
from supplier import sample

from girderply.bases.registry import spec_of
from girderply.exchange.register import changed_words
from girderply.exchange.register.changes import NOTHING
from girderply.exchange.register.match import match
from girderply.jobfile.job import UnitSystem
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.compare import compare, swapped
from girderply.schedule.contract import to_contract
from girderply.schedule.types import Schedule


def words(after: Schedule, before: Schedule | None = None) -> tuple[str, ...]:
    return changed_words(to_contract(before or hand_schedule()), to_contract(after))


def changed(schedule: Schedule | None = None, **columns) -> Schedule:
    """The hand-made girder with other columns of its three fasteners (BC1-N1, BC1-N2, W1-B1)."""
    schedule = schedule or hand_schedule()
    return replace(schedule, fasteners=replace(schedule.fasteners, **columns))


def test_nothing_changed():
    assert words(hand_schedule()) == (NOTHING,)


@pytest.mark.parametrize(
    ("columns", "sentence"),
    [
        ({"station": np.array([127.0, 299.4, 200.0])},
         "1 nail 4.0 x 100 moved, by up to 20\u00a0mm (1 in BC1)."),
        ({"station": np.array([132.0, 299.4, 200.0])},
         "2 nails 4.0 x 100 moved, by up to 20\u00a0mm (2 in BC1)."),
        ({"station": np.array([127.9, 279.4, 200.0])}, NOTHING),
        ({"spec": np.array(["4.0 x 100", "4.5 x 120", "M12 x 145"])},
         "Another nail: 1 of 4.5 x 120 instead of 4.0 x 100 (1 in BC1)."),
        ({"stage": np.array([1, 1, 3])}, "1 bolt in stage 3 instead of in stage 2 (1 in W1)."),
        ({"face": np.array(["back", "back", "front"])},
         "1 nail with the head on the back instead of with the head on the front (1 in BC1)."),
        ({"clench": np.array([False, False, False])},
         "1 nail not clenched instead of clenched (1 in BC1)."),
        ({"to_ply": np.array([3, 2, 3])},
         "1 nail through plies 1 to 3 instead of through plies 1 to 2 (1 in BC1)."),
    ],
)  # fmt: skip
def test_one_thing_changed(columns, sentence):
    found = words(changed(**columns))
    assert [w for w in found if not w.startswith("Stage")] == [sentence]


def test_far_away_is_another_one():
    found = words(changed(station=np.array([127.0, 679.4, 200.0])))
    assert found == (
        "1 nail 4.0 x 100 added, stage 1 (1 in BC1).",
        "1 nail 4.0 x 100 taken out, stage 1 (1 in BC1).",
    )


def test_added_and_taken_out_with_their_members():
    f = hand_schedule().fasteners
    less = replace(hand_schedule(), fasteners=f.select(f.kind == "nail"))
    assert words(less) == ("1 bolt M12 x 145 taken out, stage 2 (1 in W1).",)
    assert words(hand_schedule(), less) == ("1 bolt M12 x 145 added, stage 2 (1 in W1).",)


def test_moves_are_told_in_the_units_of_the_job():
    """25.4 mm is one inch."""
    one = hand_schedule(units=UnitSystem.IMPERIAL)
    two = changed(one, station=np.array([127.0, 304.8, 200.0]))
    assert words(two, one) == ('1 nail 4.0 x 100 moved, by up to 1" (1 in BC1).',)


def test_girder_stages_parts_and_basis():
    before = hand_schedule()
    last = before.stages[-1]
    stages = (replace(before.stages[0], action=("Lay ply 2",)), replace(last, face_up="front"))
    after = replace(
        before,
        stages=(*stages, replace(last, number=3, title="Clench")),
        girder=replace(before.girder, quantity=5, timber="C30", loads=()),
        job=replace(before.job, basis=spec_of(service_class=2)),
        checks=before.checks[:1],
    )
    assert words(after) == (
        "Good for assembly now; the revision before was not.",
        "Girders to make: 5 instead of 2.",
        "Timber: C30 instead of C24.",
        "Hung load L1: gone.",
        "Stage 1: what is to be done reads differently.",
        "Stage 2: front face up; before back face up.",
        "Stage 3 is new: Clench.",
        "What the checks are based on (factors, classes) is not as before.",
    )
    assert words(before, after)[0].startswith("NOT FOR ASSEMBLY now")


def test_another_number_of_plies_is_told_by_totals():
    before = hand_schedule()
    f = before.fasteners
    after = replace(
        before, girder=replace(before.girder, plies=2), fasteners=f.select(f.kind == "nail")
    )
    assert words(after) == (
        "Plies: 2 instead of 3.",
        "Everything is fastened anew, since the number of plies differs:",
        "M12 x 145: 0 instead of 1.",
    )


def test_a_real_swap_agrees_with_the_comparison_of_the_schedules():
    """`compare` knows kept, added, removed by member; another nail is one removed and one added."""
    before = sample("two-ply-howe")
    after = build_schedule(swapped(before.job, nail="4.5 x 100"))
    held = {c.member: c for c in compare(before, after).changes}
    one, two = (to_contract(s)["fasteners"] for s in (before, after))
    for member in (m.id for m in before.girder.members):
        found = match(*([f for f in side if f["member"] == member] for side in (one, two)))
        others = len(found.other_spec) + len(found.moved)
        assert (found.kept, len(found.added) + others, len(found.removed) + others) == (
            held[member].kept, held[member].added, held[member].removed,
        )  # fmt: skip
    told = next(w for w in words(after, before) if w.startswith("Another nail"))
    assert " of 4.5 x 100 instead of 4.0 x 100 (" in told


PLACES = st.lists(
    st.tuples(
        st.integers(0, 40), st.sampled_from(["4.0 x 100", "4.5 x 100"]), st.integers(1, 2)
    ),
    max_size=12,
)  # fmt: skip


def _fasteners(places: list[tuple[int, str, int]]) -> list[dict[str, object]]:
    shared = {"kind": "nail", "face": "front", "from_ply": 1, "to_ply": 2, "clench": False}
    return [
        {"id": f"N{i}", "station_mm": 40.0 * at, "offset_mm": 0.0, "spec": spec, "stage": stage}
        | shared
        for i, (at, spec, stage) in enumerate(places)
    ]


@settings(max_examples=60, deadline=None)
@given(PLACES, PLACES)
def test_every_fastener_is_told_once(one, two):
    before, after = _fasteners(one), _fasteners(two)
    found = match(before, after)
    pairs = [*found.other_spec, *found.other_way, *((a, b) for a, b, _ in found.moved)]
    left = Counter([a["id"] for a, _ in pairs] + [f["id"] for f in found.removed])
    right = Counter([b["id"] for _, b in pairs] + [f["id"] for f in found.added])
    assert max([*left.values(), *right.values()], default=1) == 1
    assert left.total() + found.kept == len(before)
    assert right.total() + found.kept == len(after)
    assert match(before, before).kept == len(before)
