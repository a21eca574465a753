"""A right job becomes plain values in N, mm and rad, each in its place."""

from __future__ import annotations

import math

import pytest
from job_lines import BASE, MEMBERS, spoilt

from girderply.errors import JobError
from girderply.jobfile import parse_job, read_job
from girderply.jobfile.job import BearingSpec, BracketBoltSpec, PlateSpec, Role, UnitSystem


def test_every_value_of_a_shape_job_lands_where_it_belongs():
    job = parse_job(BASE, folder="somewhere")
    assert job.folder == "somewhere"
    assert (job.info.number, job.info.revision, job.info.date) == ("T-7", "B", "2026-05-04")
    assert job.info.units is UnitSystem.METRIC
    girder = job.girder
    assert (girder.mark, girder.quantity, girder.plies, girder.ply_thickness) == ("G7", 1, 3, 38.0)
    shape = girder.shape
    assert shape is not None
    assert (shape.kind, shape.span, shape.panels, shape.height) == ("howe", 9600.0, 6, None)
    assert shape.pitch == pytest.approx(math.pi / 8, rel=1e-14)
    assert girder.depths == {"top chord": 170.0, "bottom chord": 195.0, "web": 95.0}
    assert girder.bearings == (BearingSpec(70.0, 140.0),)
    assert job.basis.value("service_class") == 2
    assert job.fastening.nail == "4.0 x 100"


def test_loads_keep_sign_series_and_bracket():
    first, second = parse_job(BASE).loads
    assert (first.id, first.chord, first.face) == ("F", "BC1", "front")
    assert (first.at, first.to, first.every) == (600.0, 9000.0, 600.0)
    assert (first.permanent, first.variable, first.design) == (1100.0, 1600.0, None)
    assert (second.id, second.design, second.plies_reached) == ("L2", -3000.0, 2)
    assert second.bracket is not None
    assert (second.bracket.width, second.bracket.height) == (90.0, 150.0)
    assert second.bracket.bolts == (BracketBoltSpec(along=20.0, across=-35.0),)


def test_nodes_members_plates():
    girder = parse_job(MEMBERS).girder
    assert [(n.id, n.x, n.y) for n in girder.nodes][1:] == [("B", 3000, 100), ("C", 1600, 1500)]
    chord, first, second = girder.members
    assert [m.compression for m in girder.members] == [None, None, True]
    assert (chord.role, chord.hook_end, chord.outline) == (Role.BOTTOM_CHORD, None, None)
    assert (first.nodes, first.hook_end) == (("A", "C"), "right")
    assert second.outline == ((0, 0), (9, 0), (5, 7.5))
    assert girder.hook_ends == {"W2": "right"}
    (plate,) = girder.plates
    assert isinstance(plate, PlateSpec)
    assert (plate.joint, plate.centre, plate.width, plate.height) == ("C", (1600, 1450), 152, 101)
    assert plate.angle == pytest.approx(math.radians(30), rel=1e-14)


def test_bare_numbers_follow_the_unit_system():
    text = spoilt("service_class = 2", "", spoilt("date = 2026-05-04", 'units = "imperial"'))
    text = spoilt("along = 20", "along = 1", text)  # inside its bracket, in inches too
    job = parse_job(spoilt("permanent = 1.1", "permanent = 110", text))
    assert job.loads[1].bracket.bolts[0].along == pytest.approx(25.4)
    assert job.loads[0].every == pytest.approx(600 * 25.4)
    assert job.loads[0].permanent == pytest.approx(110 * 4.4482216152605)
    assert job.girder.bearings[0].x == pytest.approx(70 * 25.4)
    assert job.girder.ply_thickness == 38.0
    assert job.info.date == ""


@pytest.mark.parametrize(
    ("units", "standard", "rules", "variable", "uplift"),
    [
        ("metric", "EN 1995-1-1", "common-practice", "medium", "short"),
        ("imperial", "NDS 2018", "north-american-built-up", "two months", "ten minutes"),
    ],
)
def test_what_a_silent_job_means(units, standard, rules, variable, uplift):
    text = spoilt("service_class = 2", "", spoilt("along = 20", "along = 1"))
    job = parse_job(spoilt("date = 2026-05-04", f'units = "{units}"', text))
    assert (job.basis.standard, job.fastening.rules) == (standard, rules)
    assert (job.basis.variable_duration, job.basis.uplift_duration) == (variable, uplift)


def test_overrides_of_lengths_are_turned_into_mm():
    extra = """
[fastening.overrides]
chord_pitch = "12 in"
web_pitch = 250
chord_rows = 2
chord_stagger = false
bolt = "1/2 in"
[[fastening.prescribed]]
role = "web"
rows = 1
pitch = "0.3 m"
nail = "3.1 x 90"
"""
    fastening = parse_job(BASE + extra).fastening
    assert fastening.overrides == {
        "chord_pitch": 304.8,
        "web_pitch": 250.0,
        "chord_rows": 2,
        "chord_stagger": False,
        "bolt": "1/2 in",
    }
    (pattern,) = fastening.prescribed
    assert (pattern.role, pattern.members, pattern.rows) == (Role.WEB, (), 1)
    assert (pattern.pitch, pattern.stagger, pattern.nail) == (300.0, True, "3.1 x 90")


def test_a_file_knows_its_folder_and_may_begin_with_a_mark(tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(b"\xef\xbb\xbf" + BASE.replace("\n", "\r\n").encode())
    assert read_job(path).folder == str(tmp_path)
    assert read_job(str(path)).info.number == "T-7"


@pytest.mark.parametrize(
    ("content", "code", "said"),
    [
        (b"girder = ", "not-toml", "not TOML"),
        (b"<svg/>", "not-toml", "not TOML"),
        (b"\xff\xfe[\x00j\x00", "not-utf8", "not text in UTF-8"),
        (b"# " + b"x" * 5_000_000, "too-big", "larger than 5 MB"),
        (b"a = " + b"[" * 100_000, "too-deep", "nested too deeply"),
        (b"a = " + b"[" * 50 + b"]" * 50, "too-deep", "more than 12 levels"),
        (b"a = " + b"9" * 10_000, "not-toml", "not TOML"),
        (b"a = 1\na = 2", "not-toml", "not TOML"),
    ],
)
def test_files_that_are_no_jobs(tmp_path, content, code, said):
    path = tmp_path / "job.toml"
    path.write_bytes(content)
    with pytest.raises(JobError, match=said) as caught:
        read_job(path)
    assert [f.code for f in caught.value.findings] == [code]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("missing.toml", "does not exist"),
        (".", "is a folder"),
        ("a\0b", "the name is not allowed"),
        ("x" * 5000, "cannot be read"),
    ],
)
def test_names_that_are_no_files(tmp_path, name, said):
    with pytest.raises(JobError, match=said):
        read_job(f"{tmp_path}/{name}")


def test_an_empty_file_names_the_tables_that_are_missing():
    with pytest.raises(JobError, match='"job" is missing') as caught:
        parse_job("")
    assert [f.where for f in caught.value.findings] == ["job", "girder"]
