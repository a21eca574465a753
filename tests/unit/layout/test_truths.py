"""Faults of earlier layouts, each as a person found it, and what must hold instead."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from jobs_in_text import Ask, job_text
from test_lay_out import bar_brief, nails

from girderply.errors import Severity
from girderply.jobfile.job import Role
from girderply.jobfile.reader import parse_job, read_job
from girderply.layout.board import clashes
from girderply.layout.combs import tracks_of
from girderply.layout.lay_out import lay_out
from girderply.layout.limits import nail_limits
from girderply.layout.patterns import rule_pattern
from girderply.layout.region import region_of
from girderply.layout.stages import plan_steps
from girderply.layout.strip import make_strip
from girderply.model.build_girder import build_girder
from girderply.model.girder import Member
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.schedule.look_up import make_brief
from girderply.wording import english

SAMPLES = Path(__file__).parents[3] / "sample_jobs"


def bar_at(degrees, length=2000.0, depth=145.0):
    """A bar that rises at an angle, its outline worked out from its corners."""
    a = np.radians(degrees)
    turn = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
    local = np.array(
        [[0, -depth / 2], [length, -depth / 2], [length, depth / 2], [0, depth / 2]], float
    )
    far = (length * np.cos(a), length * np.sin(a))
    return Member("TC1", Role.TOP_CHORD, depth, (0.0, 0.0), far, local @ turn, ())


@pytest.mark.parametrize("degrees", [0.0, *(7.3 * k for k in range(1, 12))])
def test_a_row_exactly_on_the_edge_limit_stands(degrees):
    """145 deep, 50 from the edge: a row at 22.5 either side. An eroded polygon may end at
    22.499999999999993, and a row there was lost without a word."""
    region = region_of(bar_at(degrees), 50.0, 60.0, [])
    for offset in (-22.5, 22.5):
        row = region.on_row(offset)
        assert len(row) == 1
        assert (row.start[0], row.end[0]) == pytest.approx((60.0, 1940.0), abs=0.01)
    assert len(region.on_row(22.51)) == 0


def plan_distances(f, one, two):
    """Least distance in plan between nails of two stages in the same member, mm."""
    least = np.inf
    for member in np.unique(f.member):
        a, b = (np.flatnonzero((f.stage == s) & (f.member == member)) for s in (one, two))
        along = f.station[a][:, None] - f.station[b]
        across = f.offset[a][:, None] - f.offset[b]
        least = min(least, float(np.hypot(along, across).min(initial=np.inf)))
    return least


def four_plies(clearance):
    job = parse_job(job_text(Ask(plies=4, thickness=45.0, extra='nail = "4.0 x 90"\n')))
    brief = make_brief(job, build_girder(job)[0])
    own = replace(brief.rules.setting_out, point_clearance=clearance)
    return replace(brief, rules=replace(brief.rules, setting_out=own))


def test_no_point_is_driven_onto_a_head():
    """90 mm in 45 mm plies: a nail of stage 3 ends exactly on the heads of stage 1.

    With the tolerance of its length (5 mm, common practice, no source) it keeps 3 d = 12 mm off
    them in plan; without, they stand on each other.
    """
    f = lay_out(four_plies(5.0)).fasteners
    nails_only = f.select(f.kind == "nail")
    assert plan_distances(nails_only, 1, 3) >= 12.0 - 1e-6
    careless = lay_out(four_plies(0.0)).fasteners
    assert plan_distances(careless.select(careless.kind == "nail"), 1, 3) == 0.0


def test_two_stages_both_find_room_in_a_short_piece():
    """44 mm are free: 278 to 322. At 10 d = 40 mm apart two nails fit, one at each end; a first
    stage that took the middle would leave the second 22 mm."""
    plates = ((0.0, 536.0), (600.0, 536.0))
    own = {"joint_bolts": False}
    brief = bar_brief(plies=3, length=600.0, depth=80.0, plates=plates, overrides=own)
    layout = lay_out(brief)
    (first,), (second,) = nails(layout, 1), nails(layout, 2)
    assert abs(first[0] - second[0]) >= 40.0 - 1e-6
    assert all(278.0 - 1e-6 <= s <= 322.0 + 1e-6 for s, _ in (first, second))
    assert not [f for f in layout.findings if f.code == "too-few-nails"]


def test_a_loaded_end_keeps_its_end_distance():
    """a3,t of a 4.0 mm nail not predrilled is (10 + 5) d = 60 mm (EN 1995-1-1 Table 8.2, from
    memory), so the first round mark is 75; a3,c = 40 would allow 50."""
    layout = lay_out(bar_brief(plates=((1500.0, 2.0),)))
    station = [s for s, _ in nails(layout)]
    assert min(station) == 75.0
    assert 60.0 <= 3000.0 - max(station) < 75.0 + 150.0


@pytest.mark.parametrize(
    ("along", "across", "bad"),
    [(39.0, 19.0, True), (40.0, 0.0, False), (0.0, 20.0, False), (1.0, 15.0, True),
     (25.0, 11.0, True), (41.0, 1.0, False)],
)  # fmt: skip
def test_two_nails_clash_where_both_distances_are_short(along, across, bad):
    others = (np.array([500.0]), np.array([0.0]))
    got = clashes(np.array([500.0 + along]), np.array([across]), others, 40.0, 20.0)
    assert got.tolist() == [bad]


def test_a_bolt_at_mid_length_stands_at_mid_length():
    """French annex, four plies: as near to the middle between joints as plates and bolts allow."""
    job = parse_job(job_text(Ask(plies=4, thickness=36.0, rules="french-36mm")))
    girder = build_girder(job)[0]
    f = lay_out(make_brief(job, girder)).fasteners
    joints = {j.id: j for j in girder.joints}
    found = 0
    for member in girder.members:
        ends = np.array([[joints[j].x, joints[j].y] for j in member.joints])
        along = member.to_local(ends)[:, 0]
        middles = (along[:-1] + along[1:]) / 2
        here = (f.member == member.id) & (f.kind == "bolt") & (f.joint == "")
        for station in f.station[here]:
            found += 1
            assert np.abs(middles - station).min() <= 10.0, member.id
    assert found >= 5


def test_every_stage_of_a_member_is_the_same_comb_moved_by_one_constant():
    """Three plies: stage 2 has the marks of stage 1 with the rows exchanged."""
    brief = bar_brief(plies=3)
    layout = lay_out(brief)
    one, two = ([r for r in layout.runs if r.kind == "nail" and r.stage == s] for s in (1, 2))
    assert [(r.first, r.step, r.marks) for r in one] == [(r.first, r.step, r.marks) for r in two]
    assert [r.parity for r in one] == [1 - r.parity for r in two]
    assert len(plan_steps(brief, True)) >= 2


def test_a_bracket_without_a_size_has_room_kept_for_it_and_says_so():
    """Load and joint bolt both at 430 once: 90 mm of the chord and 10 clear are kept free."""
    loads = """
