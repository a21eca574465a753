"""Nodes and members, outlines given outright, and everything that must be refused."""

import dataclasses
import math
from collections.abc import Callable

import pytest
from shape_jobs import BOTTOM, TOP, WEB, level_lists, list_job, shape_job
from shapely.geometry import Polygon

from girderply.errors import JobError, Severity
from girderply.jobfile.job import (
    BearingSpec,
    Job,
    LoadSpec,
    MemberSpec,
    NodeSpec,
    PlateSpec,
)
from girderply.model.build_girder import build_girder
from girderply.shapes.shape_spec import ShapeSpec
from girderply.wording import english

EXACT = 1e-5  # mm
RAD = math.radians


def codes(job: Job) -> list[tuple[str, str]]:
    with pytest.raises(JobError, match=r"\w") as caught:
        build_girder(job)
    return [(f.code, english(f.where)) for f in caught.value.findings]


def test_level_girder_by_lists() -> None:
    """Chords 120 and 100 deep on y = 840 and 50, posts of 40 at the ends: all square cuts.

    Top chord y 780 to 900, bottom 0 to 100, both from x = 0 to 3000; posts 780 - 100 = 680 long.
    """
    girder, _ = build_girder(list_job(*level_lists()))
    box = Polygon(girder.member("TC1").outline).bounds
    assert box == pytest.approx((0.0, 780.0, 3000.0, 900.0), abs=EXACT)
    assert girder.member("W1").length == pytest.approx(680.0, abs=EXACT)
    assert [j.id for j in girder.joints] == ["A", "B", "C", "D"]
    assert girder.joints[0].members == ("BC1", "W1", "W2")


def test_double_cut_where_post_and_brace_meet() -> None:
    """At A post and brace are cut on the line from A through the crossing of their near edges.

    Brace: from (20, 50) to (2980, 840), 60 deep: slope 790 / 2960, its upper edge
    30 sqrt(1 + slope^2) = 31.050 above the centreline. Post edge x = 40: crossing at
    y = 50 + 20 * 0.266892 + 31.050 = 86.388, below the chord's edge at 100: so no double cut,
    and the post stands square on the chord. With a chord of 50 the crossing shows.
    """
    nodes, members = level_lists()
    girder, _ = build_girder(list_job(nodes, members))
    assert len(girder.member("W1").outline) == 4
    shallow = [dataclasses.replace(m, depth=50.0) if m.id == "BC1" else m for m in members]
    girder, _ = build_girder(list_job(nodes, shallow))
    post = girder.member("W1").outline
    assert min(abs(p - (40.0, 86.388)).max() for p in post) < 1e-3
    assert len(post) == 5


def test_given_outline_overrides_and_webs_fit_it() -> None:
    """A bottom chord given 10 mm deeper than the lists have it: posts end on it at y = 110."""
    nodes, members = level_lists()
    outline = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 110.0), (0.0, 110.0))
    given = [
        dataclasses.replace(m, outline=outline, depth=110.0) if m.id == "BC1" else m
        for m in members
    ]
    girder, _ = build_girder(list_job(nodes, given))
    assert Polygon(girder.member("BC1").outline).area == pytest.approx(330000.0)
    assert girder.member("W1").hook == pytest.approx((20.0, 110.0), abs=EXACT)


def test_clockwise_outline_is_turned() -> None:
    nodes, members = level_lists()
    outline = ((0.0, 0.0), (0.0, 100.0), (3000.0, 100.0), (3000.0, 0.0))
    given = [dataclasses.replace(m, outline=outline) if m.id == "BC1" else m for m in members]
    girder, _ = build_girder(list_job(nodes, given))
    assert Polygon(girder.member("BC1").outline).exterior.is_ccw


def test_hook_end_of_a_vertical_is_its_bottom_unless_said() -> None:
    nodes, members = level_lists()
    flipped = [dataclasses.replace(m, hook_end="right") if m.id == "W3" else m for m in members]
    girder, _ = build_girder(list_job(nodes, flipped))
    assert girder.member("W1").hook[1] < girder.member("W1").far[1]
    assert girder.member("W3").hook[1] > girder.member("W3").far[1]


