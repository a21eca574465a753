"""girderply inspect: product, talk and exit codes."""

from __future__ import annotations

import json
import re

import pytest
from command import girderply
from inspection_records import SAMPLES, ids, record_data, sample

from girderply.inspection.counts import blank_csv

JOB = SAMPLES / "two-ply-howe.toml"


@pytest.fixture
def written(tmp_path):
    def write(data, name="r.json"):
        path = tmp_path / name
        path.write_text(data if isinstance(data, str) else json.dumps(data))
        return path

    return write


def test_accepted_is_exit_0(capsys, written):
    ran = girderply(capsys, "inspect", JOB, written(record_data(sample("two-ply-howe"))))
    assert ran.code == 0
    assert "ACCEPTED" in ran.out
    assert "Caution: " in ran.out


def test_to_add_is_exit_1_with_stations(capsys, written):
    howe = sample("two-ply-howe")
    lost = dict.fromkeys(ids(howe, "BC1")[30:38], "missing")
    ran = girderply(capsys, "inspect", JOB, written(record_data(howe, lost)))
    assert ran.code == 1
    assert "ACCEPTED" not in ran.out
    where = r"BC1-M1: [\d\xa0 ]+ mm, 32\.5 mm (above|below) the centreline, nail 4\.0 x 100"
    assert re.search(where, ran.out)


def test_json_to_a_file(capsys, written, tmp_path):
    path = written(record_data(sample("two-ply-howe"), only=["BC1-N1"]))
    out = tmp_path / "result.json"
    ran = girderply(capsys, "inspect", JOB, path, "--format", "json", "--out", out)
    assert (ran.code, ran.out) == (1, "")
    assert json.loads(out.read_text())["verdict"] == "partial"


def test_refused_is_exit_2_and_writes_nothing(capsys, written, tmp_path):
    data = record_data(sample("two-ply-howe")) | {"revision": "Q", "content_hash": "0" * 64}
    out = tmp_path / "result.json"
    ran = girderply(capsys, "inspect", JOB, written(data), "--out", out)
    assert (ran.code, ran.out, out.exists()) == (2, "", False)
    assert len([x for x in ran.err.splitlines() if x.startswith("ERROR")]) == 2
    assert "0" * 64 in ran.err
    assert sample("two-ply-howe").content_hash in ran.err


@pytest.mark.parametrize("name", ["missing.json", "folder", "t.csv"])
def test_what_is_no_record_is_exit_2(capsys, tmp_path, name):
    (tmp_path / "folder").mkdir()
    (tmp_path / "t.csv").write_text("a,b\n1,2\n")
    ran = girderply(capsys, "inspect", JOB, tmp_path / name)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("ERROR")
    assert "itself is at fault" not in ran.err


def test_a_table_of_counts(capsys, written):
    ran = girderply(capsys, "inspect", JOB, written(blank_csv(sample("two-ply-howe")), "t.CSV"))
    assert ran.code == 1
    assert "INSPECTION NOT FINISHED" in ran.out


def test_records_before_must_be_named(capsys, written):
    howe = sample("two-ply-howe")
    first = written(record_data(howe, inspector="B. First"))
    good, bad = record_data(howe), record_data(howe, previous="1" * 64)
    from girderply.inspection.record import record_hash

    good["previous"] = record_hash(json.loads(first.read_text()))
    assert girderply(capsys, "inspect", JOB, written(good, "2.json"), "--before", first).code == 0
    ran = girderply(capsys, "inspect", JOB, written(bad, "3.json"), "--before", first)
    assert ran.code == 2
    assert good["previous"] in ran.err