[[loads]]
id = "L1"
chord = "BC1"
face = "front"
at = "430 mm"
design = "1 kN"
"""
    schedule = build_schedule(parse_job(job_text(Ask(loads=loads))))
    f = schedule.fasteners
    here = f.member == "BC1"
    away = np.abs(f.station - 430.0)
    assert away[here & (f.kind == "nail")].min() >= 45.0 + 10.0 - 1e-6
    assert away[here & (f.kind == "bolt")].min() >= 45.0 + 10.0 + 20.0 - 1e-6  # half a washer
    other = build_schedule(parse_job(job_text(Ask(loads=loads.replace("430", "2350")))))
    bare = other.fasteners
    near = np.abs(bare.station[(bare.member == "BC1") & (bare.kind == "nail")] - 2350.0)
    assert 45.0 + 10.0 - 1e-6 <= near.min() <= 150.0  # nothing else lies there
    (entry,) = [x for x in schedule.assumed if x.key == "loads.L1.bracket"]
    assert "90" in english(entry.value)
    (mark,) = to_contract(schedule)["brackets"]  # what is kept clear is in the document too
    assert (mark["width"], mark["height"], mark["assumed"]) == (90.0, 195.0, True)


def test_through_bolts_are_runs_and_no_bracket_brings_two_more():
    """NDS 15.3.4, four plies, value from memory: rows at 9 in at most, 6 times the ply. A bracket
    every 16 in takes marks of a step of 9 in; of 8 in it takes none: 36 ft / 8 in = 54 in a row at
    most. Every piece between two brackets got a bolt at both ends before (133 in the chord). What
    plates and joint bolts take leaves more than 9 in, which is said, a published rule."""
    loads = """
