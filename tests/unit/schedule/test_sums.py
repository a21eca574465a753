"""Sums of a job by hand, and the truss designer's drawing held against them."""

import pytest
from every_key import HANG, LISTS, head, texts
from jobs_in_text import Ask, job_text

from girderply.jobfile import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import english

LOADS = """
[[loads]]
id = "F"
chord = "BC1"
face = "front"
at = "600 mm"
to = "9000 mm"
every = "600 mm"
permanent = "1.1 kN"
variable = "1.6 kN"
[[loads]]
id = "B"
chord = "BC1"
face = "back"
at = "2.4 m"
permanent = "3 kN"
uplift = "1 kN"
"""
BEARINGS = "[[girder.bearings]]\nx = 100\nwidth = 140\n[[girder.bearings]]\nx = 9500\nwidth = 140\n"


def text(designer=""):
    whole = job_text(Ask(loads=LOADS)).replace("[girder.shape]", BEARINGS + "[girder.shape]", 1)
    return whole + (f"[designer]\n{designer}\n" if designer else "")


def built(designer=""):
    return build_schedule(parse_job(text(designer)))


def differing(made):
    return {f.where: f for f in made.findings if f.code == "designer-differs"}


def test_sums_by_hand():
    """15 trusses of 1.1 + 1.6 kN about midspan, 3 kN at 2.4 m: 2.4 m from 0 is 2.3 m of 9.4 m."""
    sums = built().sums
    assert sums.count == 16
    assert sums.total.permanent == pytest.approx(15 * 1100 + 3000)
    assert sums.total.variable == pytest.approx(15 * 1600)
    assert sums.total.uplift == pytest.approx(1000)
    assert sums.total.design == pytest.approx(15 * (1.35 * 1100 + 1.5 * 1600) + 1.35 * 3000)
    assert set(sums.faces) == {"front", "back"}
    assert sums.faces["front"].unfactored == pytest.approx(15 * 2700)
    left, right = sums.reactions
    assert right.unfactored == pytest.approx(15 * 2700 / 2 + 3000 * 2300 / 9400)
    assert left.unfactored == pytest.approx(15 * 2700 / 2 + 3000 * 7100 / 9400)


def test_sums_stand_in_the_contract():
    made = built()
    said = to_contract(made)["sums"]
    assert said["loads"] == 16
    assert said["permanent_N"] == pytest.approx(19500)
    assert said["faces"]["back"]["permanent_N"] == pytest.approx(3000)
    assert sum(r["design_N"] for r in said["reactions"]) == pytest.approx(said["design_N"])
    assert said["self_weight_N"] == pytest.approx(made.masses.total * 9.80665, abs=0.01)


RIGHT = 15 * 2.7 / 2 + 3 * 2300 / 9400  # 20.98 kN
LEFT = 15 * 2.7 / 2 + 3 * 7100 / 9400  # 22.52 kN


def test_a_drawing_that_agrees_says_nothing():
    made = built(
        f'reactions = ["{LEFT} kN", "{RIGHT * 1.019} kN"]\nplies = 2\nplates = 12\nmembers = 12\n'
    )
    assert len(made.girder.plates) == 12
    assert len(made.girder.members) == 12
    assert differing(made) == {}


@pytest.mark.parametrize(
    ("designer", "key", "words"),
    [
        (f'reactions = ["{LEFT} kN", "{RIGHT * 1.03} kN"]', "reactions[2]", "21.61"),
        ('reactions = ["22.5 kN"]', "reactions", "1 reactions, this job 2 bearings"),
        ("plies = 3", "plies", "shows 3 plies, this job 2"),
        ("plates = 10", "plates", "shows 10 nail plates"),
        ("members = 13", "members", "shows 13 members, this job has 12"),
        ('mass = "100 kg"', "mass", "says 100"),
        ('timber = "C30"', "timber", "says timber C30, this job C24"),
        ('ply_thickness = "45 mm"', "ply_thickness", "plies of 45 mm, this job 38 mm"),
        ('top_chord = "147 mm"', "top_chord", "says top chords 147 mm deep, this job"),
        ('bottom_chord = "220 mm"', "bottom_chord", "bottom chords 220 mm deep, this job 195 mm"),
        (
            'span = "9.7 m"',
            "span",
            "9 700 mm out to out of the bottom chord, this job comes to 9 600",
        ),
        ('length = "9.7 m"', "length", "says 9 700 mm over all, this job comes to"),
        ('height = "3.1 m"', "height", "a height of 3 100 mm, this job comes to"),
        ('heel_height = "3 m"', "heel_height", "a heel of 3 000 mm at the left, this job comes to"),
        ("loads = 15", "loads", "shows 15 hung loads, this job has 16"),
        ('permanent = "24 kN"', "permanent", "says 24.00 kN permanent of all hung loads"),
        ('variable = "19.5 kN"', "variable", "this job comes to 24.00 kN (+23 %)"),
        ('uplift = "2 kN"', "uplift", "says 2.00 kN uplift of all hung loads"),
        ("service_class = 3", "service_class", "says service class 3, this job 1"),
        ('variable_duration = "short"', "variable_duration", '"short", this job "medium"'),
    ],
)
def test_a_drawing_that_differs_is_an_error(designer, key, words):
    made = built(designer)
    (found,) = differing(made).values()
    assert found.where == f"designer.{key}"
    assert words in english(found.message).replace("\u00a0", " ")
    assert made.failed


