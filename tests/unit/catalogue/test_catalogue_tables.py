"""What holds for every row of every table."""

from __future__ import annotations

from importlib.resources import files
from itertools import groupby, pairwise

import pytest

from girderply.catalogue import bolts, nails, timbers, washer, washers
from girderply.catalogue.csv_files import mm, table

TABLES = sorted(
    f.name.removesuffix(".csv")
    for f in (files("girderply.catalogue") / "data").iterdir()
    if f.name.endswith(".csv")
)


@pytest.mark.parametrize("name", TABLES)
def test_every_table_says_where_its_figures_come_from(name):
    read = table(name)
    assert read.document
    assert read.reader
    assert read.mark.startswith(("read", "from memory", "common practice", "density read"))
    assert len(read.rows) > 0
    assert all(None not in row and None not in row.values() for row in read.rows)


def test_every_entry_names_its_source_and_mark():
    for entry in (*nails(), *bolts(), *washers(), *timbers()):
        assert entry.source, entry.key
        assert entry.mark, entry.key


def test_a_nail_is_longer_than_thick_and_its_head_wider():
    for n in nails():
        assert 10 * n.d <= n.length <= 40 * n.d, n.key
        assert 1.5 * n.d < n.head < 3.0 * n.d, n.key
        assert n.fu >= 600.0


def test_pennyweights_grow_with_their_number():
    for kind in ("common", "box", "sinker"):
        same = [n for n in nails() if n.key.endswith(kind)]
        assert len(same) >= 9
        for small, large in pairwise(same):
            assert small.length < large.length
            assert small.d <= large.d
            assert (small.f_yb or 0) >= (large.f_yb or 0)


def test_a_head_left_out_is_the_least_that_a_nail_may_have():
    # EN 14592: head of at least 2.5 times the area of the shank; value from memory
    least = [n for n in nails() if "head not published" in n.mark]
    assert len(least) > 20
    assert all(n.head**2 / n.d**2 == pytest.approx(2.5) for n in least)


def test_bolts_grow_and_their_lengths_rise():
    for _, group in groupby(bolts(), key=lambda b: b.imperial):
        same = list(group)
        for what in ("d", "pitch", "head_height", "nut_height", "across_flats", "hole"):
            values = [getattr(b, what) for b in same]
            assert all(a < b for a, b in pairwise(values)), what
        for b in same:
            assert all(x < y for x, y in pairwise(b.lengths))
            assert b.d < b.hole <= b.hole_max
            assert b.fy < b.fu


def test_a_washer_is_wider_than_its_bolt_and_its_hole_lets_it_through():
    by_key = {b.key: b for b in bolts()}
    for w in washers():
        d = by_key[w.bolt].d
        assert d < w.hole < w.outer, w.key
        assert w.outer >= 1.8 * d, w.key
        assert w.thickness >= 0.15 * d, w.key
        assert w.key.endswith(w.bolt)


def test_washers_of_one_standard_grow_with_the_bolt():
    for _, group in groupby(washers(), key=lambda w: w.key.removesuffix(w.bolt)):
        same = list(group)
        assert all(a.outer < b.outer and a.hole < b.hole for a, b in pairwise(same))
        assert all(a.thickness <= b.thickness for a, b in pairwise(same))


def test_timber_is_lighter_than_water_and_its_characteristic_value_below_its_mean():
    for t in timbers():
        assert 300 < t.rho_mean < 800, t.key
        assert t.rho_k is None or t.rho_k < t.rho_mean, t.key
        assert t.E_mean is None or 6000 < t.E_mean < 17000, t.key


def test_denser_species_are_heavier():
    graded = sorted((t for t in timbers() if t.G), key=lambda t: t.G or 0)
    assert len(graded) >= 14
    assert all(a.rho_mean <= b.rho_mean for a, b in pairwise(graded))


def test_inches_leave_no_dust():
    assert mm(3.5) == 88.9
    assert mm(1.5) == 38.1
    assert washer("cut 1/2 in").hole == 14.2875
