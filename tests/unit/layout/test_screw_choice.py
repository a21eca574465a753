"""Screws in the layout: distances, holes, timber thick enough, never clenched, made good."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from girderply.catalogue.catalogue_types import Screw
from girderply.catalogue.screwing import declared_screw
from girderply.jobfile.job import Job
from girderply.jobfile.reader import parse_job, read_job
from girderply.layout.holes import hole_for
from girderply.layout.limits import nail_limits
from girderply.model.build_girder import build_girder
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.look_up import make_brief
from girderply.standards.en1995_1_1_2014.spacing import bolt_distances, nail_distances
from girderply.wording import english

SAMPLE = Path(__file__).parents[3] / "sample_jobs" / "two-ply-screwed.toml"
TEXT = SAMPLE.read_text("utf-8")


def job(**changes: object) -> Job:
    """The sample with other values of its screw."""
    read = read_job(SAMPLE)
    (spec,) = read.fastening.screws
    fastening = replace(read.fastening, screws=(replace(spec, **changes),))  # type: ignore[arg-type]
    return replace(read, fastening=fastening)


def errors(asked: Job) -> dict[str, str]:
    return {
        f.code: english(f.message) for f in build_schedule(asked).findings if f.severity == "error"
    }


def screw(**changes: object) -> Screw:
    return declared_screw(job(**changes).fastening.screws[0])


def limits(**changes: object):
    asked = job(**changes)
    girder, _ = build_girder(asked)
    brief = make_brief(asked, girder)
    assert brief.nail is not None
    return nail_limits(brief, girder.member("BC1"), brief.nail)


def test_thin_screws_keep_the_distances_of_nails_by_their_outer_thread():
    """[EN 1995-1-1, 8.7.1(5), 8.3.1.2, Table 8.2]; the chord is level, loads across the grain."""
    along, across = (nail_distances(5.0, a, 350.0, predrilled=False) for a in (0.0, np.pi / 2))
    found = limits()
    assert found.a1 == max(along.a_1, across.a_1) == 60.0  # 12 d from 5 mm on
    assert found.a4 == max(along.a_4_t, across.a_4_t) == 50.0  # 10 d on a loaded edge


def test_thick_screws_keep_the_distances_of_bolts():
    """[EN 1995-1-1, 8.7.1(4), Table 8.4]; d_ef = 1.1 x 6 = 6.6 mm is over 6 mm."""
    found = limits(d=8.0, d_root=6.0, d_shank=8.0, head=15.0, drill=6.0)
    along, across = (bolt_distances(8.0, a) for a in (0.0, np.pi / 2))
    assert found.a1 == max(along.a_1, across.a_1)
    assert found.a4 == max(along.a_4_t, across.a_4_t)
    assert "8.7.1(4)" in found.clause


def test_declared_distances_hold_where_they_are_larger():
    found = limits(least=(90.0, 0.0, 111.0, 10.0))
    assert (found.a1, found.a3) == (90.0, 111.0)
    assert found.a4 == 50.0


def test_holes():
    asked = job()
    plain = make_brief(asked, build_girder(asked)[0])
    drilled = replace(plain, girder=replace(plain.girder, predrilled=True))
    assert hole_for(plain, screw()) == 0.0
    assert hole_for(plain, screw(drill=3.0)) == 3.0
    assert hole_for(drilled, screw()) == pytest.approx(0.7 * 3.6)


@pytest.mark.parametrize(("name", "part"), [("two-ply-howe", 0.8), ("two-ply-imperial", 0.75)])
def test_the_hole_of_a_nail_is_that_of_the_basis(name, part):
    """[EN 1995-1-1, 10.4.2(3): 0.8 d; NDS 2018, 12.1.6.3: 0.75 D where G is no more than 0.6]."""
    asked = read_job(SAMPLE.parent / f"{name}.toml")
    asked = replace(asked, girder=replace(asked.girder, predrilled=True))
    made = build_schedule(asked)
    driven = made.fasteners.driven
    (nail,) = made.nails.values()
    assert driven.any()
    assert np.allclose(made.fasteners.drilled[driven], part * nail.d)


def test_over_6_mm_a_hole_or_a_declaration_is_needed():
    thick = {"d": 8.0, "d_root": 5.0, "d_shank": 5.8, "head": 15.0}
    assert "more than 6" in errors(job(**thick))["predrilling-needed"]
    assert "predrilling-needed" not in errors(job(**thick, drill=5.0))
    assert "predrilling-needed" not in errors(job(**thick, self_drilling=True, thinnest=40.0))
    assert (
        "at least 46"
        in errors(job(**thick, self_drilling=True, thinnest=46.0))["predrilling-needed"]
    )


def test_a_screw_is_too_short_or_too_long_and_never_clenched():
    """6 d = 30 mm beyond 45 mm: 75 mm hold, 74 do not; over 90 mm it comes out."""
    assert "nail-too-short" not in errors(job(length=75.0))
    assert "screw" in errors(job(length=74.0))["nail-too-short"]
    assert "screw" in errors(job(length=105.0))["nail-too-long"]
    too_long = errors(job(length=105.0))["nail-too-long"]
    assert "mm of the last ply; a screw is not bent over" in too_long
    assert "clench" not in too_long
    assert not build_schedule(job(length=105.0)).fasteners.clench.any()


def test_every_driven_fastener_is_a_screw_with_a_screws_id():
    schedule = build_schedule(read_job(SAMPLE))
    f = schedule.fasteners
    assert set(f.kind.tolist()) == {"screw", "bolt"}
    assert all(re.fullmatch(r"\w+-S\d+", name) for name in f.id[f.kind == "screw"].tolist())
    assert schedule.driven == "screw"
    assert [line.kind for line in schedule.order][:2] == ["screw", "bolt"]


def test_more_load_brings_more_screws():
    heavy = re.sub(r'variable = "1.9 kN"', 'variable = "5.5 kN"', TEXT)
    usual, more = (build_schedule(parse_job(t)) for t in (TEXT, heavy))
    assert int((more.fasteners.kind == "screw").sum()) > int(
        (usual.fasteners.kind == "screw").sum()
    )
    assert {z.kind for z in more.strengthened} == {"screw"}
    assert all(c.ok for c in more.checks if c.interface)


def test_mass_by_hand():
    """7850e-9 x pi / 4 x (30 x 3.6^2 + 50 x 3.2^2) = 6.1654e-6 x (388.8 + 512) = 5.554 g."""
    assert screw().mass == pytest.approx(5.554e-3, rel=1e-3)


def test_stage_words_speak_of_screws_and_of_their_hole():
    first = build_schedule(job(drill=3.0)).stages[0]
    assert english(first.title) == "Lay ply 2, then ply 1 on it, screw from the front"
    assert "Drill 3\u00a0mm for every screw first." in [english(line) for line in first.action]
    assert not any("ail" in english(line) for line in first.action)
    assert not any(
        english(line).startswith("Drill") for line in build_schedule(job()).stages[0].action
    )
