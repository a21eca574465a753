"""The ledger: what nobody has given stands in it until the job confirms it by its key."""

import pytest
from jobs_in_text import Ask, job_text

from girderply.errors import JobError
from girderply.jobfile import new_job, parse_job
from girderply.schedule.assumed import folded
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import english

LOAD = """
[[loads]]
id = "H"
chord = "BC1"
face = "back"
at = "3 m"
permanent = "1 kN"
variable = "2 kN"
"""
BRACKET = '[loads.bracket]\nwidth = "90 mm"\nheight = "150 mm"\n'
ALL = {
    "girder.plates",
    "girder.bearings",
    "loads.H.bracket",
    "basis.reach",
    "basis.service_class",
    "basis.variable_duration",
}


def built(text, *, confirmed=(), assumed=()):
    head = f"confirmed = {list(confirmed)}\nassumed = {list(assumed)}\n[girder]".replace("'", '"')
    return build_schedule(parse_job(text.replace("[girder]", head, 1)))


def keys(schedule):
    return {one.key for one in schedule.assumed}


def test_what_a_job_leaves_open_stands_in_the_ledger():
    made = built(job_text(Ask(loads=LOAD)))
    assert keys(made) == ALL
    assert [one.key for one in made.unconfirmed] == [one.key for one in made.assumed]
    (said,) = [f for f in made.findings if f.code == "values-assumed"]
    assert all(f'"{key}"' in english(said.tip) for key in ALL)


GIVEN = {
    "loads.H.bracket": (LOAD, LOAD + BRACKET),
    "basis.reach": ("[basis]", '[basis]\nreach = "500 mm"'),
    "basis.service_class": ("[basis]", "[basis]\nservice_class = 1"),
    "basis.variable_duration": ("[basis]", '[basis]\nvariable_duration = "medium"'),
    "girder.bearings": ("[girder.shape]", "[[girder.bearings]]\nx=45\nwidth=90\n" * 2),
}


@pytest.mark.parametrize("key", GIVEN)
def test_what_is_given_leaves_the_ledger(key):
    old, new = GIVEN[key]
    if key == "girder.bearings":
        new = new.replace("x=45", "x=9555", 1) + old
    text = job_text(Ask(loads=LOAD)).replace(old, new, 1)
    assert keys(built(text)) == ALL - {key}


@pytest.mark.parametrize(
    ("bracket", "assumed"),
    [
        (BRACKET, True),
        (BRACKET + 'nail_length = "90 mm"\n', True),
        (BRACKET + "fixing = { d = 4, length = 90, number = 12 }\n", False),
        (BRACKET + 'bolt = "M12"\nbolts = [{ along = 0, across = 0 }]\n', False),
    ],
)
def test_plies_reached_are_believed_only_with_the_fixings_that_reach_them(bracket, assumed):
    made = built(job_text(Ask(loads=LOAD + "plies_reached = 2\n" + bracket)))
    assert ("loads.H.plies_reached" in keys(made)) is assumed
    (load,) = made.girder.loads
    assert load.plies_reached == (1 if assumed else 2)
    if assumed:
        (entry,) = [one for one in made.assumed if one.key == "loads.H.plies_reached"]
        assert english(entry.value).startswith("1 ply")


def test_a_confirmed_value_stays_in_the_ledger_and_is_open_no_more():
    text = job_text(Ask(loads=LOAD))
    made = built(text, confirmed=sorted(ALL - {"girder.plates"}))
    assert keys(made) == ALL
    assert [one.key for one in made.unconfirmed] == ["girder.plates"]
    said = to_contract(made)
    assert said["values_assumed"] is True
    assert {one["key"] for one in said["assumed"] if one["confirmed"]} == ALL - {"girder.plates"}
    whole = built(text, confirmed=sorted(ALL))
    assert to_contract(whole)["values_assumed"] is False
    assert [f.code for f in whole.findings if f.code == "values-assumed"] == []


def test_a_confirmation_of_nothing_is_said_with_the_nearest_key():
    made = built(job_text(Ask(loads=LOAD)), confirmed=["girder.plate"])
    (said,) = [f for f in made.findings if f.code == "confirms-nothing"]
    assert said.where == "job.confirmed[1]"
    assert "girder.plates" in english(said.tip)


def test_an_assumed_key_that_stands_nowhere_is_refused():
    with pytest.raises(JobError, match="stands nowhere in this file") as fault:
        built(job_text(Ask()), assumed=["girder.shape.pich"])
    (found,) = fault.value.findings
    assert found.where == "job.assumed[1]"
    assert "girder.shape.pitch" in english(found.tip)


