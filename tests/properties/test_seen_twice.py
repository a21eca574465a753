"""A girder and the same girder seen from behind, each load as two: one answer, on random jobs.

Which side a person stands on, and in how many lines a load is written, is nothing that a girder
could know of: the source of what is expected here is the girder itself.
"""

from __future__ import annotations

import os
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from job_mutations import as_text
from random_jobs import random_girder, random_job

from girderply.jobfile.job import Job
from girderply.jobfile.reader import parse_job
from girderply.model.build_girder import build_girder
from girderply.model.from_behind import OTHER, girder_from_behind, job_from_behind
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.seen_twice import hardest, schedule_from_behind, seen_otherwise
from girderply.schedule.types import Schedule
from girderply.strength import receiving

# GIRDERPLY_GIRDERS=260 tries so many instead
MANY = range(100, 100 + int(os.environ.get("GIRDERPLY_GIRDERS", "27")))
UNLIKE = 11  # three plies on bolts: two that receive, held at one height, with unlike shears


def job(seed: int) -> Job:
    return parse_job(as_text(random_job(seed)))


@pytest.mark.parametrize("seed", [*range(20, 26), UNLIKE])
def test_one_answer_from_both_sides(seed):
    one = build_schedule(job(seed))
    assert seen_otherwise(one) == ()
    two = schedule_from_behind(one.job)
    assert len(two.fasteners) == len(one.fasteners) > 20
    assert hardest(two) == pytest.approx(hardest(one), rel=1e-6)


@pytest.mark.parametrize("seed", MANY)
def test_one_answer_from_both_sides_with_loads_on_every_chord(seed):
    """Through the whole search for a layout: both faces, uplift, rafters, hook ends either way."""
    one = build_schedule(parse_job(as_text(random_girder(seed))))
    two = schedule_from_behind(one.job)
    assert len(two.fasteners) > 20
    assert laid_out(two, behind=True) == laid_out(one)
    assert one.failed == two.failed
    assert hardest(two) == pytest.approx(hardest(one), rel=1e-6)
    used = [sorted(c.utilisation for c in s.checks if c.interface) for s in (one, two)]
    assert used[0][-1] == pytest.approx(used[1][-1], rel=1e-9)


@pytest.mark.parametrize("seed", [102, 114, 117])
def test_two_plies_do_not_know_which_face_is_loaded(seed):
    """Loads on the other face, put together as before: one interface, so nothing else changes.

    From three plies on the order of the stages tells the faces apart: which nails cross the first
    interface and which the last. Turned round with the loads it gives the same girder, as above.
    """
    one = build_schedule(parse_job(as_text(random_girder(seed))))
    loads = tuple(replace(x, face=OTHER[x.face]) for x in one.job.loads)
    two = build_schedule(replace(one.job, loads=loads))
    assert one.girder.plies == 2
    assert laid_out(two) == laid_out(one)
    used, other = (sorted(c.utilisation for c in s.checks) for s in (one, two))
    assert other == pytest.approx(used, rel=1e-9)


def laid_out(made: Schedule, *, behind: bool = False) -> list[tuple[Any, ...]]:
    """Every fastener: on what, what it is, where along and across, its stage, face and plies."""
    f, n = made.fasteners, made.girder.plies
    face, plies = f.face.tolist(), [f.from_ply, f.to_ply]
    if behind:
        face, plies = [OTHER[x] for x in face], [n + 1 - v for v in plies]
    columns = (
        f.member, f.kind, f.spec, np.round(f.station, 3), f.stage, *plies,
        np.round(-f.offset if behind else f.offset, 3) + 0.0,
    )  # fmt: skip
    return sorted(zip(*(c.tolist() for c in columns), face, strict=True))


@pytest.mark.parametrize("faces", ["front", "back"])
def test_whoever_reaches_one_face_stands_behind_it(faces):
    one = build_schedule(parse_job(as_text(random_job(21) | {"assembly": {"faces": faces}})))
    two = schedule_from_behind(one.job)
    assert seen_otherwise(one) == ()
    assert two.failed == one.failed
    for made, face in ((one, faces), (two, OTHER[faces])):
        assert set(made.fasteners.face[made.fasteners.kind == "nail"].tolist()) == {face}


def test_an_answer_that_hangs_on_the_side_is_an_error(monkeypatch):
    """The ply of the lowest number alone was checked once: the harder one was left out."""
    whole = receiving._Inside.held
    monkeypatch.setattr(receiving._Inside, "held", lambda *args: whole(*args)[:1])
    (found,) = seen_otherwise(build_schedule(job(UNLIKE)))
    assert (found.code, found.severity) == ("seen-otherwise", "error")


@pytest.mark.parametrize("which", [0, 1])
def test_each_ply_that_receives_is_checked(which, monkeypatch):
    """With one of two plies alone in the check, no load comes to more than with both."""
    both, whole = _received(), receiving._Inside.held
    monkeypatch.setattr(receiving._Inside, "held", lambda *args: whole(*args)[which : which + 1])
    alone = _received()
    assert alone.keys() == both.keys() != set()
    assert all(alone[name] <= both[name] * (1 + 1e-9) for name in both)


def _received():
    """Hardest utilisation of a receiving ply by load and combination."""
    found: dict[tuple[str, str], float] = {}
    for c in build_schedule(job(UNLIKE)).checks:
        if ".split.ply" in c.id:
            key = c.about, c.id.rpartition(".")[2]
            found[key] = max(found.get(key, 0.0), c.utilisation)
    return found


def test_it_is_the_same_girder_turned_round():
    """A point at a station is mirrored, and from behind a second time it is where it was."""
    girder, _ = build_girder(job(3))
    behind = girder_from_behind(girder)
    again = girder_from_behind(behind)
    at = np.array([[700.0, 20.0]])
    for one, two, back in zip(girder.members, behind.members, again.members, strict=True):
        (x, y), (u, v) = one.to_elevation(at)[0], two.to_elevation(at * [1, -1])[0]
        assert (u, v) == pytest.approx((_sum_of_ends(girder) - x, y))
        assert np.allclose(back.outline, one.outline, atol=1e-9)
    assert sum(x.permanent for x in behind.loads) == pytest.approx(
        sum(x.permanent for x in girder.loads)
    )
    assert len(behind.loads) == 2 * len(girder.loads)
    assert {x.face for x in behind.loads if x.series.startswith("S")} == {
        "back" if x.face == "front" else "front" for x in girder.loads if x.series == "S"
    }


def _sum_of_ends(girder) -> float:
    xs = np.concatenate([m.outline[:, 0] for m in girder.members])
    return float(xs.min() + xs.max())


def test_a_load_whose_own_bolts_carry_it_stays_one():
    tables = random_job(4)
    bolts = [{"along": 0, "across": 0}]
    tables["loads"][1]["bracket"] = {"width": 90, "height": 150, "bolt": "M12", "bolts": bolts}
    behind = job_from_behind(parse_job(as_text(tables)))
    assert [x.id for x in behind.loads] == ["T/1", "T/2", "S"]
