"""Girders by trade names: positions worked by hand (trigonometry in the docstrings)."""

import math

import numpy as np
import pytest
from shape_jobs import shape_job
from shapely.geometry import Polygon

from girderply.model.build_girder import build_girder
from girderply.model.girder import Girder
from girderply.shapes.shape_spec import ShapeSpec

EXACT = 1e-5  # mm; outlines are rounded to 1e-6
RAD = math.radians


def built(shape: ShapeSpec, **more: object) -> Girder:
    return build_girder(shape_job(shape, **more))[0]


def joint(girder: Girder, x: float, top: bool) -> tuple[float, float]:
    """The joint nearest to x on one chord."""
    chord = "TC" if top else "BC"
    found = [j for j in girder.joints if any(m.startswith(chord) for m in j.members)]
    best = min(found, key=lambda j: abs(j.x - x))
    return best.x, best.y


def ends(girder: Girder, member: str) -> list[tuple[float, float]]:
    at = {j.id: (round(j.x), round(j.y)) for j in girder.joints}
    return sorted(at[k] for k in girder.member(member).joints)  # left to right, bottom to top


HOWE = ShapeSpec("howe", 9600.0, RAD(22.5), panels=6, overhang=500.0)


def test_howe_apex_by_trigonometry() -> None:
    """Top edge at x = 0: butt 6 + 145 / cos 22.5 = 162.947; apex + 4800 tan 22.5 = 1988.225.

    Sum 2151.172 above the underside of the bottom chord. Foot of the overhang, underside:
    6 - 500 tan 22.5 = -201.107. Butt of 6 mm: common practice, no source.
    """
    girder = built(HOWE)
    ys = np.concatenate([m.outline[:, 1] for m in girder.members])
    assert ys.max() == pytest.approx(2151.172, abs=5e-4)
    assert ys.min() == pytest.approx(-201.107, abs=5e-4)
    assert girder.length == pytest.approx(9600 + 2 * 500, abs=EXACT)


def test_howe_panel_points() -> None:
    """Sixths of 9600 are 1600; centreline of the top chord at 1600: 6 + 72.5 / cos + 662.742.

    cos 22.5 = 0.9238795, so 72.5 / cos = 78.4734 and y = 747.215; bottom chord: 170 / 2 = 85.
    """
    girder = built(HOWE)
    for i in range(1, 6):
        assert joint(girder, 1600.0 * i, False) == pytest.approx((1600.0 * i, 85.0), abs=EXACT)
    assert joint(girder, 1600.0, True) == pytest.approx((1600.0, 747.215), abs=5e-4)
    assert joint(girder, 8000.0, True) == pytest.approx((8000.0, 747.215), abs=5e-4)
    assert joint(girder, 4800.0, True) == pytest.approx((4800.0, 2072.6985), abs=5e-4)


def test_howe_heel_joint_stays_on_the_timber() -> None:
    """Centrelines meet at (85 - 84.473) / tan 22.5 = 1.271 mm with a 170 deep bottom chord.

    With 145 they meet at (72.5 - 84.473) / tan 22.5 = -28.9, outside: the joint is then at x = 0.
    """
    assert joint(built(HOWE), 0.0, False) == pytest.approx((1.2713, 85.0), abs=1e-3)
    shallow = built(HOWE, depths=(145.0, 145.0, 95.0))
    assert joint(shallow, 0.0, False) == pytest.approx((0.0, 72.5), abs=EXACT)


def test_howe_heel_is_bevelled_under_the_top_chord() -> None:
    """Bottom chord: 6 mm butt at x = 0, bevel up to (170 - 6) / tan 22.5 = 395.931 at y = 170."""
    outline = built(HOWE).member("BC1").outline.tolist()
    assert outline[0] == pytest.approx([0.0, 0.0], abs=EXACT)
    assert outline[2] == pytest.approx([9600.0, 6.0], abs=EXACT)
    assert outline[4] == pytest.approx([395.931, 170.0], abs=5e-4)
    assert outline[5] == pytest.approx([0.0, 6.0], abs=EXACT)
    assert len(outline) == 6


def test_pitched_howe_diagonals_rise_outwards_and_pratt_inwards() -> None:
    """Howe: inner foot to outer rafter point; pratt the other way; left half, third panel."""
    foot, head = ends(built(HOWE), "W4")[::-1]
    assert (foot[0], head[0]) == (4800, 3200)
    pratt = built(ShapeSpec("pratt", 9600.0, RAD(22.5), panels=6))
    foot, head = ends(pratt, "W4")
    assert (foot[0], head[0]) == (3200, 4800)


def test_compression_of_howe_and_pratt() -> None:
    """Pitched: howe struts are the diagonals, pratt struts the verticals (truss theory).

    Under the apex the post only carries what hangs at its foot: tension in both.
    """
    howe, pratt = built(HOWE), built(ShapeSpec("pratt", 9600.0, RAD(22.5), panels=6))
    signs = [m.compression for m in howe.members]
    assert signs == [True, True, False, False, True, False, True, False, True, False, True, False]
    signs = [m.compression for m in pratt.members]
    assert signs == [True, True, False, True, False, True, False, False, False, True, False, True]