[[loads]]
id = "L"
chord = "BC1"
face = "front"
at = "24 in"
to = "400 in"
every = "16 in"
design = "100 lbf"
[loads.bracket]
width = "3.5 in"
height = "7 in"
"""
    asked = Ask(
        plies=4, rules="north-american-built-up", standard="NDS 2018", timber="Douglas Fir-Larch",
        imperial=True, thickness=38.1, top=184.15, bottom=234.95, web=88.9, span=36 * 304.8,
        pitch=26.565, panels=6, loads=loads,
    )  # fmt: skip
    job = parse_job(job_text(asked))
    girder = build_girder(job)[0]
    layout = lay_out(make_brief(job, girder))
    f = layout.fasteners
    for rafter in ("TC1", "TC2"):  # hooked at either heel: row 1 of bolts is the lower one too
        bolts = (f.member == rafter) & (f.kind == "bolt") & (f.joint == "")
        spots = np.column_stack([f.station[bolts], 0 * f.station[bolts]])
        line = f.y[bolts] - girder.member(rafter).to_elevation(spots)[:, 1]
        assert set(np.sign(line[f.row[bolts] == 1])) == {-1.0}
        assert set(np.sign(line[f.row[bolts] == 2])) == {1.0}
    chord = (f.member == "BC1") & (f.kind == "bolt")
    rows = [r for r in layout.runs if r.member == "BC1" and r.kind == "bolt" and r.marks > 1]
    assert len(rows) == 2
    assert [r.step for r in rows] == pytest.approx([203.2, 203.2])
    assert rows[0].first == rows[1].first
    assert all(x.what in ("plate", "fastener") for r in rows for x in r.left_out)
    assert 2 * 40 <= sum(len(r) for r in rows) <= 2 * 54
    assert chord.sum() <= 2 * 54 + 7
    gaps = []
    for r in rows:
        station = np.sort(f.station[chord & (f.run == r.id)])
        gaps += np.diff(station)[np.diff(station) > 228.6 + 1e-6].tolist()
        assert np.allclose((station - r.first) / r.step, np.round((station - r.first) / r.step))
    (said,) = [x for x in layout.findings if (x.code, x.where) == ("bolt-gap", "BC1")]
    assert gaps
    assert said.severity is Severity.WARNING
    assert f"{len(gaps)} times" in english(said.message)
    assert "2'-0\"" in english(said.message), "24 in, the widest"
    assert max(gaps) == pytest.approx(24 * 25.4)


def test_row_one_is_the_lower_one_so_that_mirrored_members_are_told_once():
    """Rafters hook at either heel and webs lean either way: equal stations, equal rows, and row 1
    is nearer the lower edge; of the rows of an upright it is the inner one."""
    schedule = build_schedule(read_job(SAMPLES / "three-ply-pratt.toml"))
    f, girder = schedule.fasteners, schedule.girder
    middle = np.mean([b.x for b in girder.bearings])
    for one, two in (("TC1", "TC2"), ("W2", "W8"), ("W3", "W7"), ("W1", "W9")):
        told = [
            sorted(zip(f.stage[at], f.station[at].round(1), f.row[at], strict=True))
            for at in (f.member == one, f.member == two)
        ]
        assert told[0] == told[1]
    for member in girder.members:
        at = f.member == member.id
        upright = abs(np.cos(member.angle)) < 1e-6
        for stage in (1, 2):
            for row in (1, 2):
                here = at & (f.row == row) & (f.stage == stage)
                if not here.any():
                    continue
                line = np.abs(f.x[here] - middle) if upright else f.y[here]
                mid = member.to_elevation(np.column_stack([f.station[here], 0 * f.station[here]]))
                centre = np.abs(mid[:, 0] - middle) if upright else mid[:, 1]
                below = line < centre
                if not (upright and abs(member.hook[0] - middle) < 1.0):
                    assert below.all() if row == 1 else (~below).all(), member.id


def test_a_plate_that_swallows_marks_has_a_nail_beside_its_edge():
    """A plate of 530 in the middle of 3 m takes four marks of a zigzag at 150, and the next mark is
    110 off its right edge: there a nail stands 25 off it, at 1765 + 25. At its left edge a joint
    bolt's washer lies, and the mark before it is near."""
    layout = lay_out(bar_brief(plates=((0.0, 200.0), (1500.0, 530.0), (3000.0, 200.0))))
    (beside,) = [r for r in layout.runs if r.kind == "nail" and r.single is not None]
    assert (beside.first, beside.single.what, beside.single.off) == (1790.0, "plate", 25.0)
    station = np.array([s for s, _ in nails(layout)])
    assert station[station > 1790.0].min() == pytest.approx(1875.0)
    assert station[station < 1500.0].max() == pytest.approx(1125.0)


