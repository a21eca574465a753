"""What the rule sets place, measured again from the coordinates of whole girders.

Each test types its figures from its source and knows nothing of the layout's own numbers.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import shapely.ops
from jobs_in_text import Ask, job_text
from shapely import LineString, Polygon

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule

IN = 25.4


def build(**wants):
    return build_schedule(parse_job(job_text(Ask(**wants))))


def on_member(schedule, member_id, kind="nail"):
    f = schedule.fasteners
    return f.select((f.member == member_id) & (f.kind == kind))


def told_gap(schedule, member_id):
    codes = ("gap-over-keep-out", "rule-gap", "too-few-nails")
    return any(x.where == member_id and x.code in codes for x in schedule.findings)


NDS = {
    "rules": "north-american-built-up",
    "standard": "NDS 2018",
    "timber": "Douglas Fir-Larch",
    "imperial": True,
    "thickness": 1.5 * IN,
    "top": 7.25 * IN,
    "bottom": 9.25 * IN,
    "web": 3.5 * IN,
    "span": 30 * 12 * IN,
    "pitch": 26.565,
}


@pytest.mark.parametrize(("plies", "D", "length"), [(2, 0.148, 3.0), (3, 0.207, 4.5)])
@pytest.mark.parametrize("kind", ["howe", "fink"])
def test_nailed_built_up_members(plies, D, length, kind):
    """NDS 2018, 15.3.3.1 (a) to (g), read second-hand (woodengineering.blogspot.com, 2013/02).

    (a) adjacent nails from opposite sides; (b) through all laminations and 3/4 of the last;
    (c) 15 D to 18 D from the end, (d) 20 D to 6 t in a row, (e) 10 D to 20 D between rows,
    (f) 5 D to 20 D from the edge, (g) two rows or more where d > 3 t. The upper limits of (c) and
    (d) cannot hold over a nail plate: there, and only there, the girder's own finding must say so.
    """
    t = 1.5
    panels = 6 if kind == "howe" else None
    schedule = build(plies=plies, kind=kind, panels=panels, **NDS)
    assert length >= (plies - 1) * t + 0.75 * t
    assert set(schedule.nails) == {"10d common" if plies == 2 else "30d common"}
    for member in schedule.girder.members:
        nails = on_member(schedule, member.id)
        depth = member.depth / IN
        station, offset = nails.station / IN, nails.offset / IN
        lines = np.unique(np.round(offset, 6))
        rows = np.unique(nails.row)
        assert (np.abs(offset) + 5 * D <= depth / 2 + 1e-6).all()
        assert depth / 2 - lines.max() <= 20 * D + 1e-6
        if len(rows) > 1:
            gauges = np.diff(lines)
            assert (gauges >= 10 * D - 1e-6).all()
            assert (gauges <= 20 * D + 1e-6).all()
        assert len(rows) >= (2 if depth > 3 * t else 1)
        for row in rows:
            s = station[nails.row == row]
            face = nails.face[nails.row == row]
            order = np.argsort(s)
            gaps = np.diff(s[order])
            assert (gaps >= 20 * D - 1e-6).all(), member.id
            if (gaps > 6 * t + 1e-6).any():
                assert told_gap(schedule, member.id)
            # over a plate the next nail may be on the same side: nothing is adjacent there
            adjacent = gaps <= 6 * t + 1e-6
            assert (face[order][1:] != face[order][:-1])[adjacent].all(), member.id
        low, high = station.min(), member.length / IN - station.max()
        if max(low, high) > 18 * D + 1e-6:
            assert told_gap(schedule, member.id)


def test_end_distance_of_built_up_members_along_the_grain():
    """NDS 2018, 15.3.3.1(c): 15 D at least, on every row line to the real cut end."""
    schedule = build(plies=2, kind="howe", **NDS)
    for member in schedule.girder.members:
        nails = on_member(schedule, member.id)
        outline = Polygon(member.to_local(member.outline))
        for s, v in zip(nails.station, nails.offset, strict=True):
            line = LineString([(-500, v), (member.length + 500, v)]).intersection(outline)
            low, _, high, _ = shapely.bounds(line)
            assert min(s - low, high - s) >= 15 * 0.148 * IN - 1e-6


@pytest.mark.parametrize("plies", [4, 5])
def test_bolted_built_up_members(plies):
    """NDS 2018, 15.3.4.1 (d) to (g), value from memory: 4 D to 6 t in a row, 1.5 D to 10 D from
    the edge and between rows, two rows where d > 3 t; no nails (association guidance)."""
    D, t = 0.5, 1.5
    schedule = build(plies=plies, kind="howe", **NDS)
    assert not np.any(schedule.fasteners.kind == "nail")
    for member in schedule.girder.members:
        bolts = on_member(schedule, member.id, "bolt")
        depth = member.depth / IN
        assert len(bolts), member.id
        assert (np.abs(bolts.offset) / IN + 1.5 * D <= depth / 2 + 1e-6).all()
        lines = np.unique(np.round(bolts.offset[bolts.joint == ""] / IN, 6))
        if depth > 3 * t:
            assert len(lines) == 2
            assert 1.5 * D <= np.diff(lines)[0] <= 10 * D
            assert depth / 2 - lines.max() <= 10 * D + 1e-6
        for v in lines:
            s = np.sort(bolts.station[np.isclose(bolts.offset / IN, v)] / IN)
            assert (np.diff(s) >= 4 * D - 1e-6).all()


@pytest.mark.parametrize(
    ("plies", "nail", "through"),
    [
        (2, "2.5 x 70 ring", [(1, 2)]),
        (3, "3.1 x 100 ring", [(1, 3), (3, 1)]),
        (4, "2.5 x 70 ring", None),
    ],
)
def test_french_annex(plies, nail, through):
    """NF DTU 31.3 P1-1 (2012), annex A (informative), read: a nail per 30 cm run on every member.

    2 plies 70 mm nails, 3 plies 100 mm from alternate faces, 4 plies centre pair first, then one
    outer ply per face, with one bolt near every node.
    """
    schedule = build(plies=plies, thickness=36.0, rules="french-36mm")
    assert set(schedule.nails) == {nail}
    for member in schedule.girder.members:
        nails = on_member(schedule, member.id)
        for k in range(1, plies):
            at = np.sort(nails.station[nails.crosses(k)])
            runs = np.diff(np.concatenate([[0.0], at, [member.length]]))
            assert runs.max() <= 300.0 + 1e-6 or told_gap(schedule, member.id)
    if through:
        f = schedule.fasteners
        ways = set(
            zip(
                f.from_ply[f.kind == "nail"].tolist(),
                f.to_ply[f.kind == "nail"].tolist(),
                strict=False,
            )
        )
        assert ways == set(through)
    bolts = schedule.fasteners.select(schedule.fasteners.kind == "bolt")
    nodes = {j.id for j in schedule.girder.joints}
    missing = {x.where for x in schedule.findings if x.code == "no-room-for-joint-bolt"}
    assert set(bolts.joint[bolts.joint != ""].tolist()) | missing == (
        nodes if plies == 4 else set()
    )


def free_length(schedule, member, rows):
    """Mean length of the row lines that is 20 mm clear of edges, 60 of ends (EN 1995-1-1, Table
    8.2, 4.0 mm nails, from memory) and 10 of plates and washers; measured with shapely."""
    wood = Polygon(member.outline)
    inner = wood.buffer(-20.0, join_style="mitre")
    f = schedule.fasteners
    bolts = f.select((f.member == member.id) & (f.kind == "bolt"))
    plates = [Polygon(p.outline).buffer(10.0, join_style="mitre") for p in schedule.girder.plates]
    for s, v in zip(bolts.station, bolts.offset, strict=True):
        seat = [[s + a * 30.0, v + b * 30.0] for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        plates.append(Polygon(member.to_elevation(np.array(seat))))
    inner = inner.difference(shapely.union_all(plates))
    total = 0.0
    for i in range(rows):
        v = (i - (rows - 1) / 2) * member.depth / 3
        ends = member.to_elevation(np.array([[-500.0, v], [member.length + 500.0, v]]))
        line = LineString(ends)
        a, b = (line.project(shapely.Point(p)) for p in line.intersection(wood).coords)
        short = shapely.ops.substring(line, min(a, b) + 60.0, max(a, b) - 60.0)
        total += short.intersection(inner).length
    return total / rows


def test_common_practice():
    """Common practice, no source: zigzag at 150 on chords, webs at 300 on the centreline, an M12
    in a 13 mm hole beside every joint, 40 x 40 x 4 washers, 4.0 x 100 nails, points clenched."""
    schedule = build()
    f = schedule.fasteners
    for member in schedule.girder.members:
        nails = on_member(schedule, member.id)
        if member.role.is_chord:
            assert len(np.unique(nails.offset)) == 2
            assert len(nails) >= np.ceil(free_length(schedule, member, 2) / 150.0)
        else:
            assert set(nails.offset.tolist()) == {0.0}
            assert len(nails) >= np.ceil(free_length(schedule, member, 1) / 300.0)
    bolts = f.select(f.kind == "bolt")
    assert sorted(bolts.joint.tolist()) == sorted(j.id for j in schedule.girder.joints)
    assert set(bolts.drilled.tolist()) == {13.0}
    assert set(bolts.offset.tolist()) == {0.0}
    washer = next(iter(schedule.bolts.values())).washer
    assert (washer.outer, washer.thickness, washer.shape) == (40.0, 4.0, "square")
    nails = f.select(f.kind == "nail")
    assert set(nails.spec.tolist()) == {"4.0 x 100"}
    assert nails.clench.all()
    assert set(nails.protrusion.tolist()) == {24.0}  # 100 - 2 x 38
