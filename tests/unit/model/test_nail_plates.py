"""Plates: given ones as given, estimated ones as a plant would press them."""

import math

import numpy as np
import pytest
from shape_jobs import shape_job
from shapely.geometry import Point, Polygon

from girderply.errors import JobError
from girderply.jobfile.job import PlateSpec
from girderply.model.build_girder import build_girder
from girderply.model.girder import Girder, Plate
from girderply.shapes.shape_spec import ShapeSpec
from girderply.wording import english

HOWE = ShapeSpec("howe", 9600.0, math.radians(22.5), panels=6)


def howe(*plates: PlateSpec) -> Girder:
    return build_girder(shape_job(HOWE, plates=plates))[0]


def plate(girder: Girder, joint: str) -> Plate:
    return next(p for p in girder.plates if p.joint == joint)


def angle(p: Plate) -> float:
    d = p.outline[1] - p.outline[0]
    return math.degrees(math.atan2(d[1], d[0]))


def test_given_plate_is_taken_as_it_is() -> None:
    """100 x 60 at (1600, 170), turned by 90 degrees: x 1570 to 1630, y 120 to 220."""
    girder = howe(PlateSpec("J2", (1600.0, 170.0), 100.0, 60.0, math.pi / 2))
    given = plate(girder, "J2")
    assert not given.assumed
    assert Polygon(given.outline).bounds == pytest.approx((1570.0, 120.0, 1630.0, 220.0), abs=1e-5)
    assert all(p.assumed for p in girder.plates if p.joint != "J2")
    assert [p.joint for p in girder.plates] == [j.id for j in girder.joints]


def test_plates_are_aligned_with_chord_heel_contact_and_apex() -> None:
    """Bottom chord and apex level, rafter and heel along 22.5 degrees."""
    girder = howe()
    assert angle(plate(girder, "J2")) == pytest.approx(0.0, abs=1e-4)
    assert angle(plate(girder, "J1")) == pytest.approx(22.5, abs=1e-4)
    assert angle(plate(girder, "J8")) == pytest.approx(22.5, abs=1e-4)
    assert angle(plate(girder, "J10")) == pytest.approx(0.0, abs=1e-4)


def test_sides_come_in_steps_of_10_mm() -> None:
    for p in howe().plates:
        sides = np.hypot(*(p.outline[1] - p.outline[0])), np.hypot(*(p.outline[2] - p.outline[1]))
        assert [s / 10 for s in sides] == pytest.approx([round(s / 10) for s in sides], abs=1e-5)


def test_vertical_alone_gets_a_plate_no_wider_than_itself() -> None:
    """W1 at J2 is 95 wide, 170 chord: plate within the web's width, over the joint line y = 170."""
    x0, y0, x1, y1 = Polygon(plate(howe(), "J2").outline).bounds
    assert 1600 - 47.5 <= x0 < x1 <= 1600 + 47.5
    assert y0 >= 5 - 1e-6
    assert 170 - y0 >= 0.5 * 170
    assert 50 <= y1 - 170 <= 0.6 * 95 + 10  # bite, common practice; one step of rounding


def test_heel_plate_lies_on_both_chords_only() -> None:
    """No part of the heel plate is off the timber, and the contact line runs through it."""
    girder = howe()
    shape = Polygon(plate(girder, "J1").outline)
    top, bottom = (Polygon(girder.member(m).outline) for m in ("TC1", "BC1"))
    assert shape.intersection(top.union(bottom)).area > 0.95 * shape.area
    assert shape.intersection(top).area > 0.25 * shape.area
    assert shape.intersection(bottom).area > 0.25 * shape.area


def test_apex_plate_covers_the_plumb_cut_and_stays_under_the_roof() -> None:
    """Plumb cut at 4800 from 1994.2 (underside) to 2151.2; corners inside the rafters."""
    girder = howe()
    shape = Polygon(plate(girder, "J10").outline)
    assert shape.intersects(Point(4800, 1994.2))
    timber = [Polygon(girder.member(m).outline) for m in ("TC1", "TC2")]
    for x, y in plate(girder, "J10").outline[2:]:  # the two upper corners
        assert any(t.contains(Point(x, y)) for t in timber)


@pytest.mark.parametrize(
    ("spec", "code"),
    [
        (PlateSpec("J2", (1600.0, 170.0), 12000.0, 60.0), "plate-too-large"),
        (PlateSpec("J2", (1600.0, 170.0), 3000.0, 2500.0), "plate-too-large"),
        (PlateSpec("J2", (1600.0, 5000.0), 100.0, 60.0), "plate-off-joint"),
        (PlateSpec("J2", (1600.0, math.nan), 100.0, 60.0), "not-finite"),
    ],
)
def test_plates_that_cannot_be(spec: PlateSpec, code: str) -> None:
    with pytest.raises(JobError, match=r"girder.plates\[1\]") as caught:
        howe(spec)
    assert [f.code for f in caught.value.findings] == [code]


def test_plate_that_misses_a_web_is_a_warning() -> None:
    findings = build_girder(
        shape_job(HOWE, plates=(PlateSpec("J2", (1600.0, 85.0), 100.0, 60.0),))
    )[1]
    said = [english(f.message) for f in findings if f.code == "plate-misses-member"]
    assert said == ["the plate at J2 does not reach W1"]
