"""By computed shares too a verdict does not hang on the way of writing: faces, entries, mirror."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest
from job_mutations import as_text
from random_jobs import random_girder, random_job

from girderply.jobfile.reader import parse_job
from girderply.model.girder import Girder
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.seen_twice import seen_otherwise
from girderply.schedule.types import Schedule
from girderply.strength.sharing.ply_forces import ply_forces

Tables = dict[str, Any]
SEEDS = (2, 4)  # two plies, by bolts with play and by nails, loads on both faces


def built(tables: Tables) -> Schedule:
    return build_schedule(parse_job(as_text(tables)))


def exchanged(tables: Tables) -> Tables:
    """The girder with its plies in the other order: what hung in front hangs behind."""
    for load in tables["loads"]:
        load["face"] = {"front": "back", "back": "front"}[load["face"]]
    return tables


def halved(tables: Tables) -> Tables:
    for load in [*tables["loads"]]:
        load |= {part: load[part] / 2 for part in ("permanent", "variable")}
        tables["loads"].append(load | {"id": f"{load['id']}half"})
    return tables


@pytest.fixture(scope="module", params=SEEDS)
def pair(request) -> tuple[Tables, Schedule]:
    tables = random_job(request.param)
    tables["fastening"] |= {"design_by": "computed shares", "share_limit": 3.0}
    made = built(tables)
    assert made.load_shares
    return tables, made


def hardest(made: Schedule) -> list[float]:
    """Utilisations of the transfer, the hardest first, of places that were told apart or not."""
    return sorted((c.utilisation for c in made.checks if c.interface), reverse=True)


@pytest.mark.parametrize("change", [exchanged, halved])
def test_written_another_way_it_is_the_same_girder(pair, change):
    tables, made = pair
    other = built(change(copy.deepcopy(tables)))
    assert len(other.fasteners) == len(made.fasteners)
    assert other.failed == made.failed
    assert hardest(other)[0] == pytest.approx(hardest(made)[0], rel=1e-9)
    assert other.shares.at_bearings[0].share == pytest.approx(
        made.shares.at_bearings[0].share, rel=1e-9
    )


def in_a_mirror(girder: Girder) -> Girder:
    """Left is right, hook ends with it, so that every station stays and offsets change sign."""
    far = girder.length

    def across(p: tuple[float, float]) -> tuple[float, float]:
        return far - p[0], p[1]

    return replace(
        girder,
        members=tuple(replace(m, hook=across(m.hook), far=across(m.far)) for m in girder.members),
        joints=tuple(replace(j, x=far - j.x) for j in girder.joints),
        bearings=tuple(replace(b, x=far - b.x) for b in girder.bearings),
        loads=tuple(replace(x, x=far - x.x) for x in girder.loads),
    )


def test_what_is_kept_of_each_load_does_not_turn_with_the_mirror(pair):
    """The same fasteners in the mirror; the bearing that holds the plies sideways goes with it."""
    made = pair[1]
    columns = replace(made.fasteners, offset=-made.fasteners.offset)
    turned = ply_forces(made.job, in_a_mirror(made.girder), columns, made.nails, made.bolts)
    for one, two in zip(made.load_shares, turned.shares, strict=True):
        assert (two.bolts, two.age, two.cases) == (one.bolts, one.age, one.cases)
        for load, parts in one.kept.items():
            assert two.kept[load] == pytest.approx(parts, rel=1e-9, abs=1e-9)


def test_from_behind_ties_are_broken_by_place_and_not_by_the_last_digit():
    """Loads of one tight window are used alike but for rounding, which turns with the mirror."""
    tables = random_girder(10)
    tables["fastening"] |= {"design_by": "computed shares", "share_limit": 3.0}
    assert seen_otherwise(built(tables)) == ()
