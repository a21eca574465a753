"""A state of the fasteners in words: nothing is said of bolts that a girder does not have."""

from __future__ import annotations

from pathlib import Path

import pytest

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import english

SAMPLES = Path(__file__).parents[4] / "sample_jobs"


@pytest.mark.parametrize("name", ["three-ply-one-face", "two-ply-howe", "three-ply-upright"])
def test_bolts_are_spoken_of_where_there_are_any(name):
    schedule = build_schedule(read_job(SAMPLES / f"{name}.toml"))
    bolted = bool((schedule.fasteners.kind == FastenerKind.BOLT).any())
    words = [english(s.circumstances()) for s in schedule.shares.worst]
    words += [english(step) for c in schedule.checks if ".seat." in c.id for step in c.steps]
    assert words
    assert all(("bolts" in w) == bolted for w in words if "at first" in w or "after creep" in w)
    assert {s.state.bolts == "none" for s in schedule.shares.worst} == {not bolted}
