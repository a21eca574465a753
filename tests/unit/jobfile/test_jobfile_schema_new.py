"""The JSON Schema takes what the reader takes, and new jobs and samples are read as they are."""

from __future__ import annotations

import json
import math
import re
import tomllib
from datetime import date
from itertools import product
from pathlib import Path

import pytest
from job_lines import BASE, MEMBERS, findings_of, spoilt

from girderply.errors import JobError
from girderply.jobfile import json_schema, new_job, parse_job, read_job

SAMPLES = sorted((Path(__file__).parents[3] / "sample_jobs").glob("*.toml"))
KINDS = (
    "king post",
    "queen post",
    "howe",
    "pratt",
    "fink",
    "warren",
    "parallel chord",
    "mono",
    "truncated",
)
TYPES = {
    "string": str,
    "boolean": bool,
    "object": dict,
    "array": list,
    "null": type(None),
}
KNOWN_WORDS = {
    *("$defs", "$ref", "$schema", "title", "description", "default", "examples", "format"),
    *(
        "type",
        "enum",
        "const",
        "anyOf",
        "x-dimension",
        "properties",
        "required",
        "additionalProperties",
    ),
    *("propertyNames", "maxProperties", "items", "minItems", "maxItems", "pattern"),
    *("minLength", "maxLength", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"),
}


def is_type(value, name):
    if name in ("number", "integer"):
        kinds = (int, float) if name == "number" else (int,)
        return isinstance(value, kinds) and not isinstance(value, bool)
    return isinstance(value, TYPES[name])


def faults(value, schema, root, where="job"):
    """A small validator of the words of JSON Schema 2020-12 that the schema uses."""
    assert set(schema) <= KNOWN_WORDS, set(schema) - KNOWN_WORDS
    if "$ref" in schema:
        yield from faults(value, root["$defs"][schema["$ref"].split("/")[-1]], root, where)
    if "anyOf" in schema and all(list(faults(value, s, root, where)) for s in schema["anyOf"]):
        yield f"{where}: fits nothing of anyOf"
    types = schema.get("type", [])
    types = [types] if isinstance(types, str) else types
    if types and not any(is_type(value, t) for t in types):
        yield f"{where}: is no {types}"
        return
    if "enum" in schema and value not in schema["enum"]:
        yield f"{where}: not in {schema['enum']}"
    if "const" in schema and value != schema["const"]:
        yield f"{where}: not {schema['const']}"
    if is_type(value, "number"):
        yield from number_faults(value, schema, where)
    if isinstance(value, str):
        yield from text_faults(value, schema, where)
    if isinstance(value, list):
        yield from list_faults(value, schema, root, where)
    if isinstance(value, dict):
        yield from table_faults(value, schema, root, where)


def number_faults(value, schema, where):
    inside = (
        value >= schema.get("minimum", -math.inf)
        and value <= schema.get("maximum", math.inf)
        and value > schema.get("exclusiveMinimum", -math.inf)
        and value < schema.get("exclusiveMaximum", math.inf)
    )
    if not inside:
        yield f"{where}: {value} is out of range"


def text_faults(value, schema, where):
    if not schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", math.inf):
        yield f"{where}: length"
    if "pattern" in schema and not re.search(schema["pattern"], value):
        yield f"{where}: {value!r} does not match"
    if schema.get("format") == "date" and not re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        yield f"{where}: no date"


def list_faults(value, schema, root, where):
    if not schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", math.inf):
        yield f"{where}: number of entries"
    for i, entry in enumerate(value):
        yield from faults(entry, schema.get("items", {}), root, f"{where}[{i}]")


def table_faults(value, schema, root, where):
    known = schema.get("properties", {})
    yield from (f"{where}: no {key}" for key in schema.get("required", []) if key not in value)
    for key, entry in value.items():
        inner = known.get(key, schema.get("additionalProperties", {}))
        if inner is False:
            yield f"{where}: unknown {key}"
        else:
            yield from faults(entry, inner, root, f"{where}.{key}")


def schema_faults(text):
    data = tomllib.loads(text)
    if isinstance(data.get("job", {}).get("date"), date):
        data["job"]["date"] = data["job"]["date"].isoformat()
    return list(faults(data, json_schema(), json_schema()))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_samples_are_read_and_fit_the_schema(path):
    job = read_job(path)
    assert job.info.demo
    assert "DEMO" in path.read_text(encoding="utf-8").splitlines()[0]
    assert job.girder.plies in range(2, 7)
    assert schema_faults(path.read_text(encoding="utf-8")) == []


def test_there_are_samples_for_every_number_of_plies_that_the_scenario_names():
    assert {read_job(p).girder.plies for p in SAMPLES} == {2, 3, 4, 6}


@pytest.mark.parametrize("text", [BASE, MEMBERS], ids=["shape", "members"])
def test_right_jobs_fit_the_schema(text):
    assert schema_faults(text) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("plies = 3", "plies = 7"),
        ("plies = 3", 'plies = "3"'),
        ("mark =", "marc ="),
        ('number = "T-7"\n', ""),
        ('"howe"', '"how"'),
        ('"9.6 m"', '"9.6 kN"'),
        ('"9.6 m"', '"wide"'),
        ('"9.6 m"', "0"),
        ("permanent = 1.1", "permanent = -1"),
        ('"front"', '"left"'),
        ("service_class = 2", "service_class = 0"),
    ],
)
def test_editor_and_reader_refuse_the_same(old, new):
    text = spoilt(old, new)
    assert schema_faults(text) != []
    assert findings_of(text) != ()


