"""Over random girders: nothing is placed where it must not be. Measured again from coordinates.

Limits are typed here from EN 1995-1-1 Table 8.2 (from memory, to be checked): nails not
predrilled, rho_k <= 420, d < 5: a1 = 10 d, a2 = 5 d, a4 = 5 d at least.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs_in_text import Ask, job_text
from shapely import Polygon

from girderply.errors import JobError
from girderply.jobfile.reader import parse_job
from girderply.schedule.build import build_schedule

NAIL_D = 4.0
PLIES = st.integers(2, 6)


@st.composite
def asks(draw, plies=PLIES):
    kind = draw(st.sampled_from(["howe", "pratt", "fink", "king post", "mono", "parallel chord"]))
    flat = kind == "parallel chord"
    bottom = draw(st.sampled_from([120.0, 147.0, 195.0, 245.0]))
    span = draw(st.integers(50, 140)) * 100.0 + draw(st.integers(0, 99))
    panels = {"howe": 6, "pratt": 6, "parallel chord": 6, "mono": 3}.get(kind)
    every = draw(st.sampled_from([450, 600, 900]))
    face = draw(st.sampled_from(["front", "back"]))
    loads = f"""
[[loads]]
id = "L1"
chord = "BC1"
face = "{face}"
at = "600 mm"
to = "{span - 600} mm"
every = "{every} mm"
permanent = "0.4 kN"
variable = "0.5 kN"
[loads.bracket]
width = "90 mm"
height = "{bottom * 0.8} mm"
"""
    return Ask(
        kind=kind,
        span=span,
        pitch=None if flat else draw(st.sampled_from([17.5, 22.5, 30.0, 37.5])),
        height=span / 8 if flat else None,
        panels=panels,
        plies=draw(plies),
        thickness=draw(st.sampled_from([35.0, 38.0, 45.0])),
        top=draw(st.sampled_from([97.0, 120.0, 147.0])),
        bottom=bottom,
        web=draw(st.sampled_from([72.0, 97.0])),
        loads=loads if draw(st.booleans()) else "",
    )


def built(ask):
    try:
        return build_schedule(parse_job(job_text(ask)))
    except JobError:
        return None


def pair_faults(f, a1, a2):
    """Pairs of nails in one member and a common ply that are too near both ways."""
    low, high = np.minimum(f.from_ply, f.to_ply), np.maximum(f.from_ply, f.to_ply)
    faults = 0
    for member in np.unique(f.member):
        i = np.flatnonzero(f.member == member)
        along = np.abs(f.station[i][:, None] - f.station[i])
        across = np.abs(f.offset[i][:, None] - f.offset[i])
        share = (low[i][:, None] <= high[i]) & (low[i] <= high[i][:, None])
        near = (along < a1 - 1e-6) & (across < a2 - 1e-6) & share
        faults += int(np.triu(near, 1).sum())
    return faults


@given(asks())
@settings(max_examples=40, deadline=None)
def test_nothing_stands_where_it_must_not(ask):
    schedule = built(ask)
    if schedule is None:
        return
    f, girder = schedule.fasteners, schedule.girder
    points = shapely.points(f.x, f.y)
    nail = f.kind == "nail"
    for member in girder.members:
        here = f.member == member.id
        outline = Polygon(member.outline)
        depth = shapely.distance(points[here], outline.exterior)
        assert shapely.contains(outline, points[here]).all()
        assert depth[nail[here]].min(initial=np.inf) >= 5 * NAIL_D - 1e-6
        assert depth[~nail[here]].min(initial=np.inf) >= 36.0 - 1e-6  # 3 d of M12
    for plate in girder.plates:
        away = shapely.distance(points, Polygon(plate.outline))
        assert away[nail].min(initial=np.inf) >= 10.0 - 1e-6
        assert away[~nail].min(initial=np.inf) >= 30.0 - 1e-6  # 10 clear and half a washer
    for load in girder.loads:
        if load.footprint is not None:
            assert shapely.distance(points[nail], Polygon(load.footprint)).min() >= 10.0 - 1e-6
    bolts = np.flatnonzero(~nail)
    for b in bolts:
        same = nail & (f.member == f.member[b])
        square = np.maximum(
            np.abs(f.station[same] - f.station[b]), np.abs(f.offset[same] - f.offset[b])
        )
        assert square.min(initial=np.inf) >= 20.0 + 10.0 - 1e-6  # washer 40, 10 clear
    assert pair_faults(f.select(nail), 10 * NAIL_D, 5 * NAIL_D) == 0


@given(asks())
@settings(max_examples=25, deadline=None)
def test_counts_add_up_and_every_interface_has_its_nails(ask):
    schedule = built(ask)
    if schedule is None:
        return
    f = schedule.fasteners
    assert sum(int(np.sum(f.stage == s.number)) for s in schedule.stages) == len(f)
    ordered = {line.spec: line.needed for line in schedule.order}
    assert all(ordered[k] == int(np.sum(f.spec == k)) for k in np.unique(f.spec))
    short = {
        x.where for x in schedule.findings if x.code in ("too-few-nails", "member-too-shallow")
    }
    for note in schedule.patterns:
        member = schedule.girder.member(note.member)
        due = int(np.ceil(note.rows * member.length / note.pitch - 1e-9))
        for k in range(1, schedule.girder.plies):
            crossing = f.crosses(k) & (f.kind == "nail") & (f.member == note.member)
            assert crossing.sum() >= due or note.member in short


@given(asks(plies=st.just(2)))
@settings(max_examples=20, deadline=None)
def test_the_other_hook_end_turns_the_stations_round(ask):
    """Rounding starts at the other end: a station may differ by one step of the tape (5 mm).

    Without joint bolts: a bolt rounded to the other side of a plate moves the nails around it.
    """
    ask = replace(ask, loads="", extra="[fastening.overrides]\njoint_bolts = false\n")
    one = built(ask)
    if one is None:
        return
    ends = {m.id: "right" if m.hook < m.far else "left" for m in one.girder.members}
    two = built(replace(ask, hook_ends=ends))
    for member in one.girder.members:
        turned = two.girder.member(member.id)
        a = one.fasteners.select(one.fasteners.member == member.id)
        b = two.fasteners.select(two.fasteners.member == member.id)
        if np.allclose(turned.hook, member.hook):
            continue  # upright: "right" is its upper end, which may be the hook end already
        assert len(a) == len(b)
        back = np.sort(member.length - b.station)
        assert np.abs(np.sort(a.station) - back).max(initial=0.0) <= 5.0 + 1e-6
        assert sorted(np.round(-a.offset, 6)) == sorted(np.round(b.offset, 6))


@given(asks())
@settings(max_examples=15, deadline=None)
def test_inches_give_the_same_girder_and_nearly_the_same_layout(ask):
    """Lengths are written as exact inches; only the tape's step differs (5 mm, 1/4 in)."""
    heel = ask.top / np.cos(np.radians(ask.pitch)) + 20.0 if ask.pitch else None
    ask = replace(ask, loads="", heel=heel)
    one, two = built(ask), built(replace(ask, imperial=True))
    assert (one is None) == (two is None)
    if one is None:
        return
    for a, b in zip(one.girder.members, two.girder.members, strict=True):
        assert np.allclose(a.outline, b.outline, atol=1e-6)
    assert [p.required for p in one.patterns] == [p.required for p in two.patterns]
    assert [p.rows for p in one.patterns] == [p.rows for p in two.patterns]