def test_strut_on_a_post_is_cut_to_its_edge() -> None:
    """A web that ends half-way on another one is cut to that one's edge: x = 1500 - 30."""
    nodes, members = level_lists()
    nodes += [NodeSpec("M", 1500, 50), NodeSpec("P", 1500, 450), NodeSpec("N", 1500, 840)]
    chords = [
        MemberSpec("TC1", TOP, ("C", "N", "D"), 120.0),
        MemberSpec("BC1", BOTTOM, ("A", "M", "B"), 100.0),
    ]
    posts = [m for m in members if m.id in ("W1", "W3")]
    more = [
        MemberSpec("W4", WEB, ("M", "P", "N"), 60.0),
        MemberSpec("W5", WEB, ("C", "P"), 80.0),
    ]
    girder, _ = build_girder(list_job(nodes, [*chords, *posts, *more]))
    assert girder.member("W5").outline[:, 0].max() == pytest.approx(1470.0, abs=EXACT)
    assert [j.id for j in girder.joints][-1] == "P"


def test_shape_and_its_own_lists_give_the_same_outlines() -> None:
    """Heel, apex and panel points of a howe written out by hand as nodes and members.

    Span 6000, pitch atan(0.5), 145 deep chords: cos = 2 / sqrt 5; centreline of the top chord
    6 + 72.5 sqrt 5 / 2 + x / 2; it meets the bottom chord's at x = 2 (72.5 - 6) - 72.5 sqrt 5.
    """
    rise = 6 + 72.5 * math.sqrt(5) / 2
    heel = 2 * (72.5 - 6) - 72.5 * math.sqrt(5)
    xs = {"A": heel, "B": 1500, "C": 3000, "D": 4500, "E": 6000 - heel}
    nodes = [NodeSpec(k, x, 72.5) for k, x in xs.items()]
    nodes += [
        NodeSpec("F", 1500, rise + 750),
        NodeSpec("G", 3000, rise + 1500),
        NodeSpec("H", 4500, rise + 750),
    ]
    members = [
        MemberSpec("TC1", TOP, ("A", "F", "G"), 145.0),
        MemberSpec("TC2", TOP, ("G", "H", "E"), 145.0),
        MemberSpec("BC1", BOTTOM, ("A", "B", "C", "D", "E"), 145.0),
        MemberSpec("W1", WEB, ("B", "F"), 95.0),
        MemberSpec("W2", WEB, ("C", "F"), 95.0),
        MemberSpec("W3", WEB, ("C", "G"), 95.0),
        MemberSpec("W4", WEB, ("C", "H"), 95.0),
        MemberSpec("W5", WEB, ("D", "H"), 95.0),
    ]
    shape = ShapeSpec("howe", 6000.0, math.atan(0.5), panels=4)
    by_shape, _ = build_girder(shape_job(shape, (145.0, 145.0, 95.0)))
    by_lists, _ = build_girder(list_job(nodes, members))
    for a, b in zip(by_shape.members, by_lists.members, strict=True):
        assert Polygon(a.outline).symmetric_difference(Polygon(b.outline)).area < 0.1  # 1e-6 mm


