"""Slips of the pen in sizes and rows: each is asked about, with the value that was likely meant.

The bounds are common practice, no source; the values that were meant are those before the slip.
"""

from __future__ import annotations

import pytest
from inspection_records import sample
from jobs_in_text import Ask, job_text

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.read_back import read_back
from girderply.schedule.slips import likely_meant
from girderply.wording import english

CODES = {
    *("depth-unusual", "web-deep", "chords-unlike", "parts-unlike", "row-step", "row-short"),
    *("bracket-size", "bearing-beyond", "bearing-inside", "load-over-bearing"),
}
ROW = """
[[loads]]
id = "T"
chord = "BC1"
face = "front"
at = {at}
to = {to}
every = {every}
permanent = "{permanent}"
variable = "{variable}"
"""
USUAL = {"at": '"600 mm"', "to": '"9000 mm"', "every": '"600 mm"', "permanent": "1.1 kN",
         "variable": "1.6 kN"}  # fmt: skip


def plain(text):
    return english(text).replace("\u00a0", " ").replace("\u202f", " ")


def asked(*, imperial=False, **changed):
    row = {k: changed.pop(k, v) for k, v in USUAL.items()}
    made = build_schedule(
        parse_job(job_text(Ask(loads=ROW.format(**row), imperial=imperial, **changed)))
    )
    found = {f.code: f for f in made.findings if f.code in CODES}
    for finding in found.values():
        assert any(english(finding.message) in english(line) for line in read_back(made).unusual)
    return found


def test_a_usual_girder_is_asked_nothing():
    assert asked() == {}
    assert asked(imperial=True, top=139.7, bottom=184.15, web=88.9) == {}


@pytest.mark.parametrize(
    "name",
    ["two-ply-howe", "two-ply-imperial", "two-ply-screwed", "three-ply-pratt", "six-ply",
     "truncated-nodes", "four-ply-parallel"],
)  # fmt: skip
def test_good_samples_are_asked_nothing(name):
    assert not [f for f in sample(name).findings if f.code in CODES]


@pytest.mark.parametrize(
    ("changed", "code", "meant"),
    [
        ({"web": 59.0}, "depth-unusual", "95 mm"),
        ({"bottom": 159.0}, "depth-unusual", "195 mm"),
        ({"web": 950.0}, "web-deep", "95 mm"),
        ({"web": 9.5 * 25.4}, "web-deep", "look at"),
        ({"top": 95.0}, "chords-unlike", "look at"),
        ({"at": '"6000 mm"'}, "row-short", "600 mm"),
        ({"to": '"900 mm"'}, "row-short", "9 000 mm"),
        ({"every": '"6000 mm"'}, "row-step", "600 mm"),
        ({"every": '"60 mm"'}, "row-step", "600 mm"),
        ({"permanent": "0.11 kN"}, "parts-unlike", "0.16 kN or 1.10 kN"),
        ({"variable": "16 kN"}, "parts-unlike", "1.60 kN"),
    ],
)
def test_a_slip_is_asked_about(changed, code, meant):
    assert meant in plain(asked(**changed)[code].tip)


def test_a_row_that_is_short_on_purpose_is_a_note():
    """Trusses from the middle on: no slip makes 4800 of what a whole row would begin with."""
    found = asked(at='"4800 mm"')
    assert str(found["row-short"].severity) == "note"
    assert "nothing of it hangs before" in english(found["row-short"].message)


REST = "[[girder.bearings]]\nx = {}\nwidth = 140\n"
HUNG = '[[loads]]\nid = "H"\nchord = "BC1"\nface = "front"\nat = {at}\ndesign = "4 kN"\n{more}'


@pytest.mark.parametrize(
    ("left", "code", "meant"),
    [(70, "", ""), (7, "bearing-beyond", "70 mm"), (700, "bearing-inside", "70 mm"),
     (400, "", "")],
)  # fmt: skip
def test_a_bearing_whose_point_was_moved(left, code, meant):
    text = job_text(Ask(loads=HUNG.format(at=3000, more="")))
    rests = REST.format(left) + REST.format(9530)
    made = build_schedule(parse_job(text.replace("[girder.shape]", rests + "[girder.shape]", 1)))
    found = {f.code: f for f in made.findings if f.code in CODES}
    assert set(found) == ({code} if code else set())
    assert not code or meant in plain(found[code].tip)


@pytest.mark.parametrize(
    ("at", "more", "code", "meant"),
    [(3000, "bracket = { width = 9, height = 150 }", "bracket-size", "90 mm"),
     (3000, "bracket = { width = 90, height = 15 }", "bracket-size", "51 mm or 150 mm"),
     (60, "", "load-over-bearing", "")],
)  # fmt: skip
def test_a_single_load_and_its_bracket(at, more, code, meant):
    made = build_schedule(parse_job(job_text(Ask(loads=HUNG.format(at=at, more=more)))))
    (found,) = [f for f in made.findings if f.code in CODES]
    assert found.code == code
    assert meant in plain(english(found.tip))


def test_neighbours_exchanged_and_points_moved():
    """59 is 95 with its figures exchanged, 5.3 is 3.5, 3 or 300 is 30 with its point moved."""
    assert likely_meant(59.0, lambda v: v == 95.0) == [95.0]
    assert likely_meant(30.0, lambda _: True) == [3.0, 300.0, 3.0, 3000.0, 0.3]
    (meant,) = likely_meant(5.3 * 25.4, lambda v: abs(v - 3.5 * 25.4) < 0.1, 25.4)
    assert meant == pytest.approx(3.5 * 25.4)
    assert likely_meant(6.1 * 25.4, lambda v: abs(v - 3.5 * 25.4) < 0.1, 25.4) == []


def test_what_was_not_held_against_the_drawing_is_said():
    """Three plies for two cannot be seen in a job: only the truss designer's figure tells."""
    line = read_back(build_schedule(parse_job(job_text(Ask())))).not_checked[0]
    assert english(line).startswith("Nothing of the truss designer's drawing was given")
    said = "[designer]\nplies = 2\nmass = 150\n"
    text = job_text(Ask()).replace("[basis]", said + "[basis]", 1)
    line = read_back(build_schedule(parse_job(text))).not_checked[0]
    line = english(line)
    assert "Plies" not in line
    assert "Mass" not in line
    assert "Reactions on the drawing; Plates on one face; Members" in line
