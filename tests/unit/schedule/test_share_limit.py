"""A limit on the shares is a design goal: met by more fasteners, or said how near it came."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import english

SAMPLES = Path(__file__).parents[3] / "sample_jobs"


def made(name: str, limit: float | None):
    job = read_job(SAMPLES / f"{name}.toml")
    return build_schedule(replace(job, fastening=replace(job.fastening, share_limit=limit)))


def test_fasteners_are_added_until_the_limit_holds():
    usual = made("three-ply-pratt", None)
    most = usual.shares.at_bearings[0].share
    limit = round(most - 1.0 - 0.03, 3)
    goal = made("three-ply-pratt", limit)
    assert goal.shares.limit == limit
    assert goal.shares.at_bearings[0].share <= 1.0 + limit + 1e-9
    assert len(goal.fasteners) > len(usual.fasteners)
    assert not [f for f in goal.findings if f.code in ("share-limit", "ply-share")]


def test_a_limit_that_cannot_be_met_is_an_error_that_says_how_near():
    goal = made("three-ply-pratt", 0.01)
    (finding,) = [f for f in goal.findings if f.code == "share-limit"]
    assert finding.severity == "error"
    reached = goal.shares.at_bearings[0].share
    assert f"{reached:.1f}" in str(english(finding.message))
    assert goal.failed