def _replaced(**changes: object) -> Callable[[list[MemberSpec]], list[MemberSpec]]:
    """Members of the level girder with W2 changed."""
    return lambda ms: [dataclasses.replace(m, **changes) if m.id == "W2" else m for m in ms]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (_replaced(nodes=("A", "Dd")), ("unknown-node", "girder.members.W2.nodes")),
        (_replaced(nodes=("A", "A")), ("zero-length", "girder.members.W2")),
        (_replaced(nodes=("A",)), ("zero-length", "girder.members.W2")),
        (_replaced(depth=0.0), ("zero-length", "girder.members.W2")),
        (_replaced(depth=math.nan), ("zero-length", "girder.members.W2")),
        (_replaced(nodes=("A", "X")), ("members-do-not-meet", "girder.members.W2")),
        (_replaced(nodes=("A", "B")), ("does-not-fit", "W2")),
        (
            _replaced(outline=((100, 50), (2900, 840), (100, 840), (2900, 50))),
            ("outline-crosses-itself", "girder.members.W2.outline"),
        ),
        (_replaced(outline=((0, 0), (9, 9))), ("outline-too-few", "girder.members.W2.outline")),
        (
            _replaced(outline=((0, 0), (9, 0), (9, 0.1))),
            ("zero-length", "girder.members.W2.outline"),
        ),
        (
            _replaced(outline=((200, 200), (300, 200), (300, 300))),
            ("outline-off-member", "girder.members.W2.outline"),
        ),
        (
            _replaced(outline=((600, 150), (2400, 150), (2400, 700), (600, 700))),
            ("members-do-not-meet", "W2"),
        ),
        (
            _replaced(outline=((60, 90), (2900, 90), (2900, 790), (60, 790))),
            ("members-overlap", "TC1"),
        ),
    ],
)
def test_lists_that_cannot_be_built(
    change: Callable[[list[MemberSpec]], list[MemberSpec]], expected: tuple[str, str]
) -> None:
    nodes, members = level_lists()
    assert expected in codes(list_job([*nodes, NodeSpec("X", 1500, 400)], change(members)))


def test_bent_chord_is_refused() -> None:
    nodes, members = level_lists()
    bent = [dataclasses.replace(members[0], nodes=("C", "X", "D")), *members[1:]]
    found = codes(list_job([*nodes, NodeSpec("X", 1500, 900)], bent))
    assert found == [("not-straight", "girder.members.TC1.nodes")]


def test_loose_part_is_refused() -> None:
    nodes, members = level_lists()
    nodes += [NodeSpec("X", 5000, 50), NodeSpec("Y", 8000, 50)]
    loose = [*members, MemberSpec("BC2", BOTTOM, ("X", "Y"), 100.0)]
    assert codes(list_job(nodes, loose)) == [("members-do-not-meet", "girder.members")]


def test_web_that_runs_past_the_end_of_its_chord_is_refused() -> None:
    """A bottom chord given outright that stops short leaves the post in the air."""
    nodes, members = level_lists()
    outline = ((200.0, 0.0), (3000.0, 0.0), (3000.0, 100.0), (200.0, 100.0))
    short = [dataclasses.replace(m, outline=outline) if m.id == "BC1" else m for m in members]
    assert ("members-do-not-meet", "W1") in codes(list_job(nodes, short))


def test_everything_wrong_is_said_at_once() -> None:
    """Depth, load chord, hook end and plate faults of one job come together."""
    job = shape_job(
        ShapeSpec("howe", 9600.0, RAD(22.5), panels=6),
        loads=[
            LoadSpec("L1", "BC2", "front", 500.0),
            LoadSpec("L2", "W1", "front", 500.0),
            LoadSpec("L3", "BC1", "front", 9700.0),
            LoadSpec("L4", "BC1", "front", 500.0, to=400.0, every=100.0),
        ],
        hook_ends={"BC9": "right"},
        plates=(
            PlateSpec("J99", (0.0, 0.0), 100.0, 100.0),
            PlateSpec("J2", (1600.0, 150.0), 0.0, 100.0),
        ),
        bearings=(
            BearingSpec(12000.0, 90.0),
            BearingSpec(0.0, 0.0),
            BearingSpec(9500.0, 90.0),
            BearingSpec(9420.0, 90.0),
            BearingSpec(9330.0, 90.0),  # beside the last, edge to edge
        ),
    )
    assert set(codes(job)) == {
        ("unknown-chord", "loads.L1.chord"),
        ("not-a-chord", "loads.L2.chord"),
        ("load-off-chord", "loads.L3"),
        ("half-a-series", "loads.L4.to"),
        ("unknown-member", "girder.hook_ends.BC9"),
        ("unknown-joint", "girder.plates[1].joint"),
        ("zero-length", "girder.plates[2]"),
        ("bearing-off-girder", "girder.bearings[1]"),
        ("zero-length", "girder.bearings[2]"),
        ("bearings-overlap", "girder.bearings[4]"),
    }


