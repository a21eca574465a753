"""What holds for every girder that can be built from a shape."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shape_jobs import shape_job
from shapely.geometry import Polygon

from girderply.jobfile.job import Job, MemberSpec, NodeSpec
from girderply.model.build_girder import build_girder
from girderply.model.frame import BUTT
from girderply.model.shapes import frame_from_shape
from girderply.shapes.all_shapes import shapes
from girderply.shapes.shape_spec import ShapeSpec

# Webs that overlap by less than 1 mm2 are not parted; corners are rounded to 1e-6 mm, which over
# the 20 m of a chord's outline is 0.02 mm2.
OVERLAP = 1.02  # mm2
TOUCH = 1e-3  # mm, a thousand times the rounding of the corners

PITCHED = ("king post", "queen post", "howe", "pratt", "fink", "mono")
DEPTHS = st.tuples(*(st.sampled_from((95.0, 120.0, 145.0, 170.0, 195.0)) for _ in "ab"))


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Shapes with room for their webs: none of them may be refused."""
    kind = draw(st.sampled_from((*PITCHED, "warren", "parallel chord", "truncated")))
    span = draw(st.floats(6000, 15000))
    pattern = draw(st.sampled_from(("howe", "pratt", "warren")))
    top, bottom = draw(DEPTHS)
    depths = (top, bottom, draw(st.sampled_from((70.0, 95.0, 120.0))))
    pitch = math.radians(draw(st.floats(20, 45)))
    more: dict[str, float] = {}
    if kind in ("warren", "parallel chord"):
        more["height"] = draw(st.floats(800, 1500))
    else:
        more |= {"pitch": pitch, "overhang": draw(st.sampled_from((0.0, 450.0)))}
        if draw(st.booleans()):
            more["heel_height"] = draw(st.sampled_from((0.5, 2.5))) * bottom + top / math.cos(pitch)
    if kind == "truncated":
        heel = more.get("heel_height", BUTT + top / math.cos(pitch))
        more["flat_height"] = heel + draw(st.floats(0.25, 0.4)) * span * math.tan(pitch)
    if kind in ("howe", "pratt", "truncated", "parallel chord", "warren"):
        more["panels"] = draw(st.sampled_from((4, 6)))
    free = shapes()[kind].free  # the others refuse a pattern
    shape = ShapeSpec(kind, span, web_pattern=pattern if free else None, **more)
    hooks = draw(st.sampled_from(({}, {"BC1": "right", "TC1": "right", "W2": "right"})))
    members = 4 if kind == "king post" else 6
    return shape_job(shape, depths, hook_ends={k: v for k, v in hooks.items() if members > 4})


FEW = settings(max_examples=60, deadline=None)


@FEW
@given(jobs())
def test_outlines_are_whole_and_do_not_overlap(job: Job) -> None:
    girder, _ = build_girder(job)
    shapes = [Polygon(m.outline) for m in girder.members]
    assert all(s.is_valid and s.exterior.is_ccw and s.area > 1000 for s in shapes)
    tree = shapely.STRtree(shapes)
    for a, b in tree.query(shapes, predicate="intersects").T:
        if a < b:
            assert shapes[a].intersection(shapes[b]).area <= OVERLAP


@FEW
@given(jobs())
def test_every_web_bears_on_what_it_runs_to(job: Job) -> None:
    """Each end of a web lies against its chord over a length, not only at a corner."""
    girder, _ = build_girder(job)
    joints = {j.id: j for j in girder.joints}
    for web in (m for m in girder.members if m.id.startswith("W")):
        shape = Polygon(web.outline)
        for joint in (joints[web.joints[0]], joints[web.joints[-1]]):
            chords = [girder.member(i) for i in joint.members if not i.startswith("W")]
            contact = shapely.union_all([Polygon(c.outline) for c in chords]).buffer(TOUCH)
            assert shape.boundary.intersection(contact).length > 5.0


@FEW
@given(jobs())
def test_hook_and_far_span_the_outline(job: Job) -> None:
    girder, _ = build_girder(job)
    for m in girder.members:
        local = m.to_local(m.outline)
        assert local[:, 0].min() == pytest.approx(0.0, abs=1e-4)
        assert local[:, 0].max() == pytest.approx(m.length, abs=1e-4)
        assert np.abs(local[:, 1]).max() <= m.depth / 2 + 1e-4


@FEW
@given(jobs())
def test_reversing_the_hook_end_reverses_stations(job: Job) -> None:
    girder, _ = build_girder(job)
    upright = 0.02  # rad; hooked "left" at its bottom, as build_girder says
    flipped = {
        m.id: "right"
        if (m.far[1] > m.hook[1] if abs(np.cos(m.angle)) < upright else m.far[0] > m.hook[0])
        else "left"
        for m in girder.members
    }
    other, _ = build_girder(
        shape_job(job.girder.shape, tuple(job.girder.depths.values()), hook_ends=flipped)
    )
    for a, b in zip(girder.members, other.members, strict=True):
        spots = a.to_local(a.outline)
        turned = b.to_local(a.outline)
        assert np.allclose(turned, [a.length, 0.0] - spots, atol=1e-4)
        assert a.joints == b.joints[::-1]


@FEW
@given(jobs())
def test_plates_reach_their_members_and_stay_within_the_girder(job: Job) -> None:
    """Every plate lies on each member of its joint and inside the girder's silhouette.

    Webs for which a feather edge is reported are left out: no plate of a sane size holds them.
    """
    girder, findings = build_girder(job)
    feather = {f.where for f in findings if f.code == "web-too-flat"}
    shapes = {m.id: Polygon(m.outline) for m in girder.members}
    chords = [s for i, s in shapes.items() if not i.startswith("W")]
    # 0.01 mm closes the seams, so that the openings between webs count as inside
    silhouette = shapely.union_all([s.buffer(0.01) for s in shapes.values()])
    silhouette = shapely.union_all([Polygon(p.exterior) for p in shapely.get_parts(silhouette)])
    joints = {j.id: j for j in girder.joints}
    assert {p.joint for p in girder.plates} == set(joints)
    for p in girder.plates:
        shape = Polygon(p.outline)
        assert shape.difference(silhouette).area <= 0.02 * shape.area, p.joint
        assert any(shape.intersects(c) for c in chords)
        for i in set(joints[p.joint].members) - feather:
            assert shape.intersection(shapes[i]).area > 300.0, (p.joint, i)


@FEW
@given(jobs())
def test_nodes_and_members_of_a_shape_give_the_same_girder(job: Job) -> None:
    """Lists go through the same cuts: outlines agree when the heel is the usual butt cut."""
    frame, _ = frame_from_shape(job.girder, BUTT)
    assert frame is not None
    if job.girder.shape is not None and job.girder.shape.heel_height is not None:
        return
    nodes = tuple(NodeSpec(k, float(p[0]), float(p[1])) for k, p in frame.nodes.items())
    members: tuple[MemberSpec, ...] = frame.members
    lists = shape_job(None, nodes=nodes, members=members, hook_ends=job.girder.hook_ends)
    by_shape, by_lists = build_girder(job)[0], build_girder(lists)[0]
    for a, b in zip(by_shape.members, by_lists.members, strict=True):
        assert np.allclose(a.outline, b.outline, atol=1e-5)
        assert sorted(a.joints) == sorted(b.joints)
