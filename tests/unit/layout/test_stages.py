"""Stages: where a nail ends, which face is up, what is turned over."""

import pytest
from jobs_in_text import Ask, job_text

from girderply.catalogue import nail
from girderply.jobfile.reader import parse_job
from girderply.layout.stages import drive, from_back, plan_steps
from girderply.model.build_girder import build_girder
from girderply.schedule.look_up import make_brief


def brief(**wants):
    job = parse_job(job_text(Ask(**wants)))
    girder, _ = build_girder(job)
    return make_brief(job, girder)


@pytest.mark.parametrize(
    ("key", "face", "plies", "thickness", "expected"),
    [
        # 100 - 2 x 38 = 24 out of the far side
        ("4.0 x 100", "front", (1, 2), 38.0, (2, 38.0, 24.0)),
        # 100 - 2 x 38 = 24 into the third
        ("4.0 x 100", "front", (1, 4), 38.0, (3, 24.0, 0.0)),
        ("4.0 x 100", "back", (1, 4), 38.0, (2, 24.0, 0.0)),
        # 70 - 36 = 34 into the second
        ("2.5 x 70 ring", "back", (3, 4), 36.0, (3, 34.0, 0.0)),
        # 3.0 in is exactly two plies of 1.5 in
        ("10d common", "front", (1, 2), 38.1, (2, 38.1, 0.0)),
    ],
)
def test_where_a_nail_ends(key, face, plies, thickness, expected):
    assert drive(nail(key), face, plies, thickness) == pytest.approx(expected, abs=1e-6)


def test_numbers_from_the_back():
    assert [from_back(i, 5) for i in (1, 5, -1, -2)] == [1, 5, 5, 4]


def test_two_plies_are_nailed_turned_clenched_and_bolted():
    steps = plan_steps(brief(), bolted=True)
    assert [(s.face_up, s.turn, s.clench, s.bolts) for s in steps] == [
        ("front", False, False, False),
        ("back", True, True, True),
    ]


def test_six_plies_are_built_up_from_the_back():
    steps = plan_steps(brief(plies=6), bolted=True)
    assert [s.added for s in steps[:-1]] == [(6, 5), (4,), (3,), (2,), (1,)]
    assert [s.passed.fastens for s in steps[:-1]] == [(5,), (4,), (3,), (2,), (1,)]
    assert sum(s.turn for s in steps) == 1


def test_french_four_plies_take_the_centre_first_and_one_outer_ply_per_face():
    """NF DTU 31.3 P1-1 (2012) annex A.3: centre plies first, outer plies one per face."""
    steps = plan_steps(brief(plies=4, thickness=36.0, rules="french-36mm"), bolted=True)
    assert [s.added for s in steps] == [(3, 2), (1,), (4,), ()]
    assert [s.face_up for s in steps] == ["front", "front", "back", "back"]
    # 70 mm nails in 36 mm plies: 34 mm into the second, nothing comes out.
    assert [s.passed.point_depth for s in steps if s.passed] == [34.0, 34.0, 34.0]
    assert [(s.passed.from_ply, s.passed.to_ply) for s in steps if s.passed] == [
        (2, 3),
        (1, 2),
        (4, 3),
    ]


def test_alternate_faces_need_one_turn():
    """NDS 15.3.3.1(a): adjacent nails from opposite sides."""
    wants = {"rules": "north-american-built-up", "standard": "NDS 2018", "thickness": 38.1}
    steps = plan_steps(brief(timber="Douglas Fir-Larch", imperial=True, **wants), bolted=False)
    assert [(s.face_up, s.turn, s.passed.share) for s in steps] == [
        ("front", False, 0),
        ("back", True, 1),
    ]