def test_ids_run_left_to_right() -> None:
    girder = built(HOWE)
    assert [m.id for m in girder.members] == ["TC1", "TC2", "BC1", *(f"W{i}" for i in range(1, 10))]
    middles = [(m.hook[0] + m.far[0]) / 2 for m in girder.members[3:]]
    assert middles == sorted(middles)
    xs = [j.x for j in girder.joints]
    assert [j.id for j in girder.joints] == [f"J{i}" for i in range(1, 13)]
    assert xs[:7] == sorted(xs[:7])
    assert xs[7:] == sorted(xs[7:])


def test_hook_and_far_are_the_extremes_of_the_outline() -> None:
    """BC1 from x = 0 to 9600 at y = 85; W1 from the bottom chord's edge y = 170 upwards.

    W1 is 95 wide under a 22.5 degree rafter: its long edge at x = 1647.5 reaches
    6 + 1647.5 tan 22.5 = 688.418.
    """
    girder = built(HOWE)
    chord, web = girder.member("BC1"), girder.member("W1")
    assert chord.hook == pytest.approx((0.0, 85.0), abs=EXACT)
    assert chord.far == pytest.approx((9600.0, 85.0), abs=EXACT)
    assert web.hook == pytest.approx((1600.0, 170.0), abs=EXACT)
    assert web.far[0] == pytest.approx(1600.0, abs=EXACT)
    assert web.far[1] < 688.418 + 5e-4
    assert web.far[1] > 6 + 1600 * math.tan(RAD(22.5))


def test_hook_end_right_reverses_stations_and_joints() -> None:
    left = built(HOWE).member("BC1")
    right = built(HOWE, hook_ends={"BC1": "right", "W1": "right"}).member("BC1")
    spot = np.array([[1234.0, 100.0]])
    assert right.to_local(spot)[0, 0] == pytest.approx(9600 - left.to_local(spot)[0, 0])
    assert right.to_local(spot)[0, 1] == pytest.approx(-left.to_local(spot)[0, 1])
    assert right.joints == left.joints[::-1]


def test_height_gives_the_pitch() -> None:
    """2151.172 mm high over 9600 with a 145 top chord and a 6 mm butt is 22.5 degrees again."""
    girder = built(ShapeSpec("howe", 9600.0, height=2151.172, panels=6))
    assert girder.member("TC1").angle == pytest.approx(RAD(22.5), abs=1e-6)


def test_raised_heel_has_a_post_and_a_square_bottom_chord() -> None:
    """Heel 500: underside of the top chord at x = 0 is 500 - 145 / cos 15 = 349.885."""
    girder = built(ShapeSpec("howe", 9600.0, RAD(15), heel_height=500.0, panels=6))
    assert Polygon(girder.member("BC1").outline).area == pytest.approx(9600 * 170, abs=0.1)
    post = girder.member("W1").outline
    at_face = post[np.abs(post[:, 0]) < EXACT]
    assert sorted(at_face[:, 1]) == pytest.approx([170.0, 349.885], abs=5e-4)
    top = girder.member("TC1").outline
    assert top[0] == pytest.approx([0.0, 349.885], abs=5e-4)


def test_fink_thirds_and_quarters() -> None:
    """Feet at thirds of 8100, heads at its quarters and the apex: a W."""
    girder = built(ShapeSpec("fink", 8100.0, RAD(30)))
    feet_heads = [sorted(ends(girder, f"W{i}"), key=lambda p: p[1]) for i in range(1, 5)]
    assert [(a[0], b[0]) for a, b in feet_heads] == [
        (2700, 2025),
        (2700, 4050),
        (5400, 4050),
        (5400, 6075),
    ]
    assert [girder.member(f"W{i}").compression for i in range(1, 5)] == [True, False, False, True]


def test_king_post_has_one_web_and_with_four_panels_struts() -> None:
    assert [m.id for m in built(ShapeSpec("king post", 5000.0, RAD(35))).members] == [
        "TC1",
        "TC2",
        "BC1",
        "W1",
    ]
    four = built(ShapeSpec("king post", 5000.0, RAD(35), panels=4))
    assert [[p[0] for p in ends(four, w)] for w in ("W1", "W2", "W3")] == [
        [1250, 2500],
        [2500, 2500],
        [2500, 3750],
    ]


def test_queen_post_straining_beam_is_level_between_the_heads() -> None:
    """Thirds of 6300 are 2100; the beam's length between the undersides of the rafters.

    Its top edge is 47.5 above the rafters' centreline at 2100: it starts where the underside
    (72.5 / cos 35 = 88.506 below) is as high, (47.5 + 88.506) / tan 35 = 194.2369 further in.
    """
    girder = built(ShapeSpec("queen post", 6300.0, RAD(35)))
    beam = girder.member("W2")
    assert beam.angle == pytest.approx(0.0, abs=1e-9)
    assert [p[0] for p in ends(girder, "W2")] == [2100, 4200]
    top = beam.outline[beam.outline[:, 1] > beam.hook[1] + 47.4]
    assert sorted(top[:, 0]) == pytest.approx([2294.2369, 4005.7631], abs=5e-4)
    assert beam.compression is True