def test_stages_of_one_ply_keep_clear_on_either_side():
    """Two stages 120 apart in rows of 150: the next nail of the other stage is 30 away, too near
    for a1 of 40; 75 apart they are clear."""
    brief = bar_brief(plies=3)
    strip = make_strip(
        brief, nail_limits(brief, brief.girder.members[0], brief.nail),
        rule_pattern(brief, brief.girder.members[0], brief.nail,
                     nail_limits(brief, brief.girder.members[0], brief.nail))[0], [],
    )  # fmt: skip
    passes = tuple(s.passed for s in plan_steps(brief, False) if s.passed)
    made = tracks_of(brief, strip, passes)
    assert made.colours == 2
    assert made.need == pytest.approx(40.0)
    assert made.clear(75.0, 150.0)
    assert not made.clear(120.0, 150.0)
    assert not made.clear(35.0, 150.0)


def test_faces_of_a_rule_without_long_gaps_take_a_row_each():
    """The French rule, three plies: the front face takes row 1 of every member, the back row 2."""
    schedule = build_schedule(read_job(SAMPLES / "three-ply-pratt.toml"))
    f = schedule.fasteners
    chord = (f.member == "TC1") & (f.kind == "nail")
    rows = [set(f.row[chord & (f.face == face)].tolist()) for face in ("front", "back")]
    assert rows == [{1}, {2}]


@pytest.mark.parametrize(
    ("nail", "overlap"),
    [
        ("3.1 x 70", False),  # 70 - 45 = 25 deep: 45 - 25 = 20 is more than 4 x 3.1 = 12.4
        ("3.1 x 80", True),  # 80 - 45 = 35 deep: 10 is less
        ("4.0 x 75", True),  # 75 - 45 = 30 deep: 15 is less than 16
    ],
)
def test_points_from_both_faces_that_overlap_in_one_ply_are_told(nail, overlap):
    """EN 1995-1-1, 8.3.1.1(7): they may where t - t2 is more than 4 d (value from memory)."""
    extra = '[fastening.overrides]\ndriving_face = "alternate"\n'
    schedule = build_schedule(
        parse_job(job_text(Ask(plies=3, thickness=45.0, nail=nail, extra=extra)))
    )
    told = [f for f in schedule.findings if f.code == "points-overlap"]
    assert bool(told) == overlap
    assert all("ply 2" in english(f.message) and "8.3.1.1(7)" in f.clause for f in told)


def test_points_that_overlap_keep_apart_like_nails_from_one_face():
    """The French rule, four plies of 36: nails of stage 1 end 34 deep in ply 3, and so do those
    that come from the back. No two of them are nearer than a1 = 10 d and a2 = 5 d (EN 1995-1-1
    Table 8.2 for d under 5 mm, not predrilled; from memory) both at once."""
    job = parse_job(job_text(Ask(plies=4, thickness=36.0, rules="french-36mm")))
    schedule = build_schedule(job)
    f, d = schedule.fasteners, 2.5
    assert any(
        x.code == "points-overlap" and "ply 3" in english(x.message) for x in schedule.findings
    )
    pairs = 0
    for member in np.unique(f.member):
        mine = f.driven & (f.member == member) & (f.to_ply == 3)
        one, two = (np.flatnonzero(mine & (f.face == face)) for face in ("front", "back"))
        along = np.abs(f.station[one][:, None] - f.station[two])
        across = np.abs(f.offset[one][:, None] - f.offset[two])
        assert not np.any((along < 10 * d - 0.01) & (across < 5 * d - 0.01)), member
        pairs += along.size
    assert pairs > 100
