"""girderply lot: the sample of a lot, and what becomes of it.

Plans: ISO 2859-1:1999, Tables 1 and 2-A, values from memory, as in the tests of the plans.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from inspection_records import SAMPLES, record_data
from typer.testing import CliRunner

from girderply.cli.app import app
from girderply.inspection.history import History
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
    assert "ACCEPTED" in aside.stdout
    assert aside.exit_code == 1  # the one outside is to be made good all the same
    assert f"no. {outside} (not in the sample, not counted): to be made good" in aside.stdout
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
    assert "r4-1.json, r4-2.json: piece 4: each of these claims the same record" in ran.stderr


def chain(write, schedule, gone, piece=4):
    """Two records of a piece: nails missing, then those and what was added for them looked at."""
    first = write(piece, gone)
    history = History(schedule)
    result = history.take_file(Path(first))
    added = [m | {"state": "good"} for m in marks_of(first)[:1]]
    marks = [added[0] | {"id": name} for name in result.make_good.id.tolist()]
    second = write(piece, previous=result.record_hash, marks=marks)
    return first, second


def marks_of(path):
    return json.loads(Path(path).read_text("utf-8"))["marks"]


def twenty_of_a_chord(schedule):
    f = schedule.fasteners
    return dict.fromkeys(f.id[(f.member == "BC1") & (f.kind == "nail")].tolist()[:20], "missing")


def test_a_girder_made_good_is_good_and_counts_as_found_wanting(lot):
    """AQL 4, level II, 20 girders: none of the sample may be found wanting."""
    path, schedule, write = lot
    everyone = ["--aql", "4", "--level", "III"]
    sample = data_of(path, *everyone)["sample"]
    piece = sample[0]
    first, second = chain(write, schedule, twenty_of_a_chord(schedule), piece)
    told = data_of(path, *everyone, second, first)  # in any order
    (found,) = told["pieces"]
    assert (found["found"], found["now"]) == ("add", "accepted")
    assert found["files"] == [Path(first).name, Path(second).name]
    assert told["nonconforming"] == [piece]
    assert "good now, found wanting and counted" in run(path, *everyone, first, second).stdout


def test_a_record_missing_between_two_is_an_error_that_names_the_later(lot):
    path, schedule, write = lot
    _, second = chain(write, schedule, twenty_of_a_chord(schedule))
    ran = run(path, second)
    assert ran.exit_code == 2
    assert f"{Path(second).name}: piece 4: no record here is the one before it" in ran.stderr


def test_what_is_left_to_do_is_said_with_the_command_that_lists_it(lot):
    path, schedule, write = lot
    ran = run(path, bad := write(4, twenty_of_a_chord(schedule)))
    assert "to be made good (" in ran.stdout
    assert f"girderply inspect {path} {bad}" in ran.stdout


def test_a_design_that_fails_has_no_lot(tmp_path):
    path = tmp_path / "bad.toml"
    text = (SAMPLES / "refused-overloaded.toml").read_text("utf-8")
    assert "quantity" not in text
    path.write_text(text.replace("[girder]", "[girder]\nquantity = 20", 1), "utf-8")
    ran = run(path)
    assert ran.exit_code == 1  # a check failed; 2 would say that the job cannot be read
    assert "itself fails" in ran.stderr
    assert ran.stdout == ""


def test_the_answer_can_be_written_to_a_file(lot, tmp_path):
    target = tmp_path / "lot.json"
    ran = run(lot[0], "--format", "json", "--out", str(target))
    assert ran.exit_code == 0
    assert ran.stdout == ""
    assert json.loads(target.read_text("utf-8"))["verdict"] == "open"


def test_a_lot_of_one_is_none(tmp_path):
    path = tmp_path / "one.toml"
    path.write_text(TEXT.replace("quantity = 2", "quantity = 1"), "utf-8")
    ran = run(path)
    assert ran.exit_code != 0
    assert "at least 2" in str(ran.exception) + ran.stderr


def test_an_odd_limit_is_refused(lot):
    assert run(lot[0], "--aql", "3").exit_code == 2
