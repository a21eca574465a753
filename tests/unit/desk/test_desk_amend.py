"""Changes of single values leave everything else of a job file as it was, byte for byte."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path

import pytest

from girderply.desk.amend import AmendError, Edit, amended
from girderply.jobfile import json_schema, parse_job
from girderply.jobfile.reader import read_job

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "sample_jobs").glob("*.toml"))
HOWE = next(p for p in SAMPLES if p.name == "two-ply-howe.toml").read_text()
NODES = next(p for p in SAMPLES if p.name == "truncated-nodes.toml").read_text()


def lines_changed(before: str, after: str) -> tuple[list[str], list[str]]:
    """Lines that are gone and lines that are new."""
    old, new = before.splitlines(), after.splitlines()
    return [x for x in old if x not in new], [x for x in new if x not in old]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_sample_comes_back_byte_for_byte(path):
    text = path.read_bytes().decode()
    assert amended(text, []) == text
    for ends in ("\r\n", "\n"):
        for mark in ("", "\ufeff"):
            other = mark + text.replace("\n", ends)
            assert amended(other, []) == other


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_a_value_set_to_what_it_is_changes_no_value(path):
    data = tomllib.loads(path.read_text())
    text = path.read_text()
    for table in ("job", "girder", "basis", "fastening"):
        for key, value in data.get(table, {}).items():
            if isinstance(value, str | int | float):
                text = amended(text, [Edit((table, key), "set", value)])
    assert text == path.read_text()


def test_a_changed_value_keeps_the_comment_behind_it():
    text = amended(NODES, [Edit(("fastening", "prescribed", 0, "rows"), "set", 3)])
    assert lines_changed(NODES, text) == (["rows = 2"], ["rows = 3"])
    text = amended(HOWE, [Edit(("loads", 0, "at"), "set", "300 mm")])
    assert "[[loads]] # fifteen trusses" in text


def test_an_entry_of_a_list_on_one_line_is_changed_in_its_place():
    text = amended(NODES, [Edit(("girder", "bearings", 1, "x"), "set", 10700)])
    gone, new = lines_changed(NODES, text)
    assert (len(gone), len(new)) == (1, 1)
    assert new[0] == gone[0].replace("10720", "10700")


def test_a_missing_table_is_made_with_empty_lines_around_it():
    text = amended(HOWE, [Edit(("fastening", "overrides", "hole"), "set", 14)])
    assert text.endswith('transfer_by = "nail"\n\n[fastening.overrides]\nhole = 14\n\n')
    assert tomllib.loads(text)["fastening"]["overrides"] == {"hole": 14}


def test_an_entry_is_added_behind_those_of_its_kind():
    plate = {"joint": "J1", "x": 90, "y": 110, "width": "150 mm", "height": "100 mm"}
    text = amended(
        HOWE, [Edit(("girder", "plates"), "add", plate | {"joint": j}) for j in ("J1", "J3")]
    )
    assert [p.joint for p in parse_job(text).girder.plates] == ["J1", "J3"]
    assert lines_changed(HOWE, text)[0] == []
    text = amended(NODES, [Edit(("girder", "plates"), "add", plate | {"joint": "D"})])
    assert parse_job(text).girder.plates[-1].joint == "D"


def test_the_last_entry_taken_away_leaves_no_empty_list():
    text = amended(HOWE, [Edit(("loads", 0), "drop")])
    assert "loads" not in tomllib.loads(text)
    assert "[[loads]]" not in text
    assert lines_changed(HOWE, text)[1] == []


def test_a_load_with_its_bracket_is_added_whole():
    load = {
        "id": "P",
        "chord": "TC1",
        "face": "back",
        "at": "900 mm",
        "design": "3.1 kN",
        "bracket": {"width": "90 mm", "height": "120 mm"},
    }
    job = parse_job(amended(HOWE, [Edit(("loads",), "add", load)]))
    assert [x.id for x in job.loads] == ["T1", "P"]
    assert (job.loads[1].bracket.width, job.loads[1].bracket.height) == (90.0, 120.0)
    assert (job.loads[0].bracket.height, job.loads[0].at) == (150.0, 600.0)


def test_a_date_stays_a_date():
    text = amended(HOWE, [Edit(("job", "date"), "set", "2026-05-17")])
    assert tomllib.loads(text)["job"]["date"] == date(2026, 5, 17)
    text = amended(HOWE, [Edit(("job", "date"), "set", "soon")])
    assert tomllib.loads(text)["job"]["date"] == "soon"


@pytest.mark.parametrize("value", ['"', "'''", "a\nb", "\u0000", "\ufeff", "#", "= x", "é\u2028"])
def test_any_text_comes_back_as_it_was_typed(value):
    text = amended(HOWE, [Edit(("job", "title"), "set", value)])
    assert tomllib.loads(text)["job"]["title"] == value


@pytest.mark.parametrize(
    "edit",
    [
        Edit((), "set", 1),
        Edit(("loads", 7, "at"), "set", "1 mm"),
        Edit(("job", "title", "deep"), "set", 1),
        Edit(("girder", "new", 0), "set", 1),
        Edit(("job", "number"), "add", 1),
        Edit(("job",), "burn"),
    ],
)
def test_a_place_that_is_not_there_is_refused(edit):
    with pytest.raises(AmendError):
        amended(HOWE, [edit])


def test_what_is_no_toml_is_refused_in_words():
    with pytest.raises(AmendError, match="cannot be changed by its fields"):
        amended("a = ", [Edit(("job", "title"), "set", "x")])


def test_every_plain_key_of_the_schema_can_be_set_and_taken_away_again():
    """Walks the schema, so that a new key is tried without anybody thinking of it."""
    defs = json_schema()["$defs"]
    homes = {
        "JobTable": ("job",),
        "GirderTable": ("girder",),
        "ShapeTable": ("girder", "shape"),
        "BasisTable": ("basis",),
        "FasteningTable": ("fastening",),
        "LoadTable": ("loads", 0),
        "BracketTable": ("loads", 0, "bracket"),
    }
    before = tomllib.loads(HOWE)
    for table, home in homes.items():
        for key in defs[table]["properties"]:
            text = amended(HOWE, [Edit((*home, key), "set", "x")])
            assert tomllib.loads(text) != before, (table, key)
            dropped = tomllib.loads(amended(text, [Edit((*home, key), "drop")]))
            here = dropped
            for part in home:
                here = here[part]
            assert key not in here


def test_samples_are_read_the_same_after_a_change_and_back():
    for path in SAMPLES:
        text = path.read_text()
        value = tomllib.loads(text)["girder"]["ply_thickness"]
        there = amended(text, [Edit(("girder", "ply_thickness"), "set", "44 mm")])
        assert amended(there, [Edit(("girder", "ply_thickness"), "set", value)]) == text
        assert read_job(path).girder.ply_thickness != 44.0
