"""The second engine on transfer by computed shares: it agrees, and notices what is wrong."""

from __future__ import annotations

import copy
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.verify import verify
from girderply.verify.passing import cases

SAMPLES = Path(__file__).parents[3] / "sample_jobs"


@cache
def made(name: str, by: str = "computed shares") -> dict:
    job = read_job(SAMPLES / f"{name}.toml")
    fastening = replace(job.fastening, design_by=by, share_limit=1.5)
    return to_contract(build_schedule(replace(job, fastening=fastening)))


def objections(data: dict) -> dict[str, str]:
    return {d.what: d.text for d in verify(data).disagreements if d.what != "content"}


@pytest.mark.parametrize("name", ["two-ply-howe", "three-ply-pratt", "six-ply"])
def test_both_engines_agree(name):
    data = made(name)
    assert data["for_assembly"]
    assert data["shares"]["by_load"]
    assert verify(data).disagreements == ()


def test_six_plies_hold_by_computed_shares_alone():
    """522 fasteners instead of 554: read by equal shares the second engine finds them too few."""
    data = copy.deepcopy(made("six-ply"))
    data["basis"]["design_by"] = "equal shares"
    data["shares"]["by_load"] = []
    assert "transfer" in objections(data)


def _not_whole(data: dict) -> None:
    data["shares"]["by_load"][0]["kept"]["T1-3"] = [0.6, 0.39]


def _too_many_plies(data: dict) -> None:
    data["shares"]["by_load"][0]["kept"]["T1-3"] = [0.5, 0.3, 0.2]


def _unknown_load(data: dict) -> None:
    kept = data["shares"]["by_load"][0]["kept"]
    kept["T9"] = kept.pop("T1-3")


def _kept_by_the_first(data: dict) -> None:
    """Whole, and kinder to the fasteners: but then the bearings would say otherwise."""
    for one in data["shares"]["by_load"]:
        one["kept"] = {load: [0.8, 0.2] for load in one["kept"]}


def _only_after_creep(data: dict) -> None:
    sets = data["shares"]["by_load"]
    data["shares"]["by_load"] = [s for s in sets if s["state"] != "tight, initial"]


def _beyond(data: dict) -> None:
    data["shares"]["limit"] = 0.1


def _none(data: dict) -> None:
    data["shares"]["by_load"] = []


def _not_asked(data: dict) -> None:
    data["basis"]["design_by"] = "equal shares"


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (_not_whole, "the parts of T1-3 are not whole"),
        (_too_many_plies, "the parts of T1-3 are not whole"),
        (_unknown_load, "the parts of T1-3 are not whole"),
        (_kept_by_the_first, "keeps"),
        (_only_after_creep, "no shares without play"),
        (_beyond, "beyond the limit"),
        (_none, "by computed shares, with 0 computed sets"),
        (_not_asked, "by equal shares, with 5 computed sets"),
    ],
    ids=lambda v: getattr(v, "__name__", "").strip("_") or None,
)
def test_parts_that_are_wrong_are_noticed(spoil, words):
    data = copy.deepcopy(made("two-ply-howe"))
    spoil(data)
    assert words in objections(data)["shares"]


def test_nails_that_are_missing_are_noticed_by_computed_shares_too():
    data = copy.deepcopy(made("two-ply-howe"))
    near = [f for f in data["fasteners"] if f["load"] == "T1-5"]
    assert near
    data["fasteners"] = [f for f in data["fasteners"] if f not in near]
    assert "must pass" in objections(data)["transfer"]


def test_a_file_from_before_says_nothing_of_it_and_is_read_by_equal_shares():
    data = copy.deepcopy(made("two-ply-howe", "equal shares"))
    del data["basis"]["design_by"]
    del data["shares"]["by_load"]
    assert objections(data) == {}


def test_a_load_given_by_its_design_value_counts_where_its_combination_has_it():
    """By its factor in the file: 6.5 kN in PV, nothing under permanent loads alone."""
    data = made("four-ply-parallel")
    load = next(x for x in data["loads"] if x["id"] == "P")
    assert {c.code: c.value(load) for c in cases(data)} == {"P": 0.0, "PV": 6500.0}
