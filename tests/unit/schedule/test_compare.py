"""Two schedules side by side."""

from jobs_in_text import Ask, job_text

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.compare import compare, swapped
from girderply.wording import english


def test_nothing_changes_against_itself():
    schedule = build_schedule(parse_job(job_text(Ask())))
    found = compare(schedule, schedule)
    assert found.changes == ()
    assert found.sheets == ()


def test_another_nail_moves_what_is_nailed_and_leaves_the_bolts():
    """3.4 x 90: 14 mm come out of 2 x 38 and are clenched; counts add up on both sides."""
    job = parse_job(job_text(Ask()))
    before, after = build_schedule(job), build_schedule(swapped(job, nail="3.4 x 90"))
    found = compare(before, after)
    assert found.before.specs["M12 x 100"] == found.after.specs["M12 x 100"] == 12
    assert set(found.after.specs) == {"3.4 x 90", "M12 x 100"}
    for change in found.changes:
        assert change.kept + change.removed == int((before.fasteners.member == change.member).sum())
        assert change.kept + change.added == int((after.fasteners.member == change.member).sum())
    assert "stage 1" in found.sheets
    assert "order list" in found.sheets


def test_a_washer_of_another_bolt_is_not_carried_over():
    job = parse_job(job_text(Ask(extra='washer = "DIN 436 M12"')))
    after = build_schedule(swapped(job, bolt="M10"))
    assert {c.washer.bolt for c in after.bolts.values()} == {"M10"}


def test_a_nail_that_is_too_short_is_a_reasoned_no():
    """60 - 38 = 22 mm in the last ply, 8 x 3.1 = 24.8 are needed."""
    job = parse_job(job_text(Ask()))
    found = compare(build_schedule(job), build_schedule(swapped(job, nail="3.1 x 60")))
    assert found.before.good
    assert not found.after.good
    assert "22" in english(found.after.errors[0])
    assert "24.8" in english(found.after.errors[0])
