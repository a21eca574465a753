"""Widths of lettering against the shipped font itself."""

from __future__ import annotations

import json

import pytest
from fontTools.ttLib import TTFont

from girderply.drawing.lettering import (
    CAP_HEIGHT,
    breaking,
    font_size,
    read_font_widths,
    text_box,
    text_width,
    wrap,
)
from girderply.drawing.primitives import Text
from girderply.drawing.resources import template_folder

FONTS = template_folder() / "fonts"


def test_the_shipped_widths_are_the_fonts_own():
    shipped = json.loads((FONTS / "widths.json").read_text(encoding="utf-8"))
    assert shipped == read_font_widths()


@pytest.mark.parametrize("file", ["DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"])
def test_capital_height_is_that_of_the_letter_h(file):
    font = TTFont(FONTS / file)
    assert font["glyf"]["H"].yMax / font["head"].unitsPerEm == pytest.approx(CAP_HEIGHT, abs=1e-6)


def test_width_of_a_word_is_the_sum_of_its_advances():
    font = TTFont(FONTS / "DejaVuSansCondensed-Bold.ttf")
    cmap, metrics = font.getBestCmap(), font["hmtx"]
    advance = sum(metrics[cmap[ord(c)]][0] for c in "W1 é×") / font["head"].unitsPerEm
    assert text_width("W1 é×", 3.5, bold=True) == pytest.approx(advance * 3.5 / CAP_HEIGHT)


def test_an_unknown_character_counts_as_wide_as_the_widest():
    assert text_width("\U0001f528", 2.5) >= text_width("W", 2.5)


def test_box_of_level_text_holds_its_capitals():
    text = Text((50.0, 20.0), "HHH", 2.5, "start", "base")
    (x0, y0), (x1, _), (_, y2), _ = text_box(text)
    assert x0 == 50.0
    assert x1 == pytest.approx(50.0 + text_width("HHH", 2.5))
    assert 17.3 < y0 <= 17.5
    assert y2 == pytest.approx(20.0 + 0.21 * font_size(2.5))


def test_upright_text_reads_upwards_from_its_start():
    box = text_box(Text((10.0, 90.0), "1 250", 2.5, "start", "base", 90.0))
    assert max(y for _, y in box) == pytest.approx(90.0)
    assert min(y for _, y in box) == pytest.approx(90.0 - text_width("1 250", 2.5))
    assert min(x for x, _ in box) < 10.0 < max(x for x, _ in box)


def test_middle_level_is_the_middle_of_the_capitals():
    box = text_box(Text((0.0, 0.0), "H", 5.0))
    assert min(y for _, y in box) == pytest.approx(-2.5 - 0.03 * font_size(5.0))


def test_wrap_keeps_every_word_and_the_width():
    text = "Turn the girder over with enough people or a crane and mind the points"
    lines = wrap(text, 40.0)
    assert " ".join(lines) == text
    assert len(lines) > 2
    assert max(text_width(line, 2.5) for line in lines) <= 40.0


def test_wrap_does_not_break_where_a_space_does_not():
    """A number and its unit, a word and its colon stay on one line, their space as it is."""
    text = "pli 1\u00a0: dépasse de 22,5\u00a0mm"
    for width in range(25, 80):  # mm; a word of 24 mm that is longer than its line is broken
        lines = wrap(text, float(width), 2.5)
        assert " ".join(lines) == text
        assert [line for line in lines if "1\u00a0:" in line]
        assert [line for line in lines if line.endswith("22,5\u00a0mm")]


def test_wrap_breaks_a_word_that_is_longer_than_its_line_and_loses_nothing():
    text = "RH-101/" + "W" * 60 + " G1"
    lines = wrap(text, 30.0, 2.5)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert max(text_width(line, 2.5) for line in lines) <= 30.0
    assert lines[0] == "RH-101/", "after a sign where there is one"


def test_a_long_word_may_break_and_nothing_of_it_is_lost():
    """The pieces fit, a sign stays with what is before it, and words that fit stay whole."""
    long = "HALL-NORTH-WEST/PORCH" + "M" * 40
    told = breaking(f"short {long}", 30.0, 2.5)
    assert told.replace("\u200b", "") == f"short {long}"
    pieces = told.removeprefix("short ").split("\u200b")
    assert all(text_width(piece, 2.5) <= 30.0 for piece in pieces)
    assert pieces[0].endswith(("-", "/"))
