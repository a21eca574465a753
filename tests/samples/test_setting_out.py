"""What a person must read to set the samples out, and how many nails there are to drive.

At most 0.12 numbers a nail over all samples, and 0.25 for each girder of 100 nails or more, counted
from the schedule's document by `set_out`, which knows nothing of the runs in it. Nails before are
those of the layout that was spread evenly from plate to plate.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from job_mutations import as_text
from random_jobs import random_girder, random_job
from set_out import Told, cover, numbers_to_read

from girderply.jobfile.reader import parse_job, read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.schedule.estimate import numbers_of
from girderply.schedule.types import Schedule

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
BEFORE = {
    "four-ply-parallel": 441,
    "six-ply": 724,
    "three-ply-pratt": 224,
    "truncated-nodes": 460,
    "two-ply-howe": 191,
    "two-ply-imperial": 253,
    "two-ply-screwed": 116,
}
MOST = 1.15  # times the nails before, where loads ask for more


@pytest.fixture(scope="module")
def schedules() -> dict[str, Schedule]:
    """Every sample, those that are refused too."""
    return {p.stem: build_schedule(read_job(p)) for p in sorted(SAMPLES.glob("*.toml"))}


@pytest.fixture(scope="module")
def read(schedules) -> dict[str, tuple[int, int]]:
    """Nails, and numbers to read for them."""
    documents = {k: json.loads(json.dumps(to_contract(s))) for k, s in schedules.items()}
    return {name: numbers_to_read(doc) for name, doc in documents.items()}


def test_few_numbers_are_read(read):
    nails, numbers = (sum(x[i] for x in read.values()) for i in (0, 1))
    assert numbers <= 0.12 * nails
    for name, (n, told) in read.items():
        assert n < 100 or told <= 0.25 * n, name


@pytest.mark.parametrize(("seed", "make"), [(6, random_girder), (36, random_job)])
def test_a_stage_is_not_cut_into_runs_that_cost_more_than_they_spare(seed, make):
    """Girders by a seed that asked for 0.29 and 0.25 numbers a nail: loads in the middle, and what
    plates and washers cover on either side counted as if nails stood there."""
    schedule = build_schedule(parse_job(as_text(make(seed))))
    nails, numbers = numbers_to_read(json.loads(json.dumps(to_contract(schedule))))
    assert nails >= 100
    assert numbers <= 0.22 * nails


def test_the_estimate_counts_about_the_same(schedules, read):
    """It knows why a mark is left out and how a nail is found, so it may differ by a quarter."""
    for name, schedule in schedules.items():
        roles = {m.id: str(m.role) for m in schedule.girder.members}
        nails = numbers_of([r for r in schedule.runs if r.kind != "bolt"], roles)
        assert nails == pytest.approx(read[name][1], rel=0.25, abs=2), name


def test_the_counter_counts_by_hand():
    """A comb of four, a mark left out under a plate, one alone: 3 + 1 numbers; without the plate
    the comb ends there, and its two ends are told apart."""
    marks = [(s, (1,)) for s in (100.0, 250.0, 400.0, 700.0, 815.0, 850.0)]
    told = [Told(100.0, 150.0, 5), Told(815.0)]
    assert sorted(cover(marks, [(500.0, 600.0)], 1.0), key=lambda t: t.first) == told
    assert sum(3 if t.step else 1 for t in cover(marks, [], 1.0)) == 6
    turns = [(100.0 + 150.0 * k, (1 + k % 2,)) for k in range(6)]
    assert cover(turns, [], 1.0) == [Told(100.0, 150.0, 6)]


def test_no_sample_has_more_nails_than_loads_ask_for(read):
    for name, before in BEFORE.items():
        assert read[name][0] <= MOST * before, name
