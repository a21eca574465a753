"""Area, mass and centre of gravity against sums worked by hand."""

import dataclasses
import math

import pytest
from shape_jobs import level_lists, list_job, shape_job

from girderply.errors import RangeError
from girderply.model.build_girder import build_girder
from girderply.model.mass import centre_of_gravity, ply_area, ply_mass
from girderply.shapes.shape_spec import ShapeSpec


def test_king_post_area_by_independent_formula() -> None:
    """Span L = 5000, pitch 35, depths 120 / 145 / 95, butt 6, no overhang.

    Rafters: plumb cut parallelograms, depth / cos * L / 2 each. Bottom chord: L * 145 less two
    bevels of (145 - 6)^2 / (2 tan). Post: 95 wide from y = 145 to the underside 6 + x tan, which
    at the apex is 6 + 2500 tan and falls to both sides: 95 * (6 + 2500 tan - 145) - 47.5^2 tan.
    """
    t, c = math.tan(math.radians(35)), math.cos(math.radians(35))
    rafters = 2 * 120 / c * 2500
    bottom = 5000 * 145 - 2 * (145 - 6) ** 2 / (2 * t)
    post = 95 * (6 + 2500 * t - 145) - 47.5**2 * t
    girder, _ = build_girder(
        shape_job(ShapeSpec("king post", 5000.0, math.radians(35)), (120.0, 145.0, 95.0))
    )
    assert ply_area(girder) == pytest.approx(rafters + bottom + post, abs=0.1)  # 1e-6 * 2e4 mm
    mass = (rafters + bottom + post) * 38 * 420e-9
    assert ply_mass(girder, 420.0) == pytest.approx(mass, rel=1e-6)


def test_centre_of_gravity_of_rectangles() -> None:
    """Chords 3000 x 120 at y = 840 and 3000 x 100 at y = 50, one post 40 x 680 at (20, 440)."""
    nodes, members = level_lists()
    girder, _ = build_girder(list_job(nodes, members))
    three = dataclasses.replace(girder, members=tuple(girder.members[:3]))
    areas = [360000.0, 300000.0, 27200.0]
    x = (areas[0] * 1500 + areas[1] * 1500 + areas[2] * 20) / sum(areas)
    y = (areas[0] * 840 + areas[1] * 50 + areas[2] * 440) / sum(areas)
    assert centre_of_gravity(three) == pytest.approx((x, y), abs=1e-4)
    assert ply_area(three) == pytest.approx(sum(areas), abs=0.01)


@pytest.mark.parametrize("rho", [0.0, -1.0, math.nan, math.inf])
def test_density_is_guarded(rho: float) -> None:
    girder, _ = build_girder(list_job(*level_lists()))
    with pytest.raises(RangeError, match="rho_mean"):
        ply_mass(girder, rho)
