"""The SVG writer: true millimetres, text as text, a missing name is an error."""

from __future__ import annotations

from xml.etree import ElementTree

import jinja2
import pytest

from girderply.drawing import style
from girderply.drawing.lettering import CAP_HEIGHT
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Circle, Cross, Dot, Line, Polygon, Polyline, Text
from girderply.drawing.svg import _template, mm, write_svg

NS = {"s": "http://www.w3.org/2000/svg"}
HOSTILE = "</text><script>alert(1)</script> & \"quoted\" 'single' #panic() $x$ \\u{41} <b>"


def parsed(*shapes):
    d = Drawing("d", 123.45, 60.0)
    d.add(*shapes)
    return ElementTree.fromstring(write_svg(d))


def test_width_height_and_view_box_are_the_same_millimetres():
    root = parsed()
    assert (root.get("width"), root.get("height")) == ("123.45mm", "60mm")
    assert root.get("viewBox") == "0 0 123.45 60"


def test_hostile_text_comes_back_letter_for_letter_and_adds_no_element():
    root = parsed(Text((10, 10), HOSTILE))
    texts = root.findall(".//s:text", NS)
    assert [t.text for t in texts] == [HOSTILE]
    assert not root.findall(".//s:script", NS)
    assert len(texts[0]) == 0


def test_lettering_has_its_capital_height():
    size = float(parsed(Text((10, 10), "H", 3.5)).find(".//s:text", NS).get("font-size"))
    assert 3.5 <= size * CAP_HEIGHT < 3.52


def test_upright_text_is_turned_about_its_own_point():
    text = parsed(Text((10, 20), "1250", angle=90.0, level="base")).find(".//s:text", NS)
    assert text.get("transform") == "rotate(-90 10 20)"


def test_a_dot_has_its_diameter_over_its_line():
    circle = parsed(Dot((5, 6), 1.5, style.NAIL, filled=False)).find(".//s:circle", NS)
    assert 2 * float(circle.get("r")) + float(circle.get("stroke-width")) == pytest.approx(
        1.5, abs=0.02
    )
    assert circle.get("fill") == "#ffffff"


def test_shapes_come_in_order_with_their_lines():
    root = parsed(
        Line((0, 0), (1.005, 2), style.HEAVY),
        Polygon(((0, 0), (4, 0), (4, 3)), None, 0.0),
        Polyline(((0, 0), (4, 0)), style.HIDDEN),
        Cross((5, 5), 4.0, style.BOLT),
        Circle((1, 1), 2.0),
    )
    paths = root.findall(".//s:path", NS)
    assert [p.get("d") for p in paths] == [
        "M0 0L1 2", "M0 0L4 0L4 3Z", "M0 0L4 0", "M3 5H7M5 3V7",
    ]  # fmt: skip
    assert [p.get("stroke-width") for p in paths] == ["0.7", None, "0.25", "0.7"]
    assert paths[2].get("stroke-dasharray") == "2 1"
    assert root.find(".//s:circle", NS).get("r") == "2"


def test_hollow_letters_hide_nothing():
    text = parsed(Text((10, 10), "STAMP", 24.0, grey=0.4, hollow=True)).find(".//s:text", NS)
    assert (text.get("fill"), text.get("stroke")) == ("none", "#666666")


def test_mask_is_a_white_box_behind_the_text():
    root = parsed(Text((10, 10), "J1", mask=True))
    assert [p.get("fill") for p in root.findall(".//s:path", NS)] == ["#ffffff"]


def test_a_missing_name_is_an_error():
    with pytest.raises(jinja2.UndefinedError, match="width"):
        _template("drawing.svg").render(title="x", items=[], texts=[], height="1")


@pytest.mark.parametrize(
    ("value", "text"), [(1.0, "1"), (0.125, "0.12"), (-0.001, "0"), (10.0, "10"), (2.5, "2.5")]
)
def test_millimetres_are_short(value, text):
    assert mm(value) == text