@pytest.mark.parametrize(
    ("shape", "code", "word"),
    [
        (ShapeSpec("how", 9600.0, 0.4), "unknown-shape", 'did you mean "howe"'),
        (ShapeSpec("howe", 0.0, 0.4), "not-positive", "more than zero"),
        (ShapeSpec("howe", math.nan, 0.4), "not-positive", "more than zero"),
        (ShapeSpec("howe", 9600.0, 0.4, 2000.0), "pitch-or-height", "both given"),
        (ShapeSpec("howe", 9600.0, 1.5), "pitch-out-of-range", "2 to 75"),
        (ShapeSpec("howe", 9600.0, 0.4, panels=5), "panels", "even number"),
        (ShapeSpec("fink", 9600.0, 0.4, panels=4), "panels", "3 panels"),
        (ShapeSpec("howe", 9600.0, 0.4, panels=6000), "panels", "2 to 60"),
        (ShapeSpec("howe", 9600.0, 0.4, heel_height=100.0), "does-not-fit", "plumb depth"),
        (ShapeSpec("howe", 9600.0, 0.4, flat_height=900.0), "not-for-shape", "truncated"),
        (ShapeSpec("fink", 9600.0, 0.4, web_pattern="howe"), "not-for-shape", "mono"),
        (ShapeSpec("warren", 9600.0, height=250.0), "does-not-fit", "between the chords"),
        (ShapeSpec("warren", 9600.0), "missing-key", "needs its height"),
        (ShapeSpec("truncated", 9600.0, 0.4, flat_height=9000.0), "does-not-fit", "midspan"),
        (ShapeSpec("mono", 5000.0, 0.4, web_pattern="prat"), "unknown-pattern", '"pratt"'),
        (ShapeSpec("howe", 6000.0, 0.09, panels=8), "does-not-fit", "nothing is left of W1"),
        (ShapeSpec("howe", 400.0, 0.4, panels=2), "does-not-fit", "too short"),
    ],
)
def test_shapes_that_cannot_be_built(shape: ShapeSpec, code: str, word: str) -> None:
    with pytest.raises(JobError, match=r"\w") as caught:
        build_girder(shape_job(shape))
    said = [f"{f.message} {f.tip}" for f in caught.value.findings if f.code == code]
    assert any(word in text for text in said), caught.value.findings
    assert all(f.severity is not Severity.NOTE for f in caught.value.findings)


def test_missing_depth_is_named() -> None:
    job = shape_job(ShapeSpec("howe", 9600.0, 0.4))
    less = dataclasses.replace(job.girder, depths={"top chord": 145.0, "botom chord": 145.0})
    found = codes(dataclasses.replace(job, girder=less))
    assert ("depth-missing", "girder.depths.web") in found
    assert ("unknown-role", "girder.depths.botom chord") in found


def test_bearings_are_assumed_at_both_ends_with_a_note() -> None:
    """90 mm wide at the ends of 9600 (assumption of ours): centres 45 and 9555."""
    shape = ShapeSpec("howe", 9600.0, RAD(22.5), panels=6, overhang=300.0)
    girder, findings = build_girder(shape_job(shape))
    assert [(b.x, b.width) for b in girder.bearings] == [(45.0, 90.0), (9555.0, 90.0)]
    assert [f.code for f in findings] == ["plates-assumed", "bearings-assumed"]


def test_web_almost_along_its_chord_is_a_warning() -> None:
    """Brace over 12000 between centrelines 790 apart: atan(790 / 11960) = 3.8 degrees to both."""
    findings = build_girder(list_job(*level_lists(12000.0)))[1]
    said = [english(f.message) for f in findings if f.code == "web-too-flat"]
    assert said == [
        "W2 meets BC1 at 4 degrees, a feather edge",
        "W2 meets TC1 at 4 degrees, a feather edge",
    ]
