"""The schema that editors get: closed lists, every sample valid, every key said in words."""

from __future__ import annotations

import json
import tomllib

import pytest
from command import girderply
from jsonschema import Draft202012Validator
from made_schedules import SAMPLES

from girderply import catalogue
from girderply.exchange.job_schema import SCHEMA_FILE, job_schema, job_schema_text
from girderply.jobfile import parse_job


def faults(text):
    data = json.loads(json.dumps(tomllib.loads(text), default=str))
    return [e.message for e in Draft202012Validator(job_schema()).iter_errors(data)]


@pytest.mark.parametrize("name", sorted(p.name for p in SAMPLES.glob("*.toml")))
def test_every_sample_is_valid(name):
    assert faults((SAMPLES / name).read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ('timber = "C24"', 'timber = "C25"'),
        ('kind = "howe"', 'kind = "how"'),
        ('rules = "common-practice"', 'rules = "comon-practice"'),
        ('transfer_by = "nail"', 'transfer_by = "nails"'),
    ],
)
def test_a_wrong_name_is_marked(right, wrong):
    text = (SAMPLES / "two-ply-howe.toml").read_text("utf-8")
    assert right in text
    assert faults(text.replace(right, wrong, 1))


def test_every_timber_and_bolt_is_offered_and_a_typed_nail_is_taken():
    defs = job_schema()["$defs"]
    offered = json.dumps(defs["GirderTable"]["properties"]["timber"]["enum"])
    assert all(json.dumps(t.key) in offered for t in catalogue.timbers())
    nail = Draft202012Validator(defs["FasteningTable"]["properties"]["nail"])
    assert all(nail.is_valid(n.key) for n in catalogue.nails())
    assert nail.is_valid("2.87 x 77")
    assert not nail.is_valid("a long one")


def test_every_key_is_said_in_words_under_its_table():
    text = job_schema_text()
    for table in job_schema()["$defs"].values():
        for key, entry in table.get("properties", {}).items():
            holds = json.dumps(entry)
            assert f"\n  {key}: " in text or "$ref" in holds, key
    for table in ("[job]", "[girder.shape]", "[[girder.members]]", "[[loads]]", "[loads.bracket]"):
        assert f"\n{table}  " in text, table
    assert "ply_thickness: length (needed)" in text
    assert 'Example: "38 mm"' in text


def test_text_and_json_come_from_the_command(capsys):
    assert girderply(capsys, "schema", "--text").out == job_schema_text()
    assert json.loads(girderply(capsys, "schema").out) == job_schema()


def test_a_new_job_names_the_schema_that_lies_beside_it(capsys, tmp_path):
    out = tmp_path / "job.toml"
    ran = girderply(capsys, "new", "--shape", "howe", "--span", "9.6 m", "--out", out)
    assert ran.code == 0, ran.err
    text = out.read_text("utf-8")
    assert text.splitlines()[0] == f"#:schema ./{SCHEMA_FILE}"
    assert json.loads((tmp_path / SCHEMA_FILE).read_text("utf-8")) == job_schema()
    assert parse_job(text).girder.plies == 2
    assert faults(text) == []
