"""Loads and supports that can hardly be meant: each is asked about, with the likely value."""

import pytest
from jobs_in_text import Ask, job_text

from girderply.jobfile import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import english

LOAD = '[[loads]]\nid = "T"\nchord = "BC1"\nface = "{face}"\nat = "3 m"\n{value}\n'
CODES = (
    *("no-loads", "all-on-top", "load-small", "load-large", "one-bearing", "bearing-width"),
    *("free-end", "bearing-lifts", "bearing-pressure"),
)


def bearings(*at, width="140 mm"):
    return "".join(f'[[girder.bearings]]\nx = {x}\nwidth = "{width}"\n' for x in at)


def asked(value='design = "4 kN"', *, face="front", rests="", imperial=False):
    loads = LOAD.format(face=face, value=value) if value else ""
    text = job_text(Ask(loads=loads, imperial=imperial))
    text = text.replace("[girder.shape]", rests + "[girder.shape]", 1)
    made = build_schedule(parse_job(text))
    return {f.code: f for f in made.findings if f.code in CODES}


def plain(text):
    return english(text).replace("\u00a0", " ")


def test_a_usual_job_is_asked_nothing():
    assert asked(rests=bearings(70, 9530)) == {}


def test_no_loads_stand_before_every_other_warning():
    made = build_schedule(parse_job(job_text(Ask())))
    assert made.findings[0].code == "no-loads"


@pytest.mark.parametrize(
    ("value", "code", "meant"),
    [
        ('design = "2.7 N"', "load-small", "2.70 kN"),
        ('permanent = "1 N"\nvariable = "2 N"', "load-small", "3.00 kN"),
        ('design = "100 kN"', "load-large", "10.00 kN or 1.00 kN"),
        ("design = 600", "load-large", "0.60 kN or 2.67 kN"),  # 600 N, or 600 lbf
    ],
)
def test_a_load_of_the_wrong_size(value, code, meant):
    found = asked(value)
    assert found[code].where == "loads.T"
    assert meant in plain(english(found[code].tip))


def test_everything_on_top_is_said():
    found = asked('design = "9 kN"', face="top")
    assert "no fastener is asked to transfer anything" in english(found["all-on-top"].message)


def test_nine_hundred_kilonewtons_cannot_be_borne():
    """450 kN on 140 x 76 mm: 42 N/mm2 across the grain."""
    text = LOAD.format(face="top", value='design = "60 kN"')
    text = text.replace('at = "3 m"', 'at = "0.6 m"\nto = "9 m"\nevery = "0.6 m"')
    rests = bearings(70, 9530) + "[girder.shape]"
    text = job_text(Ask(loads=text)).replace("[girder.shape]", rests)
    made = build_schedule(parse_job(text))
    crushed = [f for f in made.findings if f.code == "bearing-pressure"]
    assert [str(f.severity) for f in crushed] == ["error", "error"]
    assert "42.29 N/mm2" in plain(english(crushed[0].message)).replace("\u00b2", "2")
    assert made.failed


def test_one_bearing_is_an_error():
    found = asked(rests=bearings(70))
    assert str(found["one-bearing"].severity) == "error"


def test_a_bearing_that_lost_a_figure():
    found = asked(rests=bearings(70, 953))
    assert "9 530 mm" in plain(english(found["free-end"].tip)).replace("\u202f", " ")
    assert found["free-end"].where == "girder.bearings[2].x"
    assert "lifts off with" in english(found["bearing-lifts"].message)


@pytest.mark.parametrize(("width", "meant"), [("14 mm", "140 mm"), ("1.4 m", "140 mm")])
def test_a_bearing_of_the_wrong_width(width, meant):
    at = (70, 9530) if width == "14 mm" else (700, 8900)
    found = asked(rests=bearings(*at, width=width))
    assert meant in plain(english(found["bearing-width"].tip))


BRACKETED = 'design = "4 kN"\nplies_reached = {n}\nbracket = {{ width = 90, height = 150, {by} }}'


@pytest.mark.parametrize(
    ("reached", "nails", "said"),
    [
        (2, 38, {"reach-not-proved": "error"}),  # ends at the face of ply 2 of 38 mm
        (2, 40, {"reach-not-proved": "warning"}),  # 2 mm into it; how thick, how many?
        (1, 40, {"reach-not-counted": "note"}),
        (1, 38, {}),
        (3, 120, {"reach-not-proved": "warning", "bracket-nail-through": "warning"}),
    ],
)
def test_nails_of_a_bracket_against_the_plies_that_they_are_said_to_reach(reached, nails, said):
    """Three plies of 38 mm, 114 mm of timber; the length of nails alone proves no further ply."""
    by = BRACKETED.format(n=reached, by=f"nail_length = {nails}")
    loads = LOAD.format(face="front", value=by)
    made = build_schedule(parse_job(job_text(Ask(loads=loads, plies=3))))
    codes = ("reach-not-proved", "reach-not-counted", "bracket-nail-through")
    assert {f.code: f.severity.value for f in made.findings if f.code in codes} == said
    assert all(x.plies_reached == 1 for x in made.girder.loads)
    assert any(c.interface == 1 for c in made.checks)
    if "error" in said.values():
        assert made.failed
