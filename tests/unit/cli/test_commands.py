"""check, schedule, draw and pack on a job made by `new`, and on files that are no job."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from command import girderply
from jsonschema import Draft202012Validator, ValidationError


@pytest.fixture
def job(capsys, tmp_path) -> Path:
    path = tmp_path / "job.toml"
    words = ("--shape", "howe", "--span", "6.3 m", "--number", "R/../1", "--mark", "G1")
    assert girderply(capsys, "new", *words, "--out", path).code == 0
    return path


def not_jobs(folder: Path) -> dict[str, Path]:
    (folder / "text.toml").write_text("this is = = no job")
    (folder / "latin.toml").write_bytes(b"title = 'Br\xfccke'")
    (folder / "empty.toml").write_text("")
    (folder / "zero.toml").write_bytes(b"\0" * 100)
    names = ("text.toml", "latin.toml", "empty.toml", "zero.toml", "missing.toml")
    return {name: folder / name for name in names} | {"folder": folder}


@pytest.mark.parametrize(
    "what", ["text.toml", "latin.toml", "empty.toml", "zero.toml", "missing.toml", "folder"]
)
@pytest.mark.parametrize("command", ["check", "schedule", "draw", "pack"])
def test_what_is_no_job_is_exit_2_in_words(capsys, tmp_path, monkeypatch, command, what):
    monkeypatch.chdir(tmp_path)
    path = not_jobs(tmp_path)[what]
    before = sorted(tmp_path.iterdir())
    ran = girderply(capsys, command, path)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("ERROR")
    assert "itself is at fault" not in ran.err
    assert sorted(tmp_path.iterdir()) == before, "nothing is written"


def test_every_finding_at_once(capsys, job):
    text = job.read_text()
    job.write_text(text.replace("plies = 2", "plies = 9").replace("timber =", "timbr ="))
    ran = girderply(capsys, "check", job)
    assert ran.code == 2
    lines = [line for line in ran.err.splitlines() if line.startswith("ERROR")]
    assert [line for line in lines if "girder.plies" in line]
    assert [line for line in lines if "timbr" in line]
    assert 'TIP   did you mean "timber"?' in ran.err, "the nearest right word"


def test_schedule_to_a_file_is_what_it_prints(capsys, job, tmp_path):
    printed = girderply(capsys, "schedule", job, "--format", "json")
    ran = girderply(capsys, "schedule", job, "--format", "json", "--out", tmp_path / "s.json")
    assert (ran.code, ran.out) == (0, "")
    assert (tmp_path / "s.json").read_text("utf-8") == printed.out


def test_out_in_a_folder_that_is_not_there(capsys, job, tmp_path):
    ran = girderply(capsys, "schedule", job, "--out", tmp_path / "no" / "s.txt")
    assert ran.code == 2
    assert "cannot write" in ran.err


def test_pack_cannot_leave_its_folder(capsys, job, tmp_path):
    ran = girderply(capsys, "pack", job, "--out", tmp_path / "out")
    assert ran.code == 0, ran.err
    pack = Path(ran.out.strip())
    assert pack.parent == tmp_path / "out"
    assert pack.name.startswith("R-1-G1-rev-0_")  # words were lost, so a tag follows
    beside = {"job.toml", "girderply-job.schema.json"}  # what `new --out` wrote
    assert {p.name for p in tmp_path.iterdir()} == {*beside, "out"}


def test_one_bad_job_does_not_stop_the_others(capsys, job, tmp_path):
    copy = tmp_path / "copy.toml"
    copy.write_text(job.read_text())
    ran = girderply(capsys, "pack", tmp_path / "no.toml", job, copy, "--out", tmp_path / "out")
    assert ran.code == 2
    assert len(ran.out.splitlines()) == 1
    assert "no.toml" in ran.err
    assert "would both be" in ran.err, "two jobs of one name"


def test_draw_names_the_sheets_it_has(capsys, job, tmp_path):
    ran = girderply(capsys, "draw", job, "--sheet", "elevatoin", "--out", tmp_path / "x.pdf")
    assert ran.code == 2
    assert "did you mean 'elevation'" in ran.err
    assert not (tmp_path / "x.pdf").exists()


def test_draw_pdf_and_svg(capsys, job, tmp_path):
    pdf, folder = tmp_path / "e.pdf", tmp_path / "svg"
    one = girderply(capsys, "draw", job, "--sheet", "elevation", "--out", pdf)
    words = ("--sheet", "elevation", "--format", "svg", "--out", folder)
    other = girderply(capsys, "draw", job, *words)
    assert (one.code, other.code) == (0, 0)
    assert pdf.read_bytes().startswith(b"%PDF-")
    drawings = list(folder.glob("*.svg"))
    assert drawings
    assert all("<svg" in p.read_text("utf-8")[:400] for p in drawings)


def test_a_list_is_drawn_as_svg_too(capsys, job, tmp_path):
    words = ("--sheet", "inspection", "--format", "svg", "--out", tmp_path / "svg")
    assert girderply(capsys, "draw", job, *words).code == 0
    pages = sorted((tmp_path / "svg").iterdir())
    assert [p.name for p in pages] == [f"G1-inspection-{k}.svg" for k in range(1, len(pages) + 1)]
    assert all("<svg" in p.read_text("utf-8")[:400] for p in pages)


@pytest.mark.parametrize("of", ["job", "schedule"])
def test_schema_is_a_json_schema(capsys, of):
    """Judged by the meta-schema of JSON Schema, draft 2020-12."""
    schema = json.loads(girderply(capsys, "schema", of).out)
    Draft202012Validator.check_schema(schema)
    assert {"girder", "job"} <= set(schema["properties"])


def test_job_from_new_is_good_by_the_schema(capsys, job):
    schema = json.loads(girderply(capsys, "schema").out)
    made = tomllib.loads(job.read_text())
    Draft202012Validator(schema).validate(made)
    made["girder"]["plies"] = "two"
    with pytest.raises(ValidationError, match="'two'"):
        Draft202012Validator(schema).validate(made)


def test_draw_never_writes_into_a_pack(capsys, job, tmp_path):
    pack = Path(girderply(capsys, "pack", job, "--out", tmp_path / "out").out.strip())
    before = {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()}
    for words in (["--out", pack / "x.pdf"], ["--format", "svg", "--out", pack / "drawings"]):
        ran = girderply(capsys, "draw", job, "--sheet", "elevation", *words)
        assert ran.code == 2
        assert "is a pack" in ran.err
    assert {p: p.read_bytes() for p in pack.rglob("*") if p.is_file()} == before


def test_draw_out_svg_is_one_svg_or_a_numbered_series(capsys, job, tmp_path):
    out = tmp_path / "x.svg"
    assert girderply(capsys, "draw", job, "--sheet", "elevation", "--out", out).code == 0
    assert out.read_text("utf-8").lstrip().startswith("<svg")
    both = ["--sheet", "know", "--sheet", "stage-1", "--out", tmp_path / "y.svg"]
    series = girderply(capsys, "draw", job, *both, "--paper", "A4")
    made = sorted(tmp_path.glob("y*.svg"))
    assert [p.name for p in made] == [f"y-{i}.svg" for i in range(1, len(made) + 1)]
    assert f"{len(made)} drawings" in series.err
    assert 'viewBox="0 0 595.' in made[-1].read_text("utf-8"), "A4: 595 points wide"
    refused = girderply(capsys, "draw", job, "--sheet", "elevation", "--paper", "A4")
    assert refused.code == 2
    assert "elevation has a size of its own" in refused.err
    odd = girderply(capsys, "draw", job, "--format", "pdf", "--out", out)
    assert odd.code == 2
    assert "ends in .svg" in odd.err


def test_pack_carries_the_job_and_keeps_the_work_of_people(capsys, job, tmp_path):
    pack = Path(girderply(capsys, "pack", job, "--out", tmp_path / "out").out.strip())
    assert (pack / "job.toml").read_bytes() == job.read_bytes()
    assert "  job.toml\n" in (pack / "contents.sha256").read_text("utf-8")
    (pack / "tick-off.csv").write_text("filled in")
    ran = girderply(capsys, "pack", job, "--out", tmp_path / "out")
    assert "tick-off.by-hand.csv" in ran.err
    assert (pack / "tick-off.by-hand.csv").read_text() == "filled in"
    job.write_text(job.read_text().replace("plies = 2", "plies = 3"))
    ran = girderply(capsys, "pack", job, "--out", tmp_path / "out")
    assert "replaced a pack of the same revision with other content" in ran.err
