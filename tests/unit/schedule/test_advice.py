"""Advice for a refused girder: what it proposes really works when it is done."""

from dataclasses import replace

import pytest
from jobs_in_text import Ask, job_text

from girderply.jobfile.job import BracketSpec, FixingSpec
from girderply.jobfile.reader import parse_job
from girderply.model.build_girder import build_girder
from girderply.schedule.advice import _proved
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.look_up import make_brief
from girderply.wording import english

HEAVY = """
[[loads]]
id = "L"
chord = "BC1"
face = "front"
at = "4 m"
permanent = "{force} kN"
"""


def job(force, **wants):
    return parse_job(job_text(Ask(loads=HEAVY.format(force=force), **wants)))


def codes(schedule):
    return [f.code for f in schedule.findings]


def test_what_carries_gets_no_advice():
    schedule = build_schedule(job(2))
    assert not schedule.failed
    assert not {"would-work", "nothing-works"} & set(codes(schedule))


def test_a_proposed_nail_carries_when_it_is_taken():
    """Prescribed rows are laid out as given; the nail is too weak, a thicker one is named."""
    pattern = '[[fastening.prescribed]]\nrole = "bottom chord"\nrows = 2\npitch = "300 mm"\n'
    asked = job(5, extra=pattern, nail="3.4 x 90")
    refused = build_schedule(asked)
    assert refused.failed
    tips = [f for f in refused.findings if f.code == "would-work" and f.where == "fastening.nail"]
    assert len(tips) == 1
    nail = english(tips[0].message).split("nails ")[1].split(" instead")[0]
    taken = replace(asked, fastening=replace(asked.fastening, nail=nail))
    assert not build_schedule(taken).failed


def test_a_reach_that_is_not_proved_is_never_advised():
    asked = job(150)
    refused = build_schedule(asked)
    assert refused.failed
    assert not [f for f in refused.findings if f.where == "loads.plies_reached"]


@pytest.mark.parametrize(
    ("length", "number", "proved"), [(100.0, 60, True), (100.0, 3, False), (60.0, 60, False)]
)
def test_a_reach_is_proved_by_length_and_number(length, number, proved):
    """8 kN into two plies of 38: 4 mm nails must go 32 mm into the second, and enough of them."""
    bracket = BracketSpec(200.0, 190.0, fixing=FixingSpec(4.0, length, number))
    asked = job(8)
    girder = build_girder(asked)[0]
    loads = tuple(replace(x, bracket=bracket, plies_reached=2) for x in girder.loads)
    brief = make_brief(asked, girder)
    assert _proved(brief, replace(girder, loads=loads)) is proved


def test_fixings_as_high_as_advised_do_not_split_the_ply():
    """8 kN at a bracket 60 high in a 195 chord: the advised height is put into the job."""
    bracket = '[loads.bracket]\nwidth = "80 mm"\nheight = "{height} mm"\noffset = "{offset} mm"\n'

    def built(h_e):
        # The farthest nail is 20 mm inside the bracket, which is flush with the lower edge.
        height = h_e + 20
        text = HEAVY.format(force=11) + bracket.format(height=height, offset=height / 2 - 97.5)
        return build_schedule(parse_job(job_text(Ask(loads=text))))

    low = built(60)
    assert any(not c.ok for c in low.checks if ".split." in c.id)
    (tip,) = [english(f.message) for f in low.findings if f.code == "splitting-advice"]
    need = float(tip.split("reach ")[1].split("\u00a0")[0])
    assert all(c.ok for c in built(need).checks if ".split." in c.id)
    assert any(not c.ok for c in built(need - 2).checks if ".split." in c.id)