def test_parallel_chord_directions_and_end_posts() -> None:
    """Level chords: howe struts rise to midspan, pratt ties fall to it; posts flush at the ends.

    Panels of (8000 - 95) / 8 = 988.125 between the centrelines of the end posts.
    """
    spec = {"height": 1000.0, "panels": 8}
    howe = built(ShapeSpec("parallel chord", 8000.0, web_pattern="howe", **spec))
    pratt = built(ShapeSpec("parallel chord", 8000.0, web_pattern="pratt", **spec))
    assert joint(howe, 1035.0, False) == pytest.approx((47.5 + 988.125, 85.0), abs=EXACT)
    (x0, y0), (x1, y1) = ends(howe, "W2")
    assert x1 > x0
    assert y1 > y0
    (x0, y0), (x1, y1) = ends(pratt, "W2")
    assert x1 > x0
    assert y1 < y0
    assert (howe.member("W2").compression, howe.member("W3").compression) == (True, False)
    assert (pratt.member("W2").compression, pratt.member("W3").compression) == (False, True)
    assert howe.member("W1").outline[:, 0].min() == pytest.approx(0.0, abs=EXACT)
    assert howe.member("W1").length == pytest.approx(1000 - 145 - 170, abs=EXACT)
    assert howe.height == pytest.approx(1000.0, abs=EXACT)


def test_warren_has_no_verticals_but_its_end_posts() -> None:
    girder = built(ShapeSpec("warren", 8000.0, height=1000.0, panels=5))
    webs = [m for m in girder.members if m.id.startswith("W")]
    upright = [m.id for m in webs if abs(m.hook[0] - m.far[0]) < 1.0]
    assert upright == ["W1", "W12"]
    assert len(webs) == 2 + 2 * 5


def test_mono_high_end() -> None:
    """Single slope of 20 degrees over 5000: 6 + 145 / cos 20 + 5000 tan 20 = 1980.157."""
    girder = built(ShapeSpec("mono", 5000.0, RAD(20), panels=4, overhang=400.0))
    ys = np.concatenate([m.outline[:, 1] for m in girder.members])
    assert ys.max() == pytest.approx(1980.157, abs=5e-4)
    xs = np.concatenate([m.outline[:, 0] for m in girder.members])
    assert (xs.min(), xs.max()) == pytest.approx((-400.0, 5000.0), abs=EXACT)
    post = girder.member("W7")
    assert post.outline[:, 0].max() == pytest.approx(5000.0, abs=EXACT)
    assert [p[0] for p in ends(girder, "W2")] == [1250, 2500]  # howe: outer head, inner foot


def test_truncated_knee() -> None:
    """Flat centreline 1500 - 72.5 = 1427.5; slope 6 + 72.5 / cos 25 + x tan 25: x = 2876.887."""
    girder = built(ShapeSpec("truncated", 10000.0, RAD(25), flat_height=1500.0, panels=8))
    assert [m.id for m in girder.members[:3]] == ["TC1", "TC2", "TC3"]
    assert girder.height == pytest.approx(1500.0, abs=EXACT)
    x = (1427.5 - 6 - 72.5 / math.cos(RAD(25))) / math.tan(RAD(25))
    assert joint(girder, 2900.0, True) == pytest.approx((x, 1427.5), abs=EXACT)
    knee = girder.member("TC2").outline
    # mitred on the bisector: the cut leans by half the pitch, 72.5 tan 12.5 = 16.073 at each edge
    assert sorted(knee[knee[:, 0] < 5000][:, 0] - x) == pytest.approx([-16.073, 16.073], abs=5e-4)


@pytest.mark.parametrize("pattern", ["howe", "pratt", "warren"])
def test_mirror_image_of_symmetric_shapes(pattern: str) -> None:
    """A truncated girder with 8 (warren 7) panels is its own mirror image."""
    panels = 7 if pattern == "warren" else 8
    girder = built(
        ShapeSpec(
            "truncated", 11000.0, RAD(25), flat_height=1600.0, panels=panels, web_pattern=pattern
        )
    )
    ply = [Polygon(m.outline) for m in girder.members]
    turned = [Polygon(m.outline * [-1, 1] + [11000, 0]) for m in girder.members]
    for shape in ply:
        assert max(shape.intersection(t).area / shape.area for t in turned) > 1 - 1e-6


def test_imperial_butt_and_module() -> None:
    """1/4 in butt cut and plates in steps of 1/4 in (common practice, no source)."""
    shape = ShapeSpec("howe", 9144.0, RAD(26.565), panels=4)
    girder = built(shape, depths=(139.7, 184.15, 88.9), units="imperial")
    assert girder.member("BC1").outline[-1].tolist() == pytest.approx([0.0, 6.35], abs=EXACT)
    for p in girder.plates:
        for side in (
            np.hypot(*(p.outline[1] - p.outline[0])),
            np.hypot(*(p.outline[2] - p.outline[1])),
        ):
            assert side / 6.35 == pytest.approx(round(side / 6.35), abs=1e-4)
