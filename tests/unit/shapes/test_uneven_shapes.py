"""Panels of unequal length and webs of unequal depth: sums by hand, mirror images, refusals."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from command import girderply
from shape_jobs import shape_job
from shapely.geometry import Polygon

from girderply.errors import JobError
from girderply.jobfile import new_job, parse_job
from girderply.model.build_girder import build_girder
from girderply.model.girder import Girder
from girderply.schedule.build_schedule import build_schedule
from girderply.shapes.all_shapes import shapes
from girderply.shapes.shape_spec import ShapeSpec
from girderply.tracing.from_shape import as_nodes
from girderply.wording import english

SPAN = 8000.0
EXACT = 1e-6
SIZES = {"pitch": math.radians(25), "height": 1400.0, "flat_height": 1000.0}
THREE = (2500.0, 2900.0, 2600.0)
SIX = (1200.0, 1500.0, 1300.0, 1600.0, 900.0, 1500.0)
FOUR = (1500.0, 2500.0, 2200.0, 1800.0)
PANELLED = [k for k in shapes() if k != "truncated"]


def lengths_of(kind: str) -> tuple[float, ...]:
    """Unlike panels, as many as a shape can have at most."""
    return {0: SIX, 3: THREE, 4: FOUR}[max(shapes()[kind].panels, default=0)]


def uneven(kind: str, lengths: tuple[float, ...], heel: float | None = None) -> ShapeSpec:
    """A shape with the sizes that it needs and these panels."""
    shape = shapes()[kind]
    sizes = {group[0]: SIZES[group[0]] for group in shape.needs}
    heel = heel if "heel_height" in shape.takes else None
    return ShapeSpec(kind, SPAN, heel_height=heel, panel_lengths=lengths, **sizes)  # type: ignore[arg-type]


def built(spec: ShapeSpec, **girder: object) -> Girder:
    """The girder of a shape, members of 145, 170 and 95 mm."""
    return build_girder(shape_job(spec, **girder))[0]


def faults(spec: ShapeSpec, **girder: object) -> dict[str, str]:
    """What is wrong, by place; empty when nothing is."""
    try:
        built(spec, **girder)
    except JobError as error:
        return {english(f.where): english(f.message) for f in error.findings}
    return {}


@pytest.mark.parametrize("heel", [None, 420.0])
@pytest.mark.parametrize("kind", PANELLED)
def test_panels_stand_where_their_lengths_add_up(kind: str, heel: float | None) -> None:
    """Cumulative sums by hand; every web foot of a shape stands at one of them or at an end."""
    lengths = lengths_of(kind)
    girder = built(uneven(kind, lengths, heel))
    sums = [sum(lengths[:i]) for i in range(1, len(lengths))]
    wanted = [SPAN / 2] if kind == "king post" else sums
    assert feet(girder)[1:-1] == pytest.approx(wanted, abs=EXACT)
    assert girder.length == pytest.approx(SPAN, abs=EXACT)


def feet(girder: Girder) -> list[float]:
    """X of the joints of the bottom chord, mm."""
    low = girder.member("BC1").joints
    return [j.x for j in girder.joints if j.id in low]


@pytest.mark.parametrize("heel", [None, 420.0])
@pytest.mark.parametrize("kind", PANELLED)
def test_panels_of_one_length_are_the_number_of_panels(kind: str, heel: float | None) -> None:
    """Panels counted, and the same panels measured on the girder: one girder."""
    n = (shapes()[kind].panels or (6,))[-1]
    counted = built(replace(uneven(kind, SIX, heel), panels=n, panel_lengths=None))
    inner = [SPAN * i / n for i in range(1, n)] if shapes()[kind].panels else feet(counted)[1:-1]
    measured = built(uneven(kind, tuple(np.diff([0.0, *inner, SPAN]).tolist()), heel))
    assert [m.id for m in measured.members] == [m.id for m in counted.members]
    for a, b in zip(measured.members, counted.members, strict=True):
        assert a.outline == pytest.approx(b.outline, abs=1e-5)
        assert (a.compression, a.joints) == (b.compression, b.joints)


@pytest.mark.parametrize("heel", [None, 420.0])
@pytest.mark.parametrize("kind", [k for k in PANELLED if not shapes()[k].top.single])
def test_panels_in_the_other_order_are_the_mirror_image(kind: str, heel: float | None) -> None:
    lengths = lengths_of(kind)
    ply = built(uneven(kind, lengths, heel)).members
    turned = built(uneven(kind, lengths[::-1], heel)).members
    images = [(Polygon(m.outline * [-1, 1] + [SPAN, 0]), m) for m in turned]
    assert len(ply) == len(turned)
    for m in ply:
        shape = Polygon(m.outline)
        same = [t for image, t in images if shape.symmetric_difference(image).area < 1e-3]
        assert [(t.role, t.depth, t.compression) for t in same] == [
            (m.role, m.depth, m.compression)
        ], m.id


def test_knees_of_a_truncated_girder_are_met_to_the_rounding_of_a_tape() -> None:
    """The knee by hand: the centreline of the slope starts at the butt cut of 6 mm and half the
    plumb depth above the underside, and rises at tan 25 to half a depth under the flat top."""
    spec = uneven("truncated", SIX)
    flat, half = 1000.0 - 145 / 2, 145 / 2
    knee = (flat - 6.0 - half / math.cos(spec.pitch or 0.0)) / math.tan(spec.pitch or 0.0)
    said = faults(spec)["girder.shape.panel_lengths"]
    assert f"at x = {SPAN - knee:.1f} mm" in said or f"at x = {knee:.1f} mm" in said
    rounded = round(knee)
    lengths = (rounded, 4000.0 - rounded, 4000.0 - rounded - 300.0, rounded + 300.0)
    assert "knee" in faults(replace(spec, panel_lengths=lengths))["girder.shape.panel_lengths"]
    good = (rounded - 700.0, 700.0, 4000.0 - rounded, 4000.0 - rounded, 400.0, rounded - 400.0)
    girder = built(replace(spec, panel_lengths=good))
    assert feet(girder)[1] == pytest.approx(rounded - 700.0)
    assert feet(girder)[2] == pytest.approx(knee, abs=1e-3)


@pytest.mark.parametrize(
    ("kind", "lengths", "words"),
    [
        ("howe", (1200, 1500, 1300, 1600, 900, 1400), "add up to 7900.0 mm, and the span is 8000"),
        (
            "howe",
            (2100, 2100, 1900, 1900),
            "at midspan, at x = 4000.0 mm; the nearest ends at 4200",
        ),
        ("fink", (2000, 2000, 2000, 2000), "a fink girder has 3 panels, not 4"),
        ("fink", (4500, 1500, 2000), "must end before midspan"),
        ("king post", (1000, 2000, 2500, 2500), "at midspan"),
    ],
)
def test_panels_that_cannot_be_are_refused(kind: str, lengths: tuple[int, ...], words: str) -> None:
    found = faults(uneven(kind, tuple(map(float, lengths))))
    assert [
        k for k in found if k not in ("girder.shape.panel_lengths", "girder.shape.panels")
    ] == []
    assert words in " ".join(found.values())


def test_a_number_and_lengths_are_not_both_given() -> None:
    text = new_job("howe", "8 m", panel_lengths=["2 m", "2 m", "1.5 m", "2.5 m"])
    assert parse_job(text).girder.shape is not None
    with pytest.raises(JobError, match="panels and panel_lengths are both given"):
        build_girder(parse_job(text.replace("panel_lengths =", "panels = 4\npanel_lengths =")))


def test_warren_webs_under_a_flat_top_are_sent_to_nodes_and_members() -> None:
    spec = replace(uneven("truncated", SIX), web_pattern="warren")
    assert "one length only" in faults(spec)["girder.shape.panel_lengths"]


# --- depths of single webs ---------------------------------------------------------------------


def test_one_web_is_deeper_and_nothing_else_moves() -> None:
    """Its board is 145 mm across its axis, the panel points and the other boards stay."""
    spec = uneven("pratt", SIX)
    before, after = built(spec), built(spec, own_depths={"W3": 145.0})
    assert before.joints == after.joints
    for a, b in zip(before.members, after.members, strict=True):
        across = after.member(b.id).to_local(b.outline)[:, 1]
        assert np.ptp(across) == pytest.approx(145.0 if b.id == "W3" else a.depth, abs=EXACT)
    assert after.member("W3").depth == 145.0
    assert before.member("W3").depth == 95.0


def test_an_end_post_of_its_own_depth_stands_flush_with_the_end() -> None:
    """Posts of 145 mm at the left and 70 mm at the right, both with their outer face at the end."""
    spec = uneven("parallel chord", SIX)
    plain = built(spec)
    last = max(plain.members, key=lambda m: m.outline[:, 0].min()).id
    girder = built(spec, own_depths={"W1": 145.0, last: 70.0})
    left, right = girder.member("W1").outline[:, 0], girder.member(last).outline[:, 0]
    assert (left.min(), left.max()) == pytest.approx((0.0, 145.0), abs=EXACT)
    assert (right.min(), right.max()) == pytest.approx((SPAN - 70.0, SPAN), abs=EXACT)
    assert girder.length == pytest.approx(SPAN, abs=EXACT)


@pytest.mark.parametrize(
    ("own", "words"),
    [({"TC1": 145.0}, "TC1 is a chord"), ({"W99": 145.0}, "no web 'W99'")],
)
def test_depths_of_what_is_no_web_are_refused(own: dict[str, float], words: str) -> None:
    (name,) = own
    assert words in faults(uneven("howe", SIX), own_depths=own)[f"girder.sections.members.{name}"]


# --- from the terminal to nodes and members ----------------------------------------------------


def test_new_writes_them_and_a_trace_keeps_the_girder(capsys, tmp_path) -> None:
    out = tmp_path / "G.toml"
    told = [
        "--panel-lengths",
        "1.2 m, 1.5 m, 1300, 1.6 m, 0.9 m, 1.5 m",
        "--web-depth",
        "W2 = 120 mm",
    ]
    girderply(capsys, "new", "--shape", "howe", "--span", "8 m", *told, "--out", str(out))
    job = parse_job(out.read_text("utf-8"))
    assert job.girder.shape is not None
    assert job.girder.shape.panel_lengths == SIX
    assert job.girder.own_depths == {"W2": 120.0}
    assert "girder.shape.panels" not in job.info.assumed
    text, _ = as_nodes(out.read_text("utf-8"))
    by_shape, by_nodes = build_girder(job)[0], build_girder(parse_job(text))[0]
    for a, b in zip(by_shape.members, by_nodes.members, strict=True):
        assert (a.id, a.depth) == (b.id, b.depth)
        assert Polygon(a.outline).symmetric_difference(Polygon(b.outline)).area < 1.0


def test_tables_of_their_own_are_taken_out_too() -> None:
    """`[girder.sections.members]` written as a table goes with the shape when nodes come."""
    text = new_job("howe", "8 m").replace(
        "[[girder.bearings]]", '[girder.sections.members]\nW3 = "120 mm"\n\n[[girder.bearings]]', 1
    )
    made, _ = as_nodes(text)
    assert "girder.sections" not in made
    assert build_girder(parse_job(made))[0].member("W3").depth == 120.0


def test_a_web_without_a_depth_is_told(capsys) -> None:
    made = girderply(capsys, "new", "--shape", "howe", "--span", "8 m", "--web-depth", "W3")
    assert made.code == 2
    assert "has no =" in made.err


def test_the_verdict_of_the_mirror_image_is_the_same() -> None:
    """What hangs is mirrored too, the tape hooks at the other end: the same demands at the loads,
    the same count of every kind."""
    lengths = ["1.2 m", "1.5 m", "1.3 m", "1.6 m", "0.9 m", "1.5 m"]
    text = new_job("howe", "8 m", panel_lengths=lengths, web_depths={"W2": "120 mm"})
    names = {m.id for m in build_girder(parse_job(text))[0].members}
    last = f"W{max(int(n[1:]) for n in names if n[0] == 'W') - 1}"
    other = new_job("howe", "8 m", panel_lengths=lengths[::-1], web_depths={last: "120 mm"})
    hooked = other.replace("[girder.shape]", '[girder.hook_ends]\nBC1 = "right"\n\n[girder.shape]')
    one, two = (build_schedule(parse_job(t)) for t in (text, hooked))
    kinds = [sorted(s.fasteners.kind.tolist()) for s in (one, two)]
    assert kinds[0] == kinds[1]
    hardest = [
        max(c.utilisation for c in s.checks if c.utilisation is not None) for s in (one, two)
    ]
    assert hardest[0] == pytest.approx(hardest[1], rel=1e-4)
