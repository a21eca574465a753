"""girderply issue: a delivery with its register, as a supplier runs it."""

import json

from inspection_records import SAMPLES
from jobs_in_text import Ask, job_text
from typer.testing import CliRunner

from girderply.cli.app import app

CONFIRMED = '["girder.plates", "girder.bearings", "basis.service_class"]'


def job_file(tmp_path, name, **wants):
    path = tmp_path / f"{name}.toml"
    text = job_text(Ask(kind="king post", span=4000.0, panels=None, **wants))
    text = text.replace('mark = "G1"', f'mark = "{name}"')
    path.write_text(text.replace("[girder]", f"confirmed = {CONFIRMED}\n[girder]", 1), "utf-8")
    return path


def issue(tmp_path, *jobs):
    words = [str(j) for j in jobs]
    return CliRunner().invoke(app, ["issue", *words, "--out", str(tmp_path / "out")])


def entries(tmp_path):
    lines = (tmp_path / "out" / "register.jsonl").read_text(encoding="utf-8").splitlines()
    return [entry for entry in map(json.loads, lines) if "mark" in entry]


def test_a_delivery_of_two_girders(tmp_path):
    result = issue(tmp_path, job_file(tmp_path, "A1"), job_file(tmp_path, "A2", plies=3))
    assert result.exit_code == 0, result.output
    names = {p.name for p in (tmp_path / "out").iterdir()}
    assert {"delivery-note.pdf", "bundle-labels.pdf", "delivery.xlsx", "register.jsonl"} <= names
    assert {"T-1-A1-rev-A", "T-1-A2-rev-A"} <= names
    assert [e["mark"] for e in entries(tmp_path)] == ["A1", "A2"]
    assert all("job.toml" in e["files"] for e in entries(tmp_path))


def test_an_issued_pack_is_not_replaced_by_pack_or_batch(tmp_path):
    job = job_file(tmp_path, "A1")
    assert issue(tmp_path, job).exit_code == 0
    out = tmp_path / "out"
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}
    for command in ("pack", "batch"):
        ran = CliRunner().invoke(app, [command, str(job), "--out", str(out)])
        assert ran.exit_code != 0
        assert "was issued and stays as it is" in ran.output
    after = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}
    assert {p: after.get(p) for p in before} == before


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


def test_a_girder_with_an_assumed_value_that_nobody_confirmed_is_not_issued(tmp_path):
    job = job_file(tmp_path, "A1")
    text = job.read_text("utf-8")
    job.write_text(text.replace('"girder.bearings", ', ""), "utf-8")
    result = issue(tmp_path, job)
    assert result.exit_code == 1
    assert "values of A1 are assumed and not confirmed" in result.output
    assert "ASSUMED girder.bearings" in result.output
    assert not (tmp_path / "out").exists()


def test_a_girder_that_is_judged_otherwise_from_behind_is_not_issued(tmp_path, monkeypatch):
    """A load in two halves of which one is lost: half the utilisation, and nothing goes out."""
    monkeypatch.setattr("girderply.model.from_behind.HALVES", ("/1",))
    result = issue(tmp_path, SAMPLES / "two-ply-howe.toml")
    assert result.exit_code == 1
    assert "decided again as it is seen from behind" in result.output
    assert "NOT FOR ASSEMBLY" in result.output
    assert "nothing was issued" in result.output
    assert not (tmp_path / "out").exists()
