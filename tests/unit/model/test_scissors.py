"""Scissors: webs from the inner apex lie low over one chord, beyond the line of the other."""

from __future__ import annotations

from itertools import product

import pytest
from shapely import Point, Polygon

from girderply.jobfile.reader import parse_job
from girderply.model.build_girder import build_girder

SPAN, CHORD = 7200.0, 195.0


def scissors(inner: float, apex: float, web: float, webs: dict[str, tuple[str, str]]) -> str:
    """Two top and two bottom chords that cross at the middle, and webs between their nodes."""
    nodes = {
        "H1": (0.0, 0.0), "H2": (SPAN, 0.0), "P": (SPAN / 2, apex), "I": (SPAN / 2, inner),
        "A": (SPAN / 4, inner / 2), "T1": (SPAN / 4, apex / 2), "T2": (SPAN * 3 / 4, apex / 2),
    }  # fmt: skip
    members = {
        "TC1": ("top chord", ("H1", "T1", "P"), CHORD),
        "TC2": ("top chord", ("P", "T2", "H2"), CHORD),
        "BC1": ("bottom chord", ("H1", "A", "I"), CHORD),
        "BC2": ("bottom chord", ("I", "H2"), CHORD),
    } | {name: ("web", ends, web) for name, ends in webs.items()}
    text = '[job]\nnumber = "T"\ntitle = "T"\nrevision = "A"\n[girder]\nmark = "G"\nplies = 2\n'
    text += 'ply_thickness = "45 mm"\ntimber = "C24"\n'
    used = {n for _, ends, _ in members.values() for n in ends}
    for name, (x, y) in nodes.items():
        if name in used:
            text += f'[[girder.nodes]]\nid = "{name}"\nx = {x}\ny = {y}\n'
    for name, (role, ends, depth) in members.items():
        listed = ", ".join(f'"{n}"' for n in ends)
        text += f'[[girder.members]]\nid = "{name}"\nrole = "{role}"\ndepth = {depth}\n'
        text += f"nodes = [{listed}]\n"
    return text


@pytest.mark.parametrize(
    ("inner", "apex", "web"),
    list(product((300.0, 600.0, 900.0, 1200.0), (2400.0, 3000.0), (70.0, 145.0))),
)
def test_a_web_from_the_inner_apex_is_cut_by_the_timber_that_is_there(inner, apex, web):
    """It lies on the bottom chords without a bite or a gap, whichever side of their lines it is."""
    webs = {"W1": ("I", "T1"), "W2": ("I", "P"), "W3": ("I", "T2")}
    girder, _ = build_girder(parse_job(scissors(inner, apex, web, webs)))
    shapes = {m.id: Polygon(m.outline) for m in girder.members}
    chords = [s for name, s in shapes.items() if "C" in name]
    for name in webs:
        assert all(shapes[name].intersection(c).area < 1.0 for c in chords)
        assert min(shapes[name].distance(shapes[c]) for c in ("BC1", "BC2")) < 0.01
        assert min(shapes[name].distance(shapes[c]) for c in ("TC1", "TC2")) < 0.01
        assert shapes[name].area > 200.0 * web
    left, right = shapes["W1"], shapes["W3"]
    assert left.area == pytest.approx(right.area, rel=1e-6)  # the truss is its own mirror image
    mirror = Polygon([(SPAN - x, y) for x, y in right.exterior.coords])
    assert left.symmetric_difference(mirror).area < 1.0


def test_the_length_of_a_diagonal_by_hand():
    """Inner apex (3600, 900) to (1800, 1200): the centreline is 1 824.8 mm, less half of each chord
    along it at least, and it is one piece that holds its middle."""
    text = scissors(900.0, 2400.0, 95.0, {"W1": ("I", "T1")})
    girder, _ = build_girder(parse_job(text))
    outline = Polygon(girder.member("W1").outline)
    assert outline.contains(Point(2700.0, 1050.0))
    assert 1400.0 < girder.member("W1").length < 1824.8 + 95.0
