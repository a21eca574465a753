"""What must pass and what is carried along a chord, as steps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from jobs_in_text import Ask, job_text

from girderply.jobfile.reader import read_job
from girderply.papers.engineer.transfer_diagram import (
    chart,
    loaded_chords,
    stretches,
    transfer_blocks,
)
from girderply.papers.page.furniture import room
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import ENGLISH

ROOT = Path(__file__).parents[4]
LOADS = """
[[loads]]
id = "A"
chord = "BC1"
face = "front"
at = "2.4 m"
permanent = "1 kN"
variable = "2 kN"
[[loads]]
id = "B"
chord = "BC1"
face = "back"
at = "7 m"
design = "900 N"
"""


@pytest.fixture(scope="module")
def hung(tmp_path_factory):
    path = tmp_path_factory.mktemp("hung") / "job.toml"
    path.write_text(job_text(Ask(plies=3, thickness=45.0, loads=LOADS)), encoding="utf-8")
    return build_schedule(read_job(path))


def test_steps_are_what_the_equal_share_asks_of_each_interface(hung):
    """Three plies: two thirds of a front load pass the first interface, one third the second.

    A: 1.35 x 1 + 1.5 x 2 = 4.35 kN from the front, 2900 N and 1450 N; B: 900 N from the back,
    300 N and 600 N. [EN 1990:2002, Eq. (6.10)] By hand. Zones: 600 mm either side of each load.
    """
    first, second = stretches(hung, "BC1", 1), stretches(hung, "BC1", 2)
    assert [s.demand for s in first] == pytest.approx([2900.0, 300.0])
    assert [s.demand for s in second] == pytest.approx([1450.0, 600.0])
    assert [s.check for s in first] == ["A.i1.PV", "B.i1.PV"]
    checks = {c.id: c for c in hung.checks}
    for s in (*first, *second):
        assert s.resistance == checks[s.check].resistance
        assert s.end - s.start == pytest.approx(1200.0)


def test_the_hardest_combination_of_a_zone_is_shown(hung):
    """Where the permanent load alone is made the harder one, it is the one that is drawn."""
    checks = tuple(replace(c, resistance=1.0) if c.id == "A.i1.P" else c for c in hung.checks)
    first = stretches(replace(hung, checks=checks), "BC1", 1)[0]
    assert first.check == "A.i1.P"
    assert first.demand == pytest.approx(2 / 3 * 1350.0)


def test_only_loaded_chords_have_a_diagram(hung):
    assert loaded_chords(hung) == ["BC1"]
    kept = transfer_blocks(ENGLISH, hung)[0]["blocks"]
    assert [b["kind"] for b in kept] == ["heading", "words", "image"]
    bare = replace(hung, girder=replace(hung.girder, loads=()), checks=())
    assert transfer_blocks(ENGLISH, bare) == []


def test_a_zone_that_fails_is_told_apart_in_the_legend(hung):
    good = chart(ENGLISH, hung, "BC1", 160.0)
    assert "force to transfer" in good
    assert "more than is carried" not in good
    checks = tuple(replace(c, resistance=c.demand / 2) for c in hung.checks)
    bad = chart(ENGLISH, replace(hung, checks=checks), "BC1", 160.0)
    assert "force to transfer, more than the resistance" in bad
    assert "200 %" in bad


def test_the_same_schedule_gives_the_same_svg(hung):
    assert chart(ENGLISH, hung, "BC1", 160.0) == chart(ENGLISH, hung, "BC1", 160.0)
    assert "<dc:date>" not in chart(ENGLISH, hung, "BC1", 160.0)


def test_the_diagram_of_six_plies_fits_its_page():
    """Height of the SVG in points; 1 pt is 25.4 / 72 mm."""
    schedule = build_schedule(read_job(ROOT / "sample_jobs" / "six-ply.toml"))
    svg = chart(ENGLISH, schedule, "BC1", room("A4").width)
    points = float(svg.partition('height="')[2].partition("pt")[0])
    assert 100.0 < points * 25.4 / 72 <= room("A4").height - 25.0
