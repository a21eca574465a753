"""girderply lot: the sample of a lot, and what becomes of it.

Plans: ISO 2859-1:1999, Tables 1 and 2-A, values from memory, as in the tests of the plans.
"""

from __future__ import annotations

import json

import pytest
from inspection_records import SAMPLES, record_data
from typer.testing import CliRunner

from girderply.cli.app import app
from girderply.jobfile.reader import read_job
from girderply.schedule.build import build_schedule

TEXT = (SAMPLES / "two-ply-howe.toml").read_text("utf-8")
OF_20 = TEXT.replace("quantity = 2", "quantity = 20")


@pytest.fixture(name="lot")
def _lot(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(OF_20, "utf-8")
    schedule = build_schedule(read_job(path))

    def write(piece, states=None, **other):
        data = record_data(schedule, states, piece=piece, **_signed(schedule), **other)
        target = tmp_path / f"r{piece}-{len(list(tmp_path.iterdir()))}.json"
        target.write_text(json.dumps(data), "utf-8")
        return str(target)

    return path, schedule, write


def _signed(schedule):
    holds = [s.number for s in schedule.stages if s.hold_point]
    return {
        "plies": {"gap_mm": 0.5, "alignment_mm": 1.0},
        "signatures": [
            {"stage": n, "name": "A. Inspector", "date": "2026-11-25"} for n in holds
        ],
    }  # fmt: skip


def run(path, *words):
    return CliRunner().invoke(app, ["lot", str(path), *words])


def data_of(path, *words):
    return json.loads(run(path, *words, "--format", "json").stdout)


def test_the_sample_of_twenty(lot):
    """20 girders, level II: letter C; AQL 4: n = 3, accept 0, reject 1."""
    ran = run(lot[0])
    assert ran.exit_code == 0
    told = data_of(lot[0])
    assert (told["code_letter"], len(told["sample"]), told["accept"], told["reject"]) == (
        "C", 3, 0, 1,
    )  # fmt: skip
    assert len(set(told["sample"])) == 3
    assert set(told["sample"]) <= set(range(1, 21))
    assert "contract" in ran.stderr


def test_accepted_when_the_whole_sample_is_good_and_open_before(lot):
    path, _, write = lot
    sample = data_of(path)["sample"]
    good = [write(n) for n in sample]
    part = run(path, *good[:-1])
    assert part.exit_code == 1
    assert "OPEN" in part.stdout
    ran = run(path, *good)
    assert ran.exit_code == 0, ran.stdout
    assert "ACCEPTED" in ran.stdout


def test_one_found_wanting_rejects_the_lot_and_one_outside_does_not_count(lot):
    path, schedule, write = lot
    sample = data_of(path)["sample"]
    f = schedule.fasteners
    gone = dict.fromkeys(f.id[(f.member == "BC1") & (f.kind == "nail")].tolist()[:20], "missing")
    outside = next(n for n in range(1, 21) if n not in sample)
    good = [write(n) for n in sample]
    aside = run(path, *good, write(outside, gone))
    assert aside.exit_code == 0
    assert f"no. {outside}: add (not in the sample, not counted)" in aside.stdout
    bad = run(path, *good[1:], write(sample[0], gone))
    assert bad.exit_code == 1
    assert "REJECTED" in bad.stdout


@pytest.mark.parametrize(
    ("content", "name"),
    [("{}", "a.json"), ("no json", "b.json"), ('{"piece": true}', "c.json"), ("x", "d.csv")],
)
def test_what_is_no_record_is_refused(lot, tmp_path, content, name):
    (tmp_path / name).write_text(content, "utf-8")
    ran = run(lot[0], str(tmp_path / name))
    assert ran.exit_code == 2
    assert name in ran.stderr


def test_a_piece_twice_must_follow_its_own_record(lot):
    path, _, write = lot
    ran = run(path, write(4), write(4, note="again"))
    assert ran.exit_code == 2
    assert "the record before it" in ran.stderr


def test_a_lot_of_one_is_none(tmp_path):
    path = tmp_path / "one.toml"
    path.write_text(TEXT.replace("quantity = 2", "quantity = 1"), "utf-8")
    ran = run(path)
    assert ran.exit_code != 0
    assert "at least 2" in str(ran.exception) + ran.stderr


def test_an_odd_limit_is_refused(lot):
    assert run(lot[0], "--aql", "3").exit_code == 2
