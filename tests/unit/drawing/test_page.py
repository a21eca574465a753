"""The collector finds what is wrong with lettering: faults are planted and must be named."""

from __future__ import annotations

import pytest
from lettering_faults import outside_texts, overlapping_texts, small_texts, texts_on_signs

from girderply.drawing import style
from girderply.drawing.page import Drawing, boxes_overlap
from girderply.drawing.primitives import Dot, Line, Text, moved


def drawing(*shapes):
    d = Drawing("d", 100.0, 60.0)
    d.add(*shapes)
    return d


def test_two_texts_in_one_place_are_named():
    d = drawing(Text((30, 30), "BC1"), Text((33, 31), "300"), Text((80, 30), "W1"))
    assert overlapping_texts(d) == [("BC1", "300")]


def test_texts_side_by_side_are_fine():
    d = drawing(Text((30, 30), "BC1"), Text((40, 30), "300"), Text((30, 34), "W1"))
    assert overlapping_texts(d) == []


def test_slanting_text_overlaps_by_its_own_box_not_by_its_extent():
    slanting = Text((30, 30), "a long label up the slope", angle=45.0)
    clear, hit = Text((37, 37), "x"), Text((33, 27), "x")
    assert overlapping_texts(drawing(slanting, clear)) == []
    assert overlapping_texts(drawing(slanting, hit)) == [("a long label up the slope", "x")]


def test_text_over_the_edge_and_small_text_are_named():
    d = drawing(Text((98, 30), "9 600"), Text((50, 20), "tiny", 2.4), Text((50, 30), "ok", 2.5))
    assert outside_texts(d) == ["9 600"]
    assert small_texts(d) == ["tiny"]


def test_a_label_takes_the_first_free_place():
    d = drawing(Dot((30, 30), 1.5))
    obstacles = d.obstacles()
    spots = [Text((30, 30), "TC1"), Text((99, 30), "TC1"), Text((30, 36), "TC1")]
    assert d.label(spots, obstacles)
    assert [t.at for t in d.texts()] == [(30, 36)]
    assert not d.label([Text((31, 36.5), "W1")], obstacles)
    assert [t.text for t in d.texts()] == ["TC1"]


def test_lettering_on_a_fastener_is_named():
    d = drawing(Dot((30, 30), 1.5, tag="nail:BC1-N7"), Dot((60, 30), 1.5), Text((31, 30.5), "J1"))
    d.add(Text((60, 30), "on a plain dot"), Text((30, 36), "clear of it"))
    assert texts_on_signs(d) == [("J1", "nail:BC1-N7")]


def test_touching_boxes_do_not_overlap():
    a = ((0, 0), (4, 0), (4, 2), (0, 2))
    b = ((4, 0), (8, 0), (8, 2), (4, 2))
    c = ((3.9, 1), (8, 1), (8, 3), (3.9, 3))
    assert not boxes_overlap(a, b)
    assert boxes_overlap(a, c)


def test_moved_shapes_keep_their_sizes():
    line = moved(Line((1, 2), (3, 5), style.HEAVY), 10.0, 20.0)
    assert (line.a, line.b, line.pen) == ((11, 22), (13, 25), style.HEAVY)


@pytest.mark.parametrize("pen", style.PENS, ids=lambda p: p.name)
def test_every_pen_has_a_width_of_the_series_and_is_grey(pen):
    assert pen.width in style.LINE_WIDTHS
    red, green, blue = (pen.colour[i : i + 2] for i in (1, 3, 5))
    assert red == green == blue
