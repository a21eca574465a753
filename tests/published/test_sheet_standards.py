"""Sheets against the drawing standards: frame, title block, scales, lines, lettering, the bar.

The standards were not at hand; the figures are those widely reprinted in drawing-office
textbooks: value from memory, each with its standard beside it.
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import numpy as np
import pikepdf
import pytest
from lettering_faults import outside_texts, overlapping_texts
from made_girder import made_schedule

from girderply.drawing import style
from girderply.drawing.lettering import CAP_HEIGHT
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Cross, Line, Polygon, Text
from girderply.drawing.scales import SCALES, fitting_scale
from girderply.drawing.svg import write_svg
from girderply.drawing.symbols import Look, bolt_sign, nail_sign
from girderply.errors import RangeError
from girderply.papers import render_pdf
from girderply.papers.page.furniture import furniture
from girderply.papers.page.heading import heading_of
from girderply.papers.page.paper import PAPER, STRIP
from girderply.papers.page.typeset import pack_data
from girderply.papers.sheets import make_sheets
from girderply.wording import ENGLISH

MM = 25.4 / 72


@pytest.fixture(scope="module")
def schedule():
    return made_schedule(2)


@pytest.fixture(scope="module")
def pages(schedule):
    sheets = {s.size: s for s in make_sheets(schedule, ["elevation", "inspection"])}
    return {size: furniture(ENGLISH, heading_of(schedule), sheet) for size, sheet in sheets.items()}


def test_line_widths_are_of_the_series_in_root_two():
    """[ISO 128-2:2020, line widths 0.13 ... 0.18 0.25 0.35 0.5 0.7, ratio root 2]; from memory.

    Tolerance: the series is rounded to two digits, so a step is root 2 within 4 %.
    """
    assert style.LINE_WIDTHS == (0.18, 0.25, 0.35, 0.5, 0.7)
    for a, b in pairwise(style.LINE_WIDTHS):
        assert b / a == pytest.approx(math.sqrt(2), rel=0.04)


def test_lettering_heights_are_of_the_series():
    """[ISO 3098-1:2015, nominal sizes 1.8 2.5 3.5 5 7 10 14 20 mm]; from memory."""
    assert set(style.LETTERING) <= {1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0}
    assert min(style.LETTERING) == 2.5


def test_scales_are_recommended_reductions():
    """[ISO 5455:1979, table: 1:2 1:5 1:10, 1:20 1:50 1:100, 1:200 ...]; from memory."""
    recommended = {1} | {m * 10**k for m in (2, 5, 10) for k in range(4)}
    assert set(SCALES) <= recommended


@pytest.mark.parametrize(
    ("size", "room", "n"),
    [
        ((9600, 1900), (350, 200), 50),  # 192 x 38 fits, 1:20 would be 480 wide
        ((6800, 1900), (350, 200), 20),
        ((6800, 4100), (350, 200), 50),  # 205 high at 1:20
        ((120, 80), (350, 200), 1),
    ],
)
def test_the_largest_scale_that_fits(size, room, n):
    """By hand: divide and compare."""
    assert fitting_scale(*size, room) == n


def test_what_fits_at_no_scale_is_refused():
    with pytest.raises(RangeError, match="does not fit"):
        fitting_scale(1e6, 100.0, (350.0, 200.0))


def test_trimmed_sizes():
    """[ISO 216: A3 297 x 420, A4 210 x 297; ANSI letter 8.5 x 11 in, tabloid 11 x 17 in].

    Common knowledge.
    """
    assert PAPER["A3"] == (420.0, 297.0)
    assert PAPER["A4"] == (210.0, 297.0)
    assert PAPER["letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))
    assert PAPER["tabloid"] == pytest.approx((17 * 25.4, 11 * 25.4))


def test_frame_borders(pages):
    """[ISO 5457:1999, 4.2: border 20 mm at the filing edge, 10 mm elsewhere, 0.7 mm line].

    Value from memory.
    """
    for page in pages.values():
        (frame,) = (s for s in page.shapes if s.tag == "frame")
        x, y = [p[0] for p in frame.points], [p[1] for p in frame.points]
        assert (min(x), min(y)) == (20.0, 10.0)
        assert (page.width - max(x), page.height - max(y)) == (10.0, 10.0)
        assert frame.pen.width == 0.7


def test_centring_marks_and_fields(pages):
    """[ISO 5457:1999, 4.3, 4.4: four centring marks of 0.7 mm; fields of 50 mm from them;
    on A4 the grid at the top and the right only; letters without I and O]; from memory.
    """
    for size, page in pages.items():
        marks = [s for s in page.shapes if s.tag == "centring"]
        assert len(marks) == 4
        assert {m.pen.width for m in marks} == {0.7}
        ticks = [s for s in page.shapes if s.tag == "grid" and isinstance(s, Line)]
        across = sorted({t.a[0] for t in ticks if t.a[0] == t.b[0]})
        assert [b - a for a, b in pairwise(across)] == pytest.approx([50.0] * (len(across) - 1))
        middle = 20.0 + (page.width - 30.0) / 2
        assert any(math.isclose(x, middle) for x in across)
        letters = [s.text for s in page.shapes if s.tag == "grid" and isinstance(s, Text)]
        assert not {"I", "O"} & set(letters)
        assert letters.count("1") == (2 if size == "A3" else 1)


def test_title_block_fits_and_has_the_mandatory_fields(pages, schedule):
    """[ISO 7200:2004, 180 mm wide; mandatory: legal owner, identification number, date of issue,
    segment/sheet number, title, approval person, creator, document type]; from memory.
    """
    labels = {
        "Legal owner", "Identification number", "Date of issue", "Sheet", "Title", "Approved by",
        "Created by", "Document type",
    }  # fmt: skip
    info = schedule.job.info
    for page in pages.values():
        (outline, *_) = (
            s for s in page.shapes if s.tag == "title-block" and isinstance(s, Polygon)
        )
        x = [p[0] for p in outline.points]
        assert max(x) - min(x) == 180.0
        assert page.width - max(x) == 10.0
        said = {s.text for s in page.shapes if s.tag == "title-label"}
        assert labels <= said
        values = {s.text for s in page.shapes if s.tag == "title-value"}
        assert {info.client, info.date, info.revision, info.title, info.checked_by} <= values


def test_a_bolt_is_an_upright_cross_in_its_washer_at_true_size():
    """[ISO 5845-1:1995, axis normal to the view: a cross]; from memory.

    Washer 40 x 40 at 1:10 is 4 mm on paper.
    """
    washer, cross = bolt_sign((0.0, 0.0), 40.0, Look("front", True, 1 / 10))
    x = [p[0] for p in washer.points]
    assert max(x) - min(x) == 40.0
    assert isinstance(cross, Cross)
    assert cross.size > 4.0, "the arms come out of the washer"


def test_a_nail_is_at_least_1_2_mm_on_paper():
    """House rule of the legend, no standard: filled where the head is seen, else open."""
    for strong in (True, False):
        for seen in (True, False):
            dot = nail_sign((0, 0), seen, strong)
            assert dot.diameter >= 1.2
            assert dot.filled == seen


def test_the_bar_measures_a_hundred_millimetres_in_the_svg(schedule):
    """10 boxes of 10 mm; a scale bar proves the print, whatever the printer did."""
    (sheet,) = make_sheets(schedule, ["elevation"])
    svg = write_svg(furniture(ENGLISH, heading_of(schedule), sheet))
    header = re.search(
        r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d.]+) ([\d.]+)"', svg
    )
    assert header[1] == header[3]
    assert header[2] == header[4]
    boxes = re.findall(
        r'd="M([\d.]+) ([\d.]+)L([\d.]+) \2L\3 ([\d.]+)L\1 \4Z" fill="#(?:0{6}|f{6})"', svg
    )
    bars = [(float(a), float(c)) for a, b, c, d in boxes if math.isclose(float(d) - float(b), 2.0)]
    bars = [b for b in bars if math.isclose(b[1] - b[0], 10.0)]
    assert len(bars) == 10
    assert max(b for _, b in bars) - min(a for a, _ in bars) == pytest.approx(100.0)


def test_the_bar_measures_a_hundred_millimetres_in_the_pdf(schedule):
    """From the path operators of the page, with all matrices.

    Tolerance 0.01 mm: the digits of the SVG.
    """
    pdf = render_pdf(schedule, ["know", "stage-1"])
    with pikepdf.open(BytesIO(pdf)) as document:
        for page in document.pages:
            spans = _ten_by_two(page, page.get("/Resources"), np.eye(3))
            assert len(spans) == 10
            low, high = min(a for a, _ in spans), max(b for _, b in spans)
            assert (high - low) * MM == pytest.approx(100.0, abs=0.01)


def _ten_by_two(holder, resources, ctm):  # noqa: C901  one branch per PDF operator
    """Extents in x of all closed paths that are 10 mm wide and 2 mm high."""
    found, stack, path = [], [], []
    for operands, operator in pikepdf.parse_content_stream(holder):
        op = str(operator)
        if op == "q":
            stack.append(ctm)
        elif op == "Q":
            ctm = stack.pop()
        elif op == "cm":
            ctm = _matrix(operands) @ ctm
        elif op in ("m", "l"):
            path.append(np.array([float(operands[0]), float(operands[1]), 1.0]) @ ctm)
        elif op == "re":
            x, y, w, h = (float(v) for v in operands)
            path += [np.array([a, b, 1.0]) @ ctm for a in (x, x + w) for b in (y, y + h)]
        elif op in ("f", "f*", "S", "s", "B", "B*", "b", "n"):
            if path and op in ("f", "f*", "B", "B*", "b"):
                points = np.array(path)[:, :2]
                wide, high = np.ptp(points, axis=0) * MM
                if abs(wide - 10.0) < 0.02 and abs(high - 2.0) < 0.02:
                    found.append((points[:, 0].min(), points[:, 0].max()))
            path = []
        elif op == "Do":
            form = resources.XObject[str(operands[0])]
            if form.get("/Subtype") == "/Form":
                inner = _matrix(form.get("/Matrix", [1, 0, 0, 1, 0, 0])) @ ctm
                found += _ten_by_two(form, form.get("/Resources", resources), inner)
    return sorted(set(found))


def _matrix(values):
    a, b, c, d, e, f = (float(v) for v in values)
    return np.array([[a, b, 0.0], [c, d, 0.0], [e, f, 1.0]])


def test_every_page_is_a_true_size_picture(schedule):
    """The frame goes in at the width of the paper, drawings at their own: nothing is fitted."""
    pack = pack_data(
        ENGLISH, heading_of(schedule), [make_sheets(schedule, ["elevation", "know", "stage-1"])], ""
    )
    for sheet in pack["sheets"]:
        for page in (sheet["head"] or sheet["strip"], sheet["strip"]):
            head = re.search(r'width="([\d.]+mm)"', page)
            assert head[1] == sheet["paper"]["width"] == "420mm"
        for block in json.loads(json.dumps(sheet["blocks"])):
            if block["kind"] == "drawing":
                assert f'width="{block["width"]}"' in block["svg"]


def test_lettering_of_two_and_a_half_is_two_and_a_half():
    """Capital height over em of the shipped font, times the font size written."""
    d = Drawing("d", 100.0, 50.0)
    d.add(Text((10.0, 10.0), "H", 2.5))
    size = float(re.search(r'font-size="([\d.]+)"', write_svg(d))[1])
    assert size * CAP_HEIGHT == pytest.approx(2.5, abs=0.01)
    assert size * CAP_HEIGHT >= 2.5


def test_a_long_title_is_whole_in_more_lines_and_the_block_grows(schedule):
    """Nothing is cut by an ellipsis; every line stays in its cell."""
    title, client = "W" * 300, "River trust " * 30
    info = replace(schedule.job.info, title=title, client=client)
    long = replace(schedule, job=replace(schedule.job, info=info))
    (sheet,) = make_sheets(long, ["inspection"])
    page = furniture(ENGLISH, heading_of(long), sheet)
    values = [s for s in page.shapes if s.tag == "title-value"]
    assert not [s for s in values if "\u2026" in s.text]
    said = "".join(s.text for s in values).replace(" ", "")
    assert title in said
    assert client.replace(" ", "") in said
    assert overlapping_texts(page) == outside_texts(page) == []


def test_a_continuation_strip_is_twelve_millimetres_high(schedule):
    (sheet,) = make_sheets(schedule, ["stage-1"])
    page = furniture(ENGLISH, heading_of(schedule), sheet, first=False)
    strip = [s for s in page.shapes if s.tag == "strip" and isinstance(s, Line)]
    high = page.height - 10.0 - min(line.a[1] for line in strip)
    assert high == STRIP == 12.0
    words = [s.text for s in page.shapes if s.tag == "strip" and isinstance(s, Text)]
    said = " ".join(words)
    for part in ("RH-204", "G1", "Stage 1 of", "FRONT FACE UP", "Fastening only"):
        assert part in said
    assert [s for s in page.shapes if s.tag == "hook"]
