"""What stands and what does not: triangles by hand, and every shape that can be asked for."""

from dataclasses import replace

import pytest
from jobs_in_text import Ask, job_text
from shape_jobs import WEB, level_lists, list_job

from girderply.errors import JobError
from girderply.jobfile import new_job, parse_job
from girderply.model.build_girder import build_girder
from girderply.schedule.build_schedule import build_schedule
from girderply.shapes.all_shapes import shapes
from girderply.strength.standing import hinged_mechanism, standing_findings


def girder_of(members):
    nodes, _ = level_lists()
    return build_girder(list_job(nodes, members))[0]


def codes(girder):
    return [(f.code, str(f.severity)) for f in standing_findings(girder)]


def test_two_chords_two_posts_and_a_brace_stand():
    assert codes(girder_of(level_lists()[1])) == []


def test_without_its_brace_the_panel_is_a_mechanism():
    """Four hinged bars: pinned posts between chords that run through fall over."""
    members = [m for m in level_lists()[1] if m.id != "W2"]
    assert codes(girder_of(members)) == [("does-not-stand", "error")]


def test_without_webs_it_is_no_truss():
    with pytest.raises(JobError, match="share no node"):
        girder_of([m for m in level_lists()[1] if m.role is not WEB])


@pytest.mark.parametrize("kind", sorted(shapes()))
@pytest.mark.parametrize("span", ["6 m", "9.6 m", "14 m"])
def test_a_shape_stands_as_it_is_made(kind, span):
    """A queen post has a middle panel without a diagonal by its nature: that alone bends."""
    girder, _ = build_girder(parse_job(new_job(kind, span)))
    expected = [("stands-by-bending", "warning")] if kind == "queen post" else []
    assert codes(girder) == expected


@pytest.mark.parametrize("lost", ["W2", "W3", "W4", "W5", "W6"])
def test_a_web_lost_from_a_truss_of_triangles_is_said(lost):
    girder, _ = build_girder(parse_job(job_text(Ask(kind="howe", panels=6))))
    left = tuple(m for m in girder.members if m.id != lost)
    assert len(left) == len(girder.members) - 1
    found = codes(replace(girder, members=left))
    assert found
    assert found[0][0] in ("stands-by-bending", "does-not-stand")
    assert hinged_mechanism(replace(girder, members=left))


def test_a_girder_that_does_not_stand_is_not_for_assembly():
    nodes, members = level_lists()
    members = [m for m in members if m.id != "W2"]
    made = build_schedule(list_job(nodes, members))
    assert made.failed
    assert any(f.code == "does-not-stand" for f in made.findings)
