"""NDS 2018, placement and adjustment: tables 12.5.1A to D, C12.1.6.6, 2.3.2, 11.3.3, 11.3.4.

Values from memory unless said otherwise.
"""

import pytest

from girderply.errors import RangeError
from girderply.standards.nds_2018 import adjustment, geometry
from girderply.standards.nds_2018.penetration import lead_hole_in


@pytest.mark.parametrize(
    ("case", "least", "full"),
    [
        ("end perpendicular", 1.0, 2.0),
        ("end parallel compression", 1.0, 2.0),
        ("end parallel tension softwood", 1.75, 3.5),
        ("end parallel tension hardwood", 1.25, 2.5),
        ("spacing parallel", 1.5, 2.0),
    ],
)
def test_end_distance_and_spacing_of_half_inch_bolts(case, least, full):
    """Tables 12.5.1A and 12.5.1B."""
    assert geometry.end_least_in(0.5, case) == pytest.approx(least)
    assert geometry.end_full_in(0.5, case) == pytest.approx(full)


@pytest.mark.parametrize(
    ("end", "spacing", "C_delta"),
    [
        (3.5, 2.0, 1.0),  # both full
        (1.75, 2.0, 0.5),  # least end distance: half
        (2.8, 2.0, 0.8),  # 2.8 / 3.5
        (3.5, 1.6, 0.8),  # 1.6 / 2.0
        (2.8, 1.5, 0.75),  # spacing governs at its least, 3 D / 4 D
        (9.0, None, 1.0),
        (1.7, 2.0, 0.0),  # below the least: does not count
        (3.5, 1.4, 0.0),
    ],
)
def test_geometry_factor_of_half_inch_bolts_in_tension(end, spacing, C_delta):
    case = "end parallel tension softwood"
    assert geometry.C_delta(0.5, end, case, spacing) == pytest.approx(C_delta)


def test_geometry_factor_is_for_quarter_inch_and_more():
    """Scope of 12.5 read: seaintarchive.org, 2008a, msg00736."""
    assert geometry.C_delta(0.162, 0.1, "end perpendicular", 0.1) == 1.0


def test_edge_distances():
    """Table 12.5.1C; along the grain read (paraphrase of 2005): seaintarchive.org msg00736."""
    assert geometry.edge_parallel_in(0.5, 3.0, 4.0) == pytest.approx(0.75)  # l/D = 6
    assert geometry.edge_parallel_in(0.5, 3.1, 4.0) == pytest.approx(2.0)  # half the row spacing
    assert geometry.edge_parallel_in(0.5, 3.1, 1.0) == pytest.approx(0.75)
    assert geometry.edge_perpendicular_in(0.625, loaded=True) == pytest.approx(2.5)
    assert geometry.edge_perpendicular_in(0.625, loaded=False) == pytest.approx(0.9375)


@pytest.mark.parametrize(
    ("l_in", "spacing"), [(0.9, 1.25), (1.0, 1.25), (2.0, 1.875), (3.0, 2.5), (4.5, 2.5)]
)
def test_row_spacing_across_the_grain(l_in, spacing):
    """Table 12.5.1D for D 1/2 in: 2.5 D up to l/D = 2, (5 l + 10 D) / 8, 5 D from l/D = 6."""
    assert geometry.row_spacing_perpendicular_in(0.5, l_in) == pytest.approx(spacing)


def test_row_spacing_along_the_grain():
    assert geometry.row_spacing_parallel_in(0.75) == pytest.approx(1.125)
    assert geometry.outer_rows_most_in() == 5.0


def test_recommended_nail_distances():
    """Commentary table C12.1.6.6, wood side members, 16d common (0.162 in)."""
    undrilled = geometry.nail_distances_in(0.162, prebored=False)
    assert undrilled.edge == pytest.approx(0.405)
    assert undrilled.end_tension == pytest.approx(2.43)
    assert undrilled.end_compression == pytest.approx(1.62)
    assert undrilled.spacing_parallel == pytest.approx(2.43)
    assert undrilled.spacing_perpendicular == pytest.approx(1.62)
    assert undrilled.row_in_line == pytest.approx(0.81)
    assert undrilled.row_staggered == pytest.approx(0.405)
    drilled = geometry.nail_distances_in(0.162, prebored=True)
    assert drilled.end_tension == pytest.approx(1.62)
    assert drilled.end_compression == pytest.approx(0.81)
    assert drilled.row_in_line == pytest.approx(0.486)


@pytest.mark.parametrize(
    ("duration", "C_D"),
    [("permanent", 0.9), ("ten years", 1.0), ("two months", 1.15), ("seven days", 1.25),
     ("ten minutes", 1.6)],
)  # fmt: skip
def test_load_duration(duration, C_D):
    """Table 2.3.2; 1.0 read (studylib 25592182), 1.6 read (seaintarchive.org 2009c msg00914)."""
    assert adjustment.C_D(duration) == C_D


@pytest.mark.parametrize(
    ("wet_fabricated", "wet_service", "D", "lone_row", "C_M"),
    [
        (False, False, 0.5, False, 1.0),
        (True, False, 0.5, False, 0.4),
        (True, False, 0.162, False, 0.7),
        (True, False, 0.5, True, 1.0),
        (True, True, 0.5, True, 0.7),
        (False, True, 0.162, False, 0.7),
    ],
)
def test_wet_service(wet_fabricated, wet_service, D, lone_row, C_M):
    """Table 11.3.3."""
    found = adjustment.C_M(
        wet_fabricated=wet_fabricated, wet_service=wet_service, D_in=D, lone_row=lone_row
    )
    assert found == C_M


@pytest.mark.parametrize(
    ("T", "wet", "C_t"),
    [(70, True, 1.0), (100, False, 1.0), (101, False, 0.8), (125, True, 0.7), (126, False, 0.7),
     (150, True, 0.5)],
)  # fmt: skip
def test_temperature(T, wet, C_t):
    """Table 11.3.4."""
    assert adjustment.C_t(T, wet=wet) == C_t


def test_hotter_than_the_table_is_refused():
    with pytest.raises(ValueError, match=r"T_F must be at most 150"):
        adjustment.C_t(151, wet=False)


@pytest.mark.parametrize(
    ("G", "part"), [(0.36, 0.75), (0.55, 0.75), (0.6, 0.75), (0.61, 0.9), (0.67, 0.9)]
)
def test_hole_of_a_nail(G, part):
    """No more than 90 % of the nail in wood of a specific gravity over 0.6, else 75 % of it.

    Source: "Nails and Spikes", a chapter of a building handbook that gives the provisions of the
    NDS (civilengineeringx.com/bdac/nails-and-spikes), read; the NDS itself was not.
    """
    assert lead_hole_in(0.162, G) == pytest.approx(part * 0.162)


def test_a_hole_needs_a_nail_and_a_wood():
    for D, G in ((0.0, 0.5), (0.162, float("nan")), (-1.0, 0.5)):
        with pytest.raises(RangeError):
            lead_hole_in(D, G)
