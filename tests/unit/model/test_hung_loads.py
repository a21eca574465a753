"""Hung loads: series, positions from the hook end, footprints."""

import math

import numpy as np
import pytest
from shape_jobs import shape_job

from girderply.errors import JobError
from girderply.jobfile.job import BracketBoltSpec, BracketSpec, LoadSpec
from girderply.model.build_girder import build_girder
from girderply.model.girder import Girder
from girderply.model.hung import bracket_bolts
from girderply.shapes.shape_spec import ShapeSpec
from girderply.wording import english

HOWE = ShapeSpec("howe", 9600.0, math.radians(22.5), panels=6)
BRACKET = BracketSpec(80.0, 120.0, 20.0, bolts=(BracketBoltSpec(10.0, -30.0),))


def hung(*loads: LoadSpec, hook: str = "left") -> Girder:
    return build_girder(shape_job(HOWE, loads=loads, hook_ends={"BC1": hook}))[0]


def test_series_includes_its_last_station() -> None:
    """600 to 2400 every 600: 4 loads; to 2399 only 3. Bottom chord 170 deep: y = 85."""
    loads = hung(LoadSpec("L1", "BC1", "front", 600.0, 2400.0, 600.0, permanent=5.0)).loads
    assert [(x.id, x.station, x.x, x.y) for x in loads] == [
        (f"L1-{i}", 600.0 * i, 600.0 * i, 85.0) for i in range(1, 5)
    ]
    assert {x.permanent for x in loads} == {5.0}
    assert len(hung(LoadSpec("L1", "BC1", "front", 600.0, 2399.0, 600.0)).loads) == 3


def test_a_third_of_a_millimetre_step_loses_no_load() -> None:
    """0 to 4800 in steps of 4800 / 7: eight loads, in spite of rounding."""
    assert len(hung(LoadSpec("L", "BC1", "back", 0.0, 4800.0, 4800.0 / 7)).loads) == 8


def test_stations_run_from_the_hook_end() -> None:
    load = hung(LoadSpec("L1", "BC1", "front", 1000.0), hook="right").loads[0]
    assert (load.id, load.x, load.y) == ("L1", 8600.0, 85.0)


@pytest.mark.parametrize(
    ("hook", "x", "bolt"), [("left", 1000.0, 1010.0), ("right", 8600.0, 8590.0)]
)
def test_footprint_and_bolt_stay_up_when_the_hook_end_changes(
    hook: str, x: float, bolt: float
) -> None:
    """80 x 120, 20 above the centreline at 85: y from 45 to 165; bolt 30 below its centre: 75."""
    girder = hung(LoadSpec("L1", "BC1", "front", 1000.0, bracket=BRACKET), hook=hook)
    foot = girder.loads[0].footprint
    assert foot is not None
    assert foot.min(axis=0) == pytest.approx([x - 40, 45.0])
    assert foot.max(axis=0) == pytest.approx([x + 40, 165.0])
    spots = bracket_bolts(girder.loads[0], girder.member("BC1"))
    assert np.allclose(spots, [[bolt, 75.0]])


def test_footprint_on_a_rafter_lies_along_it() -> None:
    girder = hung(LoadSpec("L1", "TC1", "front", 2000.0, bracket=BracketSpec(80.0, 120.0)))
    foot, chord = girder.loads[0].footprint, girder.member("TC1")
    assert foot is not None
    local = chord.to_local(foot)
    assert np.ptp(local, axis=0) == pytest.approx([80.0, 120.0], abs=1e-5)
    assert local.mean(axis=0) == pytest.approx([2000.0, 0.0], abs=1e-5)


@pytest.mark.parametrize(
    ("load", "code"),
    [
        (LoadSpec("L", "BC1", "front", -1.0), "load-off-chord"),
        (LoadSpec("L", "BC1", "front", 9601.0), "load-off-chord"),
        (LoadSpec("L", "BC1", "front", 0.0, 9999.0, 1.0), "too-many-loads"),
        (LoadSpec("L", "BC1", "front", 0.0, 9999.0, 0.0), "zero-length"),
        (LoadSpec("L", "BC1", "front", 0.0, 9999.0), "half-a-series"),
        (LoadSpec("L", "BC1", "front", math.inf), "not-finite"),
        (LoadSpec("L", "BC1", "front", 99.0, plies_reached=3), "plies-reached"),
        (LoadSpec("L", "BC1", "front", 99.0, bracket=BracketSpec(0.0, 5.0)), "zero-length"),
        (
            LoadSpec("L", "BC1", "front", 4000.0, bracket=BracketSpec(80.0, 120.0, -150.0)),
            "bracket-off-girder",
        ),
        (
            LoadSpec(
                "L",
                "BC1",
                "front",
                4000.0,
                bracket=BracketSpec(80.0, 120.0, bolts=(BracketBoltSpec(0.0, -90.0),)),
            ),
            "bracket-off-girder",
        ),
    ],
)
def test_loads_that_cannot_hang(load: LoadSpec, code: str) -> None:
    with pytest.raises(JobError, match="loads") as caught:
        hung(load)
    assert code in [f.code for f in caught.value.findings]


def test_two_loads_of_one_name() -> None:
    with pytest.raises(JobError, match="'L' is given twice"):
        hung(LoadSpec("L", "BC1", "front", 100.0), LoadSpec("L", "BC1", "back", 100.0))


def test_bracket_partly_over_the_edge_is_a_warning() -> None:
    """170 deep chord, bracket 200 high on its centreline: 85 % on timber, 15 mm out each side."""
    load = LoadSpec("L", "BC1", "front", 4000.0, bracket=BracketSpec(80.0, 200.0))
    findings = build_girder(shape_job(HOWE, loads=[load]))[1]
    assert [english(f.message) for f in findings if f.code == "bracket-over-edge"] == [
        "85 % of the bracket's footprint lies on timber"
    ]