def test_new_lists_what_it_invents_and_nothing_that_it_was_told():
    """Forces given: the job is no demo any more, and still nobody gave bearings and brackets."""
    forces = {"load_permanent": "1 kN", "load_variable": "2 kN"}
    job = parse_job(new_job("howe", "9.6 m", plies=3, web="120 mm", pitch="25 deg", **forces))
    assert job.info.demo is False
    named = set(job.info.assumed)
    assert {"girder.bearings", "loads.T1.bracket", "girder.shape.panels"} <= named
    assert {"girder.sections.top_chord", "girder.timber", "loads.T1.face"} <= named
    told = {"girder.plies", "girder.sections.web", "girder.shape.pitch", "loads.T1.permanent"}
    assert not named & told
    made = build_schedule(job)
    assert named <= {one.key for one in made.unconfirmed}
    by_key = {one.key: one for one in made.assumed}
    assert by_key["girder.sections.top_chord"].value == "195 mm"
    assert english(by_key["girder.bearings"].value).startswith("x 70 mm, width 140 mm; x 9530 mm")
    assert by_key["girder.bearings"].on_girder
    assert not by_key["basis.service_class"].on_girder


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("kind", ["howe", "parallel chord", "truncated", "fink", "mono"])
def test_every_key_that_new_lists_stands_in_what_it_writes(kind, units):
    span = "9.6 m" if units == "metric" else "31 ft 6 in"
    job = parse_job(new_job(kind, span, units=units))
    assert job.info.assumed
    assert all(job.says(key) for key in job.info.assumed)


CASES = """
[[basis.cases]]
id = "G"
kind = "permanent"
[[basis.cases]]
id = "S"
kind = "snow"
{said}
"""


@pytest.mark.parametrize(
    ("said", "open_"),
    [
        ("", {"basis.cases.S.duration", "basis.cases.S.factor"}),
        ('duration = "short"', {"basis.cases.S.factor"}),
        ('duration = "short"\nfactor = 0.5', set()),
    ],
)
def test_what_a_variable_case_leaves_to_its_kind_is_assumed(said, open_):
    """Snow: medium and 0.7 where nothing is said, both from memory of EN 1990 and EN 1995-1-1."""
    load = LOAD.replace(
        'permanent = "1 kN"\nvariable = "2 kN"', 'cases = { G = "1 kN", S = "1 kN" }'
    )
    assert "cases" in load
    made = built(job_text(Ask(loads=load)) + CASES.format(said=said))
    found = {
        one.key: english(one.value) for one in made.assumed if one.key.startswith("basis.cases")
    }
    assert set(found) == open_
    assert found.get("basis.cases.S.duration", "medium").startswith("medium")
    assert found.get("basis.cases.S.factor", "0.7") == "0.7"


WRITTEN = (
    "girder.ply_thickness", "girder.sections.web", "girder.timber", "loads.H.face", "loads.H.at",
)  # fmt: skip


def test_usual_values_of_one_thing_and_one_reason_are_one_line_and_none_is_lost():
    made = built(job_text(Ask(loads=LOAD)), assumed=WRITTEN)
    lines = folded(made.unconfirmed)
    told = [f"{english(one.what)}: {english(one.value)}" for one in lines]
    usual = [one for one in made.unconfirmed if one.key in WRITTEN]
    assert [one.usual for one in usual] == [True] * 5
    # geometry of the girder, its timber, and the load: three lines for five values
    assert len(lines) == len(made.unconfirmed) - 2
    for one in usual:
        assert sum(english(one.named) in line for line in told) == 1
    assert [t for t in told if t.startswith("usual values of H: ") and "back" in t]


def test_a_usual_value_that_is_confirmed_stands_apart_from_those_that_are_not():
    made = built(job_text(Ask(loads=LOAD)), assumed=WRITTEN, confirmed=["loads.H.face"])
    written = [one for one in folded(made.assumed) if one.key in WRITTEN]
    both = [one for one in written if one.key.startswith("loads")]
    assert [(one.key, one.confirmed) for one in both] == [
        ("loads.H.face", True),
        ("loads.H.at", False),
    ]


def test_the_warning_counts_usual_values_and_its_tip_names_each():
    made = built(job_text(Ask(loads=LOAD)), assumed=WRITTEN)
    (said,) = [f for f in made.findings if f.code == "values-assumed"]
    assert "5 usual values that nobody has looked at" in english(said.message)
    assert all(f'"{key}"' in english(said.tip) for key in WRITTEN)
