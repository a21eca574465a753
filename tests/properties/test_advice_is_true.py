"""What is said "would" work is true: every proposal of random refused girders is carried out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from job_mutations import as_text
from random_jobs import random_job

from girderply.errors import Finding
from girderply.jobfile.job import Job
from girderply.jobfile.reader import parse_job
from girderply.schedule.build import build_schedule

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
    change = finding.message.values["change"]
    if finding.where == "fastening.nail":
        return replace(job, fastening=replace(job.fastening, nail=change.values["nail"]))
    if finding.where == "fastening.transfer_by":
        return replace(job, fastening=replace(job.fastening, transfer_by="bolt"))
    plies = change.values["plies"]
    loads = tuple(replace(x, plies_reached=max(plies, x.plies_reached)) for x in job.loads)
    return replace(job, loads=loads)


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
        failed = [c for c in made.checks if not c.ok]
        assert not [c.id for c in failed if c.interface], finding.message
        if finding.code == "would-work":
            assert failed == [], finding.message
        else:
            hardest = max(failed, key=lambda c: c.utilisation)
            assert finding.message.values["hardest"] == hardest.id
            assert finding.message.values["n"] == len(failed)
