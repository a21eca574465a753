"""Worked lines in pieces: what is a root, a power or a fraction, and what stays words."""

from __future__ import annotations

import pytest
from formula_reader import flat

from girderply.papers.page.formula import typeset_line


def _kinds(line):
    return [piece["kind"] for piece in typeset_line(line) if piece["kind"] != "text"]


@pytest.mark.parametrize(
    ("line", "kinds"),
    [
        ("F_v,Rd = 0.8 x 1.000 x 1186 / 1.3 = 730 N", ["symbol", "fraction"]),
        ("F_90,Rk = 14 x 38 x sqrt(152.5 / (1 - 152.5/195)) = 14072 N", ["symbol", "root"]),
        ("M_y,Rk = 0.3 x 400 x 12^2.6 = 76745 Nmm", ["symbol", "power"]),
        ("27.42 / (1.530 sin^2 90.0 + cos^2 90.0) = 17.92", ["fraction"]),
        ("28 nails 4.0 x 100 from ply 1 into ply 2 (10 places)", []),
        ('h_e = 5 9/16" from the loaded edge', ["symbol"]),
        ("n_ef / |cos alpha| = 3, and an open ( bracket", ["symbol"]),
        ("8.2.2 / and 1/", []),
    ],
)
def test_what_is_typeset_in_a_line(line, kinds):
    assert _kinds(line) == kinds
    assert flat(typeset_line(line)).replace("\u00d7", "x") == line


def test_a_root_and_a_fraction_hold_what_belongs_to_them():
    """All that is multiplied stands over the stroke, and only the next factor under it."""
    (over, _, root, _) = typeset_line("17.92 x 45.0 x 12 / 2 x sqrt(1 + 2^2) - 1")
    assert (flat(over["top"]), flat(over["under"])) == ("17.92 \u00d7 45.0 \u00d7 12", "2")
    assert flat(root["inside"]) == "1 + 2^2"
    assert over["alt"] == "17.92 \u00d7 45.0 \u00d7 12 / 2"
    percent = typeset_line("R_1 = 1942 / 95.0 % = 2044 N")[2]
    assert flat(percent["under"]) == "95.0 %"
    (sum_, over) = typeset_line("1 + 2 / 4")
    assert (sum_["text"], flat(over["top"])) == ("1 + ", "2")


def test_powers_of_ten_and_exponents_below_zero():
    (ten, times, power) = typeset_line("20e-6 x 4^-0.3")
    assert (flat([ten]), times["text"]) == ("20 \u00d7 10^\u22126", " \u00d7 ")
    assert flat([power]) == "4^\u22120.3"
