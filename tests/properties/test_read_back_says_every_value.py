"""Every value that is typed stands in a sentence for the second person who reads the job back.

A slip that is plausible in itself can be seen by nobody but the one who holds the sentences
against the drawing. So each key of the schema is changed, and the sentences about what was put in
must change with it. Those that hold a result too (mass, sums, reactions) do not count: of what
stands in them alone, and of values that have no other in their job, the words are asked for.
"""

import tomllib
from pathlib import Path

import pytest
from every_key import OTHER, changed, texts
from job_mutations import as_text

import girderply
from girderply.errors import JobError
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.read_back import read_back
from girderply.wording import english

WITH_RESULTS = {f"read_back.{name}" for name in ("girder", "sum", "bearings", "result")}
KEYS = {"job.assumed", "job.confirmed"}
"""They name other keys, and the ledger beside the sentences says each of those by its key."""
WORDS = {
    "girder.mark": ("shape", "Girder G1:"),
    "girder.plies": ("shape", "3 plies of 38 mm"),
    "girder.ply_thickness": ("shape", "of 38 mm C24"),
    "girder.timber": ("shape", "of 38 mm C24"),
    "girder.quantity": ("shape", "one is made"),
    "girder.bearings.x": ("shape", "at 5 130 mm"),
    "girder.bearings.width": ("shape", "at 70 mm, 140 mm wide"),
    "girder.shape.panel_lengths": ("uneven", "1 200 mm; 1 400 mm; 1 300 mm; 1 300 mm"),
    "girder.nodes.id": ("lists", "A 20 / 50"),
    "girder.members.id": ("lists", "TC1 top chord"),
    "girder.members.role": ("lists", "TC1 top chord"),
    "girder.members.nodes": ("lists", "top chord C-D"),
    "loads.chord": ("shape", "on BC1"),
    "loads.bracket.fixing.screw": ("screwed", "20 screws S"),
    "basis.standard": ("shape", "EN 1995-1-1"),
    "basis.cases.id": ("cases", "G 2.00 kN, S 3.00 kN, WL 1.00 kN, WR -4.00 kN"),
    "fastening.screw": ("screw", "Screw: S"),
    "fastening.screws.key": ("screw", "Screw S as declared"),
    "fastening.screws.tension": ("screw", "11.00 kN"),
}
"""Keys that have no other value in their job, or stand beside a result: what is said of them."""
AFTER = {
    "girder.timbers": "of 38 mm C24 (W3: C30)",
}
"""What is said of the other value, where it stands beside a result."""
GIVEN = {
    "designer.reactions_are": (
        "designer",
        {"reactions": ["9 kN", "8 kN"], "reactions_are": "design"},
        "Reactions on the drawing: 9.00 kN; 8.00 kN; Those reactions are: design values",
    ),
    "designer.self_weight": (
        "designer",
        {"reactions": ["9 kN", "8 kN"], "self_weight": True},
        "With its own weight: yes",
    ),
    "fastening.prescribed.members": (
        "fastening",
        {"prescribed": [{"members": ["W1", "W2"], "rows": 2, "pitch": "250 mm"}]},
        "Prescribed pattern for W1, W2 (Rows: 2; ",
    ),
    "fastening.rules_file": ("fastening", {"rules_file": "own.toml"}, "own.toml"),
}
"""A table of the job in which the key applies, and what is said of it."""
LEVEL = {"girder.members.align"}
"""Where two runs of a chord meet: tests/unit/model/test_level_chords.py."""


def sentences(text, without=frozenset()):
    """What is said of a job, or nothing where it is refused."""
    try:
        made = build_schedule(parse_job(text, folder="."))
    except JobError:
        return ""
    said = [s for s in read_back(made).said if s.key not in without]
    return "\n".join(map(english, said)).replace("\u00a0", " ")


@pytest.fixture(scope="module")
def usual():
    """Sentences of every job of the table without those that hold a result."""
    return {name: sentences(text, WITH_RESULTS) for name, text in texts().items()}


def test_every_key_is_tried_once():
    assert not set(WORDS) & set(GIVEN)
    assert set(WORDS) | set(GIVEN) | set(AFTER) | KEYS | LEVEL < set(OTHER)


@pytest.mark.parametrize(
    "key", [k for k in OTHER if k not in {*WORDS, *GIVEN, *AFTER, *KEYS, *LEVEL}]
)
def test_another_value_is_said_otherwise(usual, key):
    said = sentences(changed(key), WITH_RESULTS)
    assert said, "refused: its words must be asked for"
    assert said != usual[OTHER[key][0]]


@pytest.mark.parametrize("key", WORDS)
def test_a_value_stands_in_the_sentences(key):
    name, words = WORDS[key]
    assert words in sentences(texts()[name])


@pytest.mark.parametrize("key", AFTER)
def test_the_other_value_stands_in_the_sentences(usual, key):
    assert AFTER[key] in sentences(changed(key))
    assert AFTER[key] not in usual[OTHER[key][0]]


@pytest.mark.parametrize("key", GIVEN)
def test_a_value_of_a_table_stands_in_the_sentences(key, tmp_path):
    table, values, words = GIVEN[key]
    rules = Path(girderply.__file__).parent / "rules" / "data" / "common-practice.toml"
    (tmp_path / "own.toml").write_bytes(rules.read_bytes())
    job = tomllib.loads(texts()["shape"])
    job[table] = values
    said = read_back(build_schedule(parse_job(as_text(job), folder=str(tmp_path)))).said
    assert words in "\n".join(map(english, said)).replace("\u00a0", " ")
