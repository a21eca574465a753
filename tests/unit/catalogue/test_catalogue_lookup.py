"""Names that a person may type, and what is said when a name is wrong."""

from __future__ import annotations

import pytest

from girderply.catalogue import (
    bolt,
    bolts,
    nail,
    nails,
    timber,
    timber_aliases,
    timbers,
    washer,
    washers,
)
from girderply.catalogue.nail_sizes import f_yb
from girderply.catalogue.timbers_known import density_from_gravity
from girderply.errors import CatalogueError, RangeError
from girderply.units.exact import MPA_PER_PSI


@pytest.mark.parametrize(
    "typed", ["4.0 x 100", "4.0x100", "4,0x100", "4,0 × 100", " 4 x 100 ", "4.00 x 100.0"]
)
def test_spacing_times_sign_and_decimal_comma_are_forgiven(typed):
    assert nail(typed).key == "4.0 x 100"


def test_catalogue_nail_keeps_its_own_source():
    assert nail("3,1×70").source.startswith("DIN 1151")
    assert nail("3.1 x 70 ring").surface == "other"


def test_size_that_no_table_holds_is_taken_as_typed():
    made = nail("3,1 x 82")
    assert (made.key, made.d, made.length, made.surface) == ("3.1 x 82", 3.1, 82.0, "smooth")
    assert made.source == "typed in the job"
    assert nail("3.75 x 82 ring").key == "3.75 x 82 ring"
    assert nail("3.75 x 82 ring").surface == "other"


def test_size_in_inches_is_converted_and_its_yield_strength_follows_the_diameter():
    made = nail("0.162 x 4 in")
    assert (made.d, made.length) == (pytest.approx(4.1148), pytest.approx(101.6))
    assert made.f_yb == pytest.approx(90000 * MPA_PER_PSI)
    assert made.source == "typed in the job"


@pytest.mark.parametrize(
    ("d_inch", "psi"),
    [(0.099, 100000), (0.142, 100000), (0.1421, 90000), (0.177, 90000), (0.207, 80000)],
)
def test_yield_strength_at_the_bounds_of_its_rows(d_inch, psi):
    # NDS 2018, table I1: value from memory
    assert f_yb(d_inch * 25.4) == pytest.approx(psi * MPA_PER_PSI, rel=1e-12)


def test_yield_strength_outside_the_table_is_not_invented():
    assert f_yb(0.098 * 25.4) is None
    assert f_yb(0.376 * 25.4) is None


@pytest.mark.parametrize(
    ("find", "typed", "near"),
    [
        (nail, "16d comon", "'16d common'"),
        (nail, "16D common", "'16d common'"),
        (bolt, "m12", "'M12'"),
        (washer, "DIN 436 M11", "'DIN 436 M1"),
        (timber, "Douglas Fir Larch", "'Douglas Fir-Larch'"),
    ],
)
def test_wrong_name_is_refused_with_what_is_near(find, typed, near):
    with pytest.raises(CatalogueError, match=f"no .* '{typed}' .*allowed: .*nearest: .*{near}"):
        find(typed)


@pytest.mark.parametrize("typed", ["40 x 100", "4.0 x 10", "4.0 x 400", "0 x 100", "8.0 x 60"])
def test_odd_size_is_no_nail(typed):
    with pytest.raises(CatalogueError, match=f"'{typed}' is not the size of a nail; allowed"):
        nail(typed)


def test_every_key_finds_its_own_entry():
    for find, all_of in ((nail, nails), (bolt, bolts), (washer, washers), (timber, timbers)):
        keys = [entry.key for entry in all_of()]
        assert len(keys) == len(set(keys))
        assert [find(k).key for k in keys] == keys


def test_aliases_lead_to_their_timber():
    assert timber("SPF").key == "Spruce-Pine-Fir"
    assert all(timber(alias).key == name for alias, name in timber_aliases().items())


def test_density_by_hand():
    # G 0.50 at 12 %: 62.4 x 0.5 / (1 + 0.009 x 0.5 x 12) x 1.12 = 33.154 lb/ft3; x 16.0185
    assert density_from_gravity(0.50, 12.0) == pytest.approx(531.08, abs=0.01)


def test_density_refuses_what_is_no_timber():
    with pytest.raises(RangeError, match="G must be"):
        density_from_gravity(float("nan"))
    with pytest.raises(RangeError, match="moisture must be"):
        density_from_gravity(0.5, 31.0)
