"""A nail that does not suit the stack by a little: what a person would take instead."""

import pytest
from jobs_in_text import Ask, job_text

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import english


def build(**wants):
    return build_schedule(parse_job(job_text(Ask(**wants))))


def taken(schedule):
    return [english(f.message) for f in schedule.findings if f.code == "nail-taken"]


def test_a_nail_that_comes_out_two_millimetres_gives_way_to_the_next():
    """The rule set's 100 - 2 x 49 = 2 mm come out, 5 to 40 are clenched; 90 mm stay inside."""
    schedule = build(plies=2, thickness=49.0)
    assert set(schedule.nails) == {"4.0 x 90"}
    (words,) = taken(schedule)
    assert "4.0 x 100" in words
    assert "4.0 x 90" in words
    assert not any(f.code == "nail-too-long" for f in schedule.findings)


def test_a_nail_that_the_job_names_is_refused_and_not_exchanged():
    """90 - 2 x 44 = 2 mm come out; 100 - 88 = 12 can be clenched: said, and true when done."""
    schedule = build(plies=2, thickness=44.0, nail="4.0 x 90")
    assert set(schedule.nails) == {"4.0 x 90"}
    assert schedule.failed
    assert not taken(schedule)
    found = {f.code: english(f.message) for f in schedule.findings}
    assert "comes out 2" in found["nail-too-long"]
    assert found["would-work"].startswith("nails 4.0 x 100 instead of 4.0 x 90")
    done = build(plies=2, thickness=44.0, nail="4.0 x 100")
    assert not done.failed
    assert f"({sum(done.fasteners.driven)} nails)" in found["would-work"]


def test_a_named_nail_that_can_be_used_stays_and_the_shorter_one_is_advice():
    """Four plies of 45 with 4.0 x 100 named: nothing is wrong, only a stage more is in one ply."""
    schedule = build(plies=4, thickness=45.0, nail="4.0 x 100")
    assert set(schedule.nails) == {"4.0 x 100"}
    assert not schedule.failed
    found = {f.code: f for f in schedule.findings}
    assert "is named by the job" in english(found["nail-unsuited"].message)
    assert "nails 4.0 x 90 instead of 4.0 x 100" in english(found["would-work"].message)
    assert not build(plies=4, thickness=45.0, nail="4.0 x 90").failed


def test_a_nail_that_touches_a_third_ply_gives_way_to_a_shorter_one():
    """Four plies of 45, 100 mm: 10 mm in a third ply; no nail of 85 to 115 mm suits otherwise."""
    schedule = build(plies=4, thickness=45.0)
    assert set(schedule.nails) == {"4.0 x 90"}
    (words,) = taken(schedule)
    assert "further ply" in words


@pytest.mark.parametrize("thickness", [38.0, 35.0])
def test_a_nail_that_suits_stays(thickness):
    assert not taken(build(plies=3, thickness=thickness))


def test_a_nail_that_is_far_off_is_refused_as_before():
    """60 - 38 = 22 mm where 8 x 3.1 = 24.8 are due: the next of its shank is 65, which will do."""
    schedule = build(plies=2, extra='nail = "3.1 x 40"\n')
    assert not taken(schedule)
    assert any(f.code == "nail-too-short" for f in schedule.findings)


@pytest.mark.parametrize("plies", [3, 4, 5, 6])
def test_a_nail_of_a_hundred_in_plies_of_44_is_never_a_reason_to_refuse(plies):
    """100 - 88 = 12 mm in a third ply: three stages share one; what is taken instead holds."""
    schedule = build(plies=plies, thickness=44.0)
    f = schedule.fasteners
    assert not schedule.failed
    assert all((f.driven & f.crosses(k)).any() for k in range(1, plies))
    (nail,) = schedule.nails.values()
    assert bool(taken(schedule)) == (nail.key != "4.0 x 100")
