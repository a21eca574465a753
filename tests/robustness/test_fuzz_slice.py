"""A fixed slice of the spoilt jobs, and the monsters; the long run is `fuzz.py`, on demand."""

from __future__ import annotations

import time

import fuzz
import pytest
from job_mutations import monsters

from girderply.errors import JobError
from girderply.jobfile.reader import parse_job, read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import english

SECONDS = 60.0  # of this process: far above what is needed, far below a job that hangs


def test_spoilt_jobs_are_refused_or_built_and_never_break(monkeypatch):
    monkeypatch.setattr(fuzz, "SLOW", 60)
    tally = fuzz.run(range(100), drawn=0.0)
    assert tally.failures == {}
    # Damage of every depth: a slice that never gets past the reader would prove nothing.
    assert tally.reached.total() == 100
    assert tally.reached["unread"] > 20
    assert tally.reached["good"] > 10
    assert tally.reached["refused"] > 2
    assert tally.changes["scale a value"] > 20
    assert len([k for k in tally.changes if k.startswith("key ")]) > 20


def test_a_seed_gives_the_same_job_again():
    assert [fuzz.case(s) for s in range(40)] == [fuzz.case(s) for s in range(40)]
    assert len({str(fuzz.case(s)) for s in range(40)}) > 35


@pytest.mark.parametrize("name", monsters())
def test_monsters_are_refused_with_a_reason(name, tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(monsters()[name])
    start = time.process_time()
    with pytest.raises(JobError) as caught:
        read_job(path)
    assert time.process_time() - start < SECONDS
    for finding in caught.value.findings:
        assert finding.message
        assert english(finding.message).isprintable()
        assert len(english(finding.message)) < 1000


def test_a_job_of_the_greatest_size_ends_in_seconds():
    """240 loads on 60 panels and six plies: ten thousand nails."""
    start = time.process_time()
    schedule = build_schedule(parse_job(big_job(loads=240, panels=60, plies=6)))
    took = time.process_time() - start
    assert len(schedule.girder.loads) == 240
    assert len(schedule.girder.members) > 60
    assert len(schedule.fasteners) > 5000
    assert len(schedule.checks) > 500
    assert took < SECONDS


def test_more_loads_than_a_girder_may_have_are_refused_at_once():
    start = time.process_time()
    with pytest.raises(JobError, match="2000 loads hang on this girder"):
        build_schedule(parse_job(big_job(loads=2000, panels=60, plies=6)))
    assert time.process_time() - start < SECONDS


def big_job(*, loads: int, panels: int, plies: int) -> str:
    """A parallel-chord girder of 58 m with loads on both faces."""
    each = loads // 4  # a series has 500 at most
    step = 28_000 / (each - 1)
    series = "\n".join(
        f'[[loads]]\nid = "{face[0].upper()}{start}"\nchord = "BC1"\nface = "{face}"\n'
        f'at = "{start} mm"\nto = "{start + 28_001} mm"\nevery = "{step} mm"\n'
        'permanent = "20 N"\nvariable = "30 N"'
        for face in ("front", "back")
        for start in (500, 29_000)
    )
    return f"""
[job]
number = "BIG"
title = "Greatest size"
revision = "A"
date = "2026-05-05"
[girder]
mark = "B"
plies = {plies}
ply_thickness = "38 mm"
timber = "C24"
[girder.shape]
kind = "parallel chord"
span = "58 m"
height = "3000 mm"
panels = {panels}
[girder.sections]
top_chord = "220 mm"
bottom_chord = "220 mm"
web = "120 mm"
{series}
"""
