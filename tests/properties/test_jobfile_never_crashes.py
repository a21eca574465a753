"""Whatever stands in a job file, reading it gives a job or a JobError, and nothing else."""

from __future__ import annotations

import copy
import json
import tomllib
from datetime import date, datetime
from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st
from job_lines import BASE, MEMBERS

from girderply.errors import JobError
from girderply.jobfile import parse_job

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
TEXTS = (BASE, MEMBERS, *(p.read_text(encoding="utf-8") for p in SAMPLES))
KEYS = ("id", "x", "nodes", "shape", "span", "loads", "every", "to", "bolts", "units", "overrides")

SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(["1 mm", "-1 m", "1e308 m", "6:12", "BC1", "front", "imperial", "10 ft 3 in"]),
    st.sampled_from([date(2026, 1, 2), datetime(2026, 1, 2, 3, 4)]),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(KEYS) | st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


def toml(value):
    """Any value as inline TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        entries = (f"{json.dumps(k)} = {toml(v)}" for k, v in value.items())
        return "{ " + ", ".join(entries) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return json.dumps(value).replace("\x7f", "\\u007f")
    return repr(value) if value is not None else '""'


def places(data, loc=()):
    """Every place in a job, keys and positions."""
    entries = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in entries:
        yield (*loc, key)
        if isinstance(value, dict | list):
            yield from places(value, (*loc, key))


def read(text):
    """A job, or findings that a person can act on."""
    try:
        return parse_job(text)
    except JobError as error:
        check(error.findings)
        return None


def check(findings):
    """Some finding, and each one line of printable text with a place."""
    assert findings
    for finding in findings:
        line = f"{finding.where}: {finding.message} {finding.tip}".replace("\u00a0", " ")
        assert line.isprintable()
        assert len(line) < 1500
        assert finding.where
        assert finding.message


@st.composite
def changed_jobs(draw):
    """A sample with one to three values replaced, removed or added."""
    data = copy.deepcopy(tomllib.loads(draw(st.sampled_from(TEXTS))))
    for _ in range(draw(st.integers(1, 3))):
        loc = draw(st.sampled_from(sorted(places(data), key=str)))
        target = data
        for part in loc[:-1]:
            target = target[part]
        action = draw(st.sampled_from(["replace", "remove", "add"]))
        if action == "remove" and len(target) > 1:
            del target[loc[-1]]
        elif action == "add" and isinstance(target, dict):
            target[draw(st.sampled_from(KEYS) | st.text(max_size=5))] = draw(VALUES)
        else:
            target[loc[-1]] = draw(VALUES)
    return "\n".join(f"{json.dumps(key)} = {toml(value)}" for key, value in data.items())


@st.composite
def damaged_texts(draw):
    """A sample with a piece cut out or written over."""
    text = draw(st.sampled_from(TEXTS))
    start = draw(st.integers(0, len(text)))
    end = min(len(text), start + draw(st.integers(0, 40)))
    return text[:start] + draw(st.text(max_size=20)) + text[end:]


@settings(max_examples=300, deadline=None)
@given(changed_jobs())
def test_changed_values(text):
    read(text)


@settings(max_examples=150, deadline=None)
@given(damaged_texts())
def test_damaged_text(text):
    read(text)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200))
@example("[[job]]\n[girder]\nshape = 1\nloads = 2")
@example("loads = [[]]\nfastening = []\nbasis = 0")
def test_any_text(text):
    read(text)


def test_every_unchanged_text_is_read():
    jobs = [read(text) for text in TEXTS]
    assert None not in jobs
    rewritten = [
        "\n".join(f"{json.dumps(k)} = {toml(v)}" for k, v in tomllib.loads(text).items())
        for text in TEXTS
    ]
    assert [parse_job(text) for text in rewritten] == jobs
