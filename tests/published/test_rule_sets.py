"""Built-in rule sets against the published rules they are named after, typed here again."""

from __future__ import annotations

import math

import pytest

from girderply.catalogue import bolt, nail
from girderply.rules import load_rule_set

COMMON = load_rule_set("common-practice")
FRENCH = load_rule_set("french-36mm")
NDS = load_rule_set("north-american-built-up")
NDS_T = 38.1  # 1.5 in, exactly


def assembly(rules, plies):
    return next(r for r in rules.ply_rules if r.plies == plies)


def test_common_practice():
    """Chords zigzag at 150, webs one row at 300, M12 in 12 to 13 mm: common practice, no source."""
    assert COMMON.source == "common practice, no source"
    shallow, deep = COMMON.chord
    assert (shallow.rows, shallow.pitch, shallow.depth_up_to) == (1, 150.0, 90.0)
    assert (deep.rows, deep.pitch / 2, deep.stagger) == (2, 150.0, True)
    assert [(r.rows, r.pitch) for r in COMMON.web] == [(1, 300.0)]
    assert COMMON.thickness == (35.0, 45.0)
    assert COMMON.bolts is not None
    assert (COMMON.bolts.bolt, COMMON.bolts.washer) == ("M12", "DIN 436 M12")
    assert 12.0 < COMMON.bolts.hole <= 13.0
    assert all(r.joint_bolts for r in COMMON.ply_rules)


@pytest.mark.parametrize("thickness", [35.0, 38.0, 45.0])
def test_common_practice_nail_comes_out_of_two_plies_far_enough_to_clench(thickness):
    """100 x 4.0 nails, points clenched: common practice, no source."""
    found = nail(assembly(COMMON, 2).nail)
    assert (found.d, found.length) == (4.0, 100.0)
    least, most = COMMON.clench_protrusion
    assert least <= found.length - 2 * thickness <= most
    assert found.length - 3 * thickness < 0  # third ply: the point stays inside


@pytest.mark.parametrize(
    ("plies", "length", "d"),
    [(2, 70.0, 2.5), (3, 100.0, 3.1), (4, 70.0, 2.5)],
)
def test_french_nails(plies, length, d):
    """NF DTU 31.3 P1-1 (2012), annex A.1 to A.3: not smooth, this length, at least this thick."""
    found = nail(assembly(FRENCH, plies).nail)
    assert (found.surface, found.length) == ("other", length)
    assert found.d >= d
    assert FRENCH.thickness == (36.0, 36.0)
    assert FRENCH.plies == (2, 4)


def test_french_pattern():
    """NF DTU 31.3 P1-1 (2012), annex A: staggered, one nail in 30 cm on every member."""
    for rows in (FRENCH.chord, FRENCH.web):
        assert all(r.stagger and r.depth_up_to == math.inf for r in rows)
        assert all(r.pitch / r.rows == 300.0 for r in rows)


def test_french_order_and_bolts():
    """Annex A.2: alternate faces; A.3: two centre plies, then one per face; bolts for four only."""
    assert [s.drive for s in assembly(FRENCH, 3).stages] == ["alternate"]
    four = assembly(FRENCH, 4)
    assert [set(s.add) for s in four.stages] == [{2, 3}, {1}, {4}]
    assert [(s.drive, s.fastens) for s in four.stages[1:]] == [("front", (1,)), ("back", (3,))]
    assert [r.joint_bolts for r in FRENCH.ply_rules] == [False, False, True]
    assert FRENCH.bolts is not None
    assert FRENCH.bolts.mid_compression


def test_nds_nail_limits():
    """NDS 2018, 15.3.3.1 (b) to (g): read, second-hand (public engineering notes, 2013)."""
    limits = NDS.limits
    assert limits.point_share_of_last_ply == 0.75
    assert (limits.end_min_d, limits.end_max_d) == (15, 18)
    assert (limits.spacing_min_d, limits.spacing_max_thickness) == (20, 6)
    assert (limits.gauge_min_d, limits.gauge_max_d) == (10, 20)
    assert (limits.edge_min_d, limits.edge_max_d) == (5, 20)
    assert limits.two_rows_above_depth_per_thickness == 3


@pytest.mark.parametrize("plies", [2, 3])
def test_nds_nails_can_keep_every_limit(plies):
    """NDS 2018, 15.3.3.1: the chosen nails, worked from their sizes."""
    rule = assembly(NDS, plies)
    found = nail(rule.nail)
    through = found.length - (plies - 1) * NDS_T
    assert 0.75 * NDS_T <= through <= NDS_T + 1e-6  # (b), and no point comes out
    assert 20 * found.d <= 6 * NDS_T  # (d) leaves room
    assert [s.drive for s in rule.stages] == ["alternate"]  # (a)
    for row in (*NDS.chord, *NDS.web):
        assert 20 * found.d <= row.pitch <= 6 * NDS_T
        if row.depth_up_to > 3 * NDS_T:
            assert row.rows >= 2  # (g)
    d = found.d / 25.4
    for depth in (5.5, 7.25, 9.25, 11.25):  # actual depths of nominal 2x6 to 2x12, in
        # n rows of gauge g leave (depth - (n - 1) g) / 2 to the edges: 5 D to 20 D by (f)
        fits = [
            n
            for n in range(2, 6)
            if max(10 * d, (depth - 40 * d) / (n - 1)) <= min(20 * d, (depth - 10 * d) / (n - 1))
        ]
        assert fits, f"no number of rows keeps (e) and (f) in {depth} in"


def test_nds_nails_by_name():
    """10d common is 3 x 0.148 in (IBC 2018 table 2304.10.1); 30d 4.5 x 0.207: value from memory."""
    two, three = nail(assembly(NDS, 2).nail), nail(assembly(NDS, 3).nail)
    assert (two.length / 25.4, two.d / 25.4) == pytest.approx((3.0, 0.148))
    assert (three.length / 25.4, three.d / 25.4) == pytest.approx((4.5, 0.207))


def test_nds_bolts():
    """NDS 2018, 15.3.4.1, softwood: value from memory. More than three plies: bolts.

    The last is association guidance that was read (one notes up to three plies nailed, more
    predrilled and bolted).
    """
    rule = NDS.bolts
    assert rule is not None
    assert (rule.end_min_d, rule.end_max_d) == (7, 8.4)
    assert (rule.spacing_min_d, rule.spacing_max_thickness) == (4, 6)
    assert (rule.gauge_min_d, rule.gauge_max_d) == (1.5, 10)
    assert (rule.edge_min_d, rule.edge_max_d) == (1.5, 10)
    d = bolt(rule.bolt).d
    for r in NDS.ply_rules:
        assert r.joint_bolts == (r.plies > 3)
        if r.plies > 3:
            assert r.through_bolt_rows >= 2
            assert 4 * d <= r.through_bolt_pitch <= 6 * NDS_T
    assert NDS.plies == (2, 5)  # 15.3.1: two to five laminations, each at least 1.5 in
    assert NDS.thickness[0] >= NDS_T - 1e-9
    assert NDS.imperial
