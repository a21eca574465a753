"""What is said "would" work is true: every proposal of random refused girders is carried out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from job_mutations import as_text
from jobs_in_text import Ask, job_text
from random_jobs import random_job

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule

HEAVY = ((4.2, 46), (6.0, 46), (8.0, 38))  # times the loads of a usual girder; first seed
SAID = ("would-work", "would-pass")


def heavy(seed: int, factor: float) -> Job:
    tables = random_job(seed)
    for load in tables["loads"]:
        for part in ("permanent", "variable"):
            load[part] = round(load[part] * factor, 2)
    return parse_job(as_text(tables))


def taken(job: Job, finding: Finding) -> Job:
    """The job with what a finding proposes."""
    change = dict(finding.message.values)["change"]
    if finding.where == "fastening.nail":
        return replace(job, fastening=replace(job.fastening, nail=dict(change.values)["nail"]))
    if finding.where == "fastening.transfer_by":
        return replace(job, fastening=replace(job.fastening, transfer_by="bolt"))
    plies = dict(change.values)["plies"]
    loads = tuple(replace(x, plies_reached=max(plies, x.plies_reached)) for x in job.loads)
    return replace(job, loads=loads)


def errors(made: Schedule) -> set[str]:
    """What is wrong besides failed checks: no proposal may bring more of it."""
    checks = {c.id for c in made.checks}
    return {f.code for f in made.findings if f.severity is Severity.ERROR and f.where not in checks}


FIXED = """
[[loads]]
id = "L"
chord = "BC1"
face = "front"
at = "3 m"
permanent = "24 kN"
plies_reached = 2
bracket = { width = 100, height = 150, fixing = { d = 4.0, length = 80, number = 12 } }
"""


def test_the_brackets_own_fixings_are_counted_among_what_would_still_fail():
    """12 nails of 4.0 mm cannot carry 1.35 x 24 kN into two plies, whatever joins the plies."""
    job = parse_job(job_text(Ask(plies=4, loads=FIXED)))
    (said,) = [f for f in build_schedule(job).findings if f.code in SAID]
    made = build_schedule(taken(job, said))
    failed = [c.id for c in made.checks if not c.ok]
    assert "L.fixing.P" in failed
    assert said.code == "would-pass"
    assert dict(said.message.values)["n"] == len(failed)


@pytest.mark.parametrize(("factor", "first"), HEAVY)
def test_every_proposal_does_what_is_said_of_it(factor, first):
    proposals = []
    for seed in range(first, first + 4):
        job = heavy(seed, factor)
        for finding in build_schedule(job).findings:
            if finding.code in SAID:
                proposals.append((job, finding))
    assert proposals, "a test that finds no proposal proves none"
    for job, finding in proposals:
        made = build_schedule(taken(job, finding))
        assert errors(made) <= errors(build_schedule(job)), finding.message
        failed = [c for c in made.checks if not c.ok]
        assert not [c.id for c in failed if c.interface], finding.message
        if finding.code == "would-work":
            assert failed == [], finding.message
        else:
            hardest = max(failed, key=lambda c: c.utilisation)
            assert dict(finding.message.values)["hardest"] == hardest.id
            assert dict(finding.message.values)["n"] == len(failed)
