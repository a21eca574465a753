"""Where the tape is hooked, over random girders of nodes and members with spliced chords."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st
from shape_jobs import shape_job
from shapely import Point, Polygon

from girderply.errors import JobError
from girderply.jobfile.job import BearingSpec, MemberSpec, NodeSpec, PlateSpec, Role
from girderply.model.build_girder import build_girder

TOP, BOTTOM, WEB = Role.TOP_CHORD, Role.BOTTOM_CHORD, Role.WEB
AT = (0.0, 0.2, 0.35, 0.5, 0.65, 0.8, 1.0)  # panel points along the span


@st.composite
def girders(draw):
    """A gable whose chords are spliced at some of their nodes; some plates are given too large or
    small, so that they cover ends or leave them free."""
    span, rise = draw(st.floats(6000, 14000)), draw(st.floats(1400, 3000))
    top, bottom = draw(st.sampled_from([145.0, 195.0])), draw(st.sampled_from([170.0, 220.0]))
    nodes = {f"B{i}": (x * span, 0.0) for i, x in enumerate(AT)}
    nodes |= {f"T{i}": (AT[i] * span, rise * (1 - abs(2 * AT[i] - 1))) for i in (1, 2, 3, 4, 5)}
    below = sorted(draw(st.sets(st.integers(1, 5), max_size=2)))
    above = {side: draw(st.sampled_from([None, 1, 2])) for side in ("L", "R")}
    members = _runs("BC", BOTTOM, [f"B{i}" for i in range(7)], below, bottom)
    left, right = ["B0", "T1", "T2", "T3"], ["B6", "T5", "T4", "T3"]
    members += _runs("TL", TOP, left, [above["L"]] if above["L"] else [], top)
    members += _runs("TR", TOP, right, [above["R"]] if above["R"] else [], top)
    members += [MemberSpec(f"W{i}", WEB, (f"B{i}", f"T{i}"), 95.0) for i in (1, 2, 3, 4, 5)]
    size = draw(st.sampled_from([(80.0, 80.0), (200.0, 150.0), (600.0, 400.0)]))
    plates = ()
    if draw(st.booleans()):
        plates = (
            PlateSpec("B0", (60.0, 0.0), *size),
            PlateSpec("B6", (span - 300.0, 0.0), 90.0, 90.0),
        )
    bearings = (BearingSpec(60.0, 120.0), BearingSpec(span - 60.0, 120.0))
    job = shape_job(
        None, nodes=tuple(NodeSpec(k, x, y) for k, (x, y) in nodes.items()), members=tuple(members)
    )
    return replace(job, girder=replace(job.girder, plates=plates, bearings=bearings))


def _built(job):
    """The girder; one whose plates cannot be so is not tried."""
    try:
        return build_girder(job)[0]
    except JobError:
        reject()


def _runs(name, role, nodes, cuts, depth):
    edges = [0, *cuts, len(nodes) - 1]
    return [
        MemberSpec(f"{name}{k}", role, tuple(nodes[a : b + 1]), depth)
        for k, (a, b) in enumerate(pairwise(edges))
    ]


def _mirrored(job):
    """The same girder seen from behind: left and right change places."""
    span = max(n.x for n in job.girder.nodes)
    nodes = tuple(replace(n, x=span - n.x) for n in job.girder.nodes)
    plates = tuple(replace(p, centre=(span - p.centre[0], p.centre[1])) for p in job.girder.plates)
    return replace(job, girder=replace(job.girder, nodes=nodes, plates=plates))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(girders())
def test_no_tape_is_hooked_at_a_splice_or_under_a_plate_where_another_end_is_free(job):
    girder = _built(job)
    timber = {m.id: Polygon(m.outline) for m in girder.members}
    plates = [Polygon(p.outline) for p in girder.plates]
    role = {m.id: m.role for m in girder.members}
    for m in girder.members:
        butted, covered = [], []
        for end in (m.hook, m.far):
            spot, u = Point(end), np.subtract(m.far, m.hook) / m.length
            beyond = Point(*(np.array(end) + (1 if end == m.far else -1) * 5.0 * u))
            others = [o for o in girder.members if o.id != m.id and role[o.id] is m.role]
            met = [o for o in others if m.role is not WEB and timber[o.id].contains(beyond)]
            lines = [np.subtract(o.far, o.hook) / o.length for o in met]
            butted.append(any(abs(float(v @ u)) > 0.9999 for v in lines))
            covered.append(any(p.contains(spot) for p in plates))
        if butted[0] != butted[1]:
            assert butted == [False, True], m.id
        elif covered[0] != covered[1]:
            assert covered == [False, True], m.id
        elif m.role is TOP and not any(butted):
            assert m.hook[1] < m.far[1], m.id  # at its heel


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(girders())
def test_rafters_and_spliced_runs_are_hooked_alike_from_behind(job):
    """Only a level run with two ends alike is hooked at the left, which changes sides."""
    span = max(n.x for n in job.girder.nodes)
    one, two = _built(job), _built(_mirrored(job))
    for m in one.members:
        o = two.member(m.id)
        same = np.allclose([span - m.hook[0], m.hook[1]], o.hook, atol=0.01)
        level = m.role is BOTTOM
        assert same or level, m.id
