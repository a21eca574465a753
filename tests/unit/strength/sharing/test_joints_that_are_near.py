"""Two joints of one chord a millimetre apart: the frame stays a frame, whatever its pieces.

A piece of 1 mm is a thousand million times as stiff as one of a metre. The shear of its members was
given up without a word then, and a bracket's own force taken, which is kinder: 69 % for 77 %.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.strength.shear import MemberShear

SAMPLE = Path(__file__).parents[4] / "sample_jobs" / "truncated-nodes.toml"
E = '  { id = "E", x = 7600, y = 97.5 },\n'


@cache
def made(gap: float):
    """The sample with W8 taken from E to a joint of its own, so many mm beside it."""
    text = SAMPLE.read_text("utf-8")
    near = E + f'  {{ id = "Q", x = {7600 + gap}, y = 97.5 }},\n'
    for old, new in (
        (E, near),
        ('"D", "E", "F", "G"]', '"D", "E", "Q", "F", "G"]'),
        ('nodes = ["E", "P"]', 'nodes = ["Q", "P"]'),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    return build_schedule(parse_job(text))


@pytest.mark.parametrize("gap", [1.0, 1.05, 1.5])
def test_splitting_beside_joints_that_are_near_is_that_of_the_frame(gap):
    near, far = ({c.id: c.utilisation for c in made(g).checks} for g in (gap, 12.0))
    shear = MemberShear.of(made(gap).job, made(gap).girder)
    assert shear.mesh is not None
    assert near.keys() == far.keys()
    # the web moves by a thousandth of its length
    for name, value in far.items():
        assert near[name] == pytest.approx(value, rel=0.01), name


def test_forces_of_the_plies_change_by_no_more_than_the_joint_moved():
    near, far = made(1.0), made(12.0)
    whole = max(abs(r.equal) for r in far.reactions)
    for one, two in zip(near.reactions, far.reactions, strict=True):
        assert (one.bearing, one.ply, one.combination) == (two.bearing, two.ply, two.combination)
        assert one.most == pytest.approx(two.most, abs=2e-3 * whole)
    hung = [1.35 * x.part("permanent") + 1.5 * x.part("variable") for x in near.girder.loads]
    carried = [r.equal for r in near.reactions if r.combination == "PV"]
    assert sum(carried) == pytest.approx(sum(hung), rel=1e-6)