def test_a_truss_that_was_forgotten_is_found_by_the_reactions():
    """The one at 9 m of fifteen: 2.7 x 8.9 / 9.4 = 2.56 kN of 20.98 kN less at the right."""
    whole = f'reactions = ["{LEFT} kN", "{RIGHT} kN"]'
    less = text(whole).replace('to = "9000 mm"', 'to = "8400 mm"')
    assert set(differing(build_schedule(parse_job(less)))) == {"designer.reactions[2]"}


def test_design_reactions_and_own_weight():
    made = built()
    left, right = made.sums.reactions
    a, b = made.sums.weight_reactions
    assert a + b == pytest.approx(made.sums.weight)
    assert a == pytest.approx(b, rel=0.01), "a girder that is alike left and right"
    design = f'reactions = ["{left.design} N", "{right.design} N"]\nreactions_are = "design"'
    assert differing(built(design)) == {}
    heavy = f'reactions = ["{left.unfactored + a} N", "{right.unfactored + b} N"]'
    assert differing(built(heavy + "\nself_weight = true")) == {}
    assert len(differing(built(heavy))) == 2, "4 % of own weight are no 2 %"


@pytest.mark.parametrize(("said", "expected"), [("true", []), ("false", ["sign-differs"])])
def test_a_member_said_to_be_pulled_that_the_loads_press(said, expected):
    """A load on the upper chord between two posts presses both."""
    lists = LISTS.replace("compression = true", f"compression = {said}")
    made = build_schedule(parse_job(head() + lists + HANG.replace("BC1", "TC1")))
    found = [f for f in made.findings if f.code == "sign-differs"]
    assert [f.code for f in found] == expected
    assert [f.where for f in found] == ["girder.members[3].compression"] * len(expected)


DRAWN = """
timber = "C24"
ply_thickness = "38 mm"
top_chord = "145 mm"
bottom_chord = "195 mm"
span = "5.2 m"
length = "5.8 m"
height = "1741 mm"
heel_height = "240 mm"
loads = 8
permanent = "10.5 kN"
variable = "14 kN"
uplift = "21 kN"
service_class = 1
variable_duration = "medium"
"""
"""Of the table's job: 240 + 2600 tan 30 is 1741; overhangs of 300; 7 x 1.5, 7 x 2, 7 x 3 kN."""


def drawn():
    return texts()["shape"].partition("[designer]")[0] + "[designer]" + DRAWN


def test_a_drawing_that_agrees_in_everything():
    assert differing(build_schedule(parse_job(drawn()))) == {}


@pytest.mark.parametrize(
    ("slip", "by", "key"),
    [
        ('permanent = "1.5 kN"\nvariable = "2 kN"', 'permanent = "2 kN"\nvariable = "1.5 kN"',
         {"permanent", "variable"}),
        ('uplift = "3 kN"\n', "", {"uplift"}),
        ("service_class = 1\nperm", "service_class = 2\nperm", {"service_class"}),
        ('variable_duration = "medium"\nuplift', 'variable_duration = "short"\nuplift',
         {"variable_duration"}),
        ('heel_height = "240 mm"\npanels', 'heel_height = "264 mm"\npanels',
         {"heel_height", "height"}),
        ('to = "4200 mm"', 'to = "3600 mm"', {"loads", "permanent", "variable", "uplift"}),
    ],
)  # fmt: skip
def test_a_plausible_slip_is_found_by_the_drawing(slip, by, key):
    """What nobody can see in the job itself: each of these is "good" without `[designer]`."""
    whole = drawn()
    assert whole.count(slip) == 1, "the drawing itself stays as it is"
    found = differing(build_schedule(parse_job(whole.replace(slip, by))))
    assert set(found) == {f"designer.{k}" for k in key}