def test_schema_is_plain_json_and_describes_every_key():
    schema = json.loads(json.dumps(json_schema()))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    tables = [schema, *schema["$defs"].values()]
    silent = [
        f"{t['title']}.{key}"
        for t in tables
        for key, value in t.get("properties", {}).items()
        if not value.get("description")
    ]
    assert silent == []
    assert all(t["additionalProperties"] is False for t in tables)


def test_new_jobs_of_every_shape_are_read_as_they_are_and_fit_the_schema():
    for kind, (units, span) in product(KINDS, [("metric", "9.6 m"), ("imperial", "31' 6\"")]):
        text = new_job(kind, span, units=units, plies=3)
        job = parse_job(text)
        assert job.girder.shape is not None
        assert (job.girder.shape.kind, job.girder.plies) == (kind, 3)
        assert job.girder.shape.span == pytest.approx(9601.2 if units == "imperial" else 9600)
        assert schema_faults(text) == []


def test_new_job_takes_what_it_is_told():
    text = new_job(
        "pratt", 30, units="imperial", plies=4, height="6 ft", panels=8, top_chord="5.5 in",
        bottom_chord="9.25 in", web="5.5 in", ply_thickness=1.5, timber="Southern Pine",
        load_every="4 ft", load_permanent=500, load_variable="0.7 kip", mark='G"2', number="77",
        overhang=18, heel_height="1 ft",
    )  # fmt: skip
    job = parse_job(text.replace("span = 30", 'span = "30 ft"'))
    girder, load = job.girder, job.loads[0]
    assert (girder.mark, girder.plies, girder.timber) == ('G"2', 4, "Southern Pine")
    assert (girder.shape.height, girder.shape.pitch) == (pytest.approx(1828.8), None)
    assert (girder.shape.panels, girder.shape.overhang) == (8, pytest.approx(457.2))
    assert girder.depths["bottom chord"] == pytest.approx(234.95)
    assert (load.every, load.at) == (pytest.approx(1219.2), pytest.approx(1219.2))
    assert load.permanent == pytest.approx(500 * 4.4482216152605)
    assert load.variable == pytest.approx(700 * 4.4482216152605)
    assert not job.info.demo  # every load is the user's own


def test_example_loads_are_marked():
    text = new_job("howe", "9.6 m", load_permanent="1 kN")
    assert parse_job(text).info.demo
    assert text.count("REPLACE BY THE REAL VALUE") == 2


def test_new_job_has_a_comment_for_the_detailer_on_every_line_of_the_shape():
    lines = new_job("howe", "9.6 m").split("[girder.shape]\n")[1].split("\n\n")[0].splitlines()
    assert [line.split(" = ")[0] for line in lines] == ["kind", "span", "pitch", "panels"]
    assert all("# " in line for line in lines)


def test_new_job_is_the_same_every_time():
    assert new_job("fink", "8 m") == new_job("fink", "8 m")


@pytest.mark.parametrize(
    ("kind", "span", "options", "said"),
    [
        ("how", "9.6 m", {}, r'girder\.shape\.kind: "how" is not one of'),
        ("howe", "9.6 kN", {}, r"girder\.shape\.span: .*is a force"),
        ("howe", math.nan, {}, r"girder\.shape\.span: nan is not a finite"),
        ("howe", "0 m", {}, r"girder\.shape\.span: .*out of range"),
        ("howe", "9.6 m", {"units": "metrical"}, 'job.units: "metrical" is not one of'),
        ("howe", "9.6 m", {"plies": 7}, r"girder\.plies: 7 must be at most 6"),
        ("howe", "9.6 m", {"pitch": "20 deg", "height": "2 m"}, "pitch and height are both given"),
        ("truncated", "9.6 m", {"pitch": "steep"}, r"girder\.shape\.pitch: "),
        ("howe", "9.6 m", {"title": "a\nb\x00"}, r"job\.title: character 2"),
        ("howe", "9.6 m", {"load_every": "1 mm"}, "at most 500"),
    ],
)
def test_new_job_refuses_with_findings(kind, span, options, said):
    with pytest.raises(JobError, match=said):
        new_job(kind, span, **options)
