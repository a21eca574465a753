"""Two runs of a chord of different depths with one edge level; by hand from the nodes."""

from __future__ import annotations

import pytest
from shapely import Polygon

from girderply.errors import JobError
from girderply.jobfile.reader import parse_job
from girderply.model.build_girder import build_girder
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.read_back import read_back
from girderply.wording import english

HEAD = """[job]
number = "T"
title = "T"
revision = "A"
[girder]
mark = "G"
plies = 2
ply_thickness = "45 mm"
timber = "C24"
"""
NODES = {"A": (0, 97.5), "B": (3000, 97.5), "C": (7200, 97.5), "D": (0, 1200), "E": (7200, 1200),
         "F": (3000, 1200)}  # fmt: skip


def text(align="underside", *, depth=245, web_align="centre", shallow_align="centre"):
    """A flat girder; its bottom chord is 195 deep to B and deeper from there on."""
    members = [
        ("TC1", "top chord", '"D", "F", "E"', 145, "centre"),
        ("BC1", "bottom chord", '"A", "B"', 195, shallow_align),
        ("BC2", "bottom chord", '"B", "C"', depth, align),
        ("W1", "web", '"A", "D"', 95, "centre"),
        ("W2", "web", '"B", "F"', 95, web_align),
        ("W3", "web", '"C", "E"', 95, "centre"),
        ("W4", "web", '"A", "F"', 95, "centre"),
        ("W5", "web", '"F", "C"', 95, "centre"),
    ]
    said = HEAD
    for name, (x, y) in NODES.items():
        said += f'[[girder.nodes]]\nid = "{name}"\nx = {x}\ny = {y}\n'
    for name, role, nodes, deep, level in members:
        said += f'[[girder.members]]\nid = "{name}"\nrole = "{role}"\nnodes = [{nodes}]\n'
        said += f'depth = {deep}\nalign = "{level}"\n'
    return said


def heights(member):
    return float(member.outline[:, 1].min()), float(member.outline[:, 1].max())


@pytest.mark.parametrize(
    ("align", "low", "high"),
    [("underside", 0.0, 245.0), ("top", -50.0, 195.0), ("centre", -25.0, 220.0)],
)
def test_the_deeper_run_has_the_edge_level_that_is_asked_for(align, low, high):
    girder, found = build_girder(parse_job(text(align)))
    assert heights(girder.member("BC1")) == pytest.approx((0.0, 195.0))
    assert heights(girder.member("BC2")) == pytest.approx((low, high))
    off = [f for f in found if f.code == "chord-off-nodes"]
    assert len(off) == (align != "centre")
    assert all("25" in english(f.message) for f in off)
    shapes = {m.id: Polygon(m.outline) for m in girder.members}
    for web in ("W2", "W5"):  # at the step and over the deeper run: no bite, no gap
        assert shapes[web].intersection(shapes["BC2"]).area < 1.0
        assert shapes[web].distance(shapes["BC2"]) < 0.01
    assert shapes["W2"].intersection(shapes["BC1"]).area < 1.0
    assert shapes["W2"].distance(shapes["BC1"]) < 0.01


def test_a_shallower_run_may_be_the_one_that_is_moved():
    """145 level with 195 at the underside: its centreline lies (195 - 145) / 2 = 25 lower."""
    girder, _ = build_girder(parse_job(text(depth=145)))
    assert heights(girder.member("BC2")) == pytest.approx((0.0, 145.0))


@pytest.mark.parametrize(
    ("wrong", "code", "where"),
    [
        ({"web_align": "top"}, "align-web", "girder.members.W2.align"),
        ({"shallow_align": "top"}, "align-with-nothing", "girder.members.BC1.align"),
    ],
)
def test_what_cannot_be_level_is_refused_by_its_key(wrong, code, where):
    with pytest.raises(JobError, match="align") as refused:
        build_girder(parse_job(text(**wrong)))
    assert (code, where) in {(f.code, f.where) for f in refused.value.findings}


def test_the_read_back_says_which_edge_is_level():
    said = "\n".join(map(english, read_back(build_schedule(parse_job(text("underside")))).said))
    assert "lower edge level with the run beside it" in said
