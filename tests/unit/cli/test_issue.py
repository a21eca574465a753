"""girderply issue: a delivery with its register, as a supplier runs it."""

import json

from jobs_in_text import Ask, job_text
from typer.testing import CliRunner

from girderply.cli.app import app


def job_file(tmp_path, name, **wants):
    path = tmp_path / f"{name}.toml"
    text = job_text(Ask(kind="king post", span=4000.0, panels=None, **wants))
    path.write_text(text.replace('mark = "G1"', f'mark = "{name}"'), encoding="utf-8")
    return path


def issue(tmp_path, *jobs):
    words = [str(j) for j in jobs]
    return CliRunner().invoke(app, ["issue", *words, "--out", str(tmp_path / "out")])


def entries(tmp_path):
    lines = (tmp_path / "out" / "register.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines]


def test_a_delivery_of_two_girders(tmp_path):
    result = issue(tmp_path, job_file(tmp_path, "A1"), job_file(tmp_path, "A2", plies=3))
    assert result.exit_code == 0, result.output
    names = {p.name for p in (tmp_path / "out").iterdir()}
    assert {"delivery-note.pdf", "bundle-labels.pdf", "delivery.xlsx", "register.jsonl"} <= names
    assert {"T-1-A1-rev-A", "T-1-A2-rev-A"} <= names
    assert [e["mark"] for e in entries(tmp_path)] == ["A1", "A2"]


def test_the_same_again_changes_nothing_and_another_content_is_refused(tmp_path):
    job = job_file(tmp_path, "A1")
    assert issue(tmp_path, job).exit_code == 0
    before = entries(tmp_path)
    assert issue(tmp_path, job).exit_code == 0
    assert entries(tmp_path) == before
    pack = tmp_path / "out" / "T-1-A1-rev-A" / "schedule.json"
    kept = pack.read_bytes()
    refused = issue(tmp_path, job_file(tmp_path, "A1", nail="3.4 x 90"))
    assert refused.exit_code != 0
    assert "revision" in str(refused.exception)
    assert entries(tmp_path) == before
    assert pack.read_bytes() == kept


def test_a_girder_not_for_assembly_is_not_issued(tmp_path):
    result = issue(tmp_path, job_file(tmp_path, "A1", nail="3.1 x 60"))
    assert result.exit_code == 1
    assert not (tmp_path / "out").exists()
