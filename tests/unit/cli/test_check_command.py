"""girderply check: one job or several, from a file, a pack or a pipe; in words and as data."""

import io
import json
import math
import sys
from pathlib import Path

import pytest
from command import girderply

SAMPLES = Path(__file__).parents[3] / "sample_jobs"
HOWE, SCREWED = SAMPLES / "two-ply-howe.toml", SAMPLES / "two-ply-screwed.toml"
SHALLOW = SAMPLES / "refused-shallow.toml"


def lines(text):
    return text.replace("\u00a0", " ").replace("\u202f", " ").splitlines()


def test_the_verdict_counts_what_is_driven_and_says_the_sums(capsys):
    """15 trusses of 1.1 + 1.6 kN, 150 and 9450 mm: half of 40.5 kN at each bearing."""
    ran = girderply(capsys, "check", HOWE)
    verdict, loads, reactions, *_ = lines(ran.out)
    assert ran.code == 0
    assert ": good; 2 plies, nails: " in verdict
    assert "loads: 15, permanent 16.50 kN, variable 24.00 kN; design 58.28 kN" in loads
    assert reactions.endswith(": 20.25 kN at 150 mm, 20.25 kN at 9 450 mm")
    screwed = lines(girderply(capsys, "check", SCREWED).out)[0]
    assert "screws: 0" not in screwed
    assert "screws: " in screwed
    assert "nails" not in screwed


def test_plies_that_share_unequally_are_told_in_the_first_lines(capsys):
    """Six plies loaded at one face: the first warning, the fourth line; upward to two places."""
    ran = girderply(capsys, "check", SAMPLES / "six-ply.toml")
    first, fourth = lines(ran.err)[0], lines(ran.out)[3]
    assert first.startswith(
        "WARNING ply 1: The plies do not share equally: the truss designer must"
    )
    worst = json.loads(
        girderply(capsys, "schedule", SAMPLES / "six-ply.toml", "--format", "json").out
    )
    (ply, share), *_ = [(w["ply"], w["share"]) for w in worst["shares"]["worst"] if w["bearing"]]
    told = f"make ply {ply} good for {math.ceil(100 * share) / 100:.2f}"
    assert share > 1.5
    assert told in first
    assert told in fourth


def test_of_several_jobs_each_is_told_and_the_worst_decides(capsys, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text("plies = 2\n", "utf-8")
    ran = girderply(capsys, "check", HOWE, SHALLOW)
    assert ran.code == 1
    assert [f"-- {p}" in ran.err for p in (HOWE, SHALLOW)] == [True, True]
    assert sum("rev A" in line or "rev " in line for line in lines(ran.out)) == 2
    assert girderply(capsys, "check", HOWE, bad, SHALLOW).code == 2


def test_as_data_for_programs(capsys, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text("plies = 2\n", "utf-8")
    ran = girderply(capsys, "check", HOWE, bad, SHALLOW, "--format", "json")
    assert (ran.code, ran.err) == (2, "")
    good, unreadable, refused = json.loads(ran.out)["jobs"]
    assert [x["exit_code"] for x in (good, unreadable, refused)] == [0, 2, 1]
    assert good["sums"]["permanent_N"] == pytest.approx(16500)
    assert good["counts"]["nail"] > 0
    assert unreadable["findings"][0]["severity"] == "error"
    assert any(f["severity"] == "error" for f in refused["findings"])


def test_a_job_is_read_from_a_pipe(capsys, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(HOWE.read_bytes())))
    piped = girderply(capsys, "check", "-")
    assert piped.code == 0
    assert piped.out == girderply(capsys, "check", HOWE).out


@pytest.fixture(scope="module")
def pack(tmp_path_factory):
    from girderply.exchange.pack_files import data_files
    from girderply.jobfile.reader import read_job
    from girderply.schedule.build_schedule import build_schedule

    folder = tmp_path_factory.mktemp("pack")
    for name, data in data_files(build_schedule(read_job(HOWE))).items():
        (folder / name).write_bytes(data)
    return folder


@pytest.mark.parametrize(
    "words",
    [("check",), ("explain",), ("swap", "--nail", "3.4 x 90"), ("share",)],
    ids=lambda w: w[0],
)
@pytest.mark.parametrize("name", ["", "schedule.json"])
def test_a_pack_serves_as_well_as_its_job(capsys, pack, words, name):
    command, *options = words
    ran = girderply(capsys, command, pack / name if name else pack, *options)
    assert ran.out == girderply(capsys, command, HOWE, *options).out
    assert ran.code in (0, 1)
    assert "WARNING " + str(pack) not in ran.err


def test_a_pack_that_is_not_what_its_job_comes_to_is_said(capsys, pack, tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    (other / "job.toml").write_text(
        HOWE.read_text("utf-8").replace('"1.6 kN"', '"1.7 kN"'), "utf-8"
    )
    (other / "schedule.json").write_bytes((pack / "schedule.json").read_bytes())
    ran = girderply(capsys, "check", other)
    assert f"WARNING {other}: a pack of the same revision with other content" in ran.err


def test_a_folder_without_a_job_is_no_pack(capsys, tmp_path):
    ran = girderply(capsys, "check", tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert "holds no job.toml" in ran.err


def test_read_back_says_job_assumptions_and_what_was_not_checked(capsys):
    told = lines(girderply(capsys, "check", HOWE, "--read-back").out)
    heads = [line for line in told if line.startswith("What ")]
    assert len(heads) == 4
    assert any("[x] girder.plates" in line for line in told)
    assert any("the first 600 mm from the LEFT end" in line for line in told)


@pytest.mark.parametrize("words", [("-h",), ("check", "-h"), ("issue", "-h")], ids=" ".join)
def test_short_help_and_no_line_of_it_is_cut(capsys, words):
    ran = girderply(capsys, *words)
    assert ran.code == 0
    usage, *told = ran.out.splitlines()
    assert usage.startswith("Usage: ")
    assert not [line for line in told if line.endswith("...")]
