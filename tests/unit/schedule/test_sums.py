"""Sums of a job by hand, and the truss designer's drawing held against them."""

import pytest
from every_key import HANG, LISTS, head
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
