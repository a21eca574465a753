"""A girder decided once more as it is seen from behind: the same girder, so the same answer.

Left and right, front and back, the order of assembly and the way that loads are written are all
turned round; whatever the answer hangs on besides the girder itself shows as a difference.
"""

from __future__ import annotations

from dataclasses import replace

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.layout.brief import Brief
from girderply.model.build_girder import build_girder
from girderply.model.from_behind import OTHER, girder_from_behind, job_from_behind
from girderply.rules.change import mirrored
from girderply.schedule.build_schedule import decided
from girderply.schedule.types import Schedule
from girderply.wording import numeral, said

APART = 1e-4  # of the hardest utilisation: rounding


def schedule_from_behind(job: Job) -> Schedule:
    """Decide everything about a girder as it is seen from behind.

    Args:
        job: as it is written.
    """
    girder, found = build_girder(job)
    return decided(job_from_behind(job), girder_from_behind(girder), found, _from_the_other_face)


def _from_the_other_face(brief: Brief) -> Brief:
    """The plies laid down in the opposite order, and whoever reaches one face stands behind it."""
    rule, job = brief.ply_rule, brief.job
    assembly = replace(job.assembly, faces=OTHER[job.assembly.faces])
    stages = mirrored(rule.stages, rule.plies)
    return replace(
        brief, job=replace(job, assembly=assembly), ply_rule=replace(rule, stages=stages)
    )


def seen_otherwise(schedule: Schedule) -> tuple[Finding, ...]:
    """What is otherwise when the girder is decided from behind: an error, or nothing.

    Args:
        schedule: of a job that was read.
    """
    other = schedule_from_behind(schedule.job)
    one, two = hardest(schedule), hardest(other)
    if schedule.failed == other.failed and abs(one - two) <= APART * max(one, two):
        return ()
    key = "finding.seen_otherwise_fails" if other.failed else "finding.seen_otherwise"
    values = {name: numeral(100 * v, ".2f") for name, v in (("one", one), ("two", two))}
    text = said(key, **values)
    where, tip = schedule.girder.mark, said("finding.second_opinion_tip")
    return (Finding("seen-otherwise", Severity.ERROR, where, text, "", tip),)


def hardest(schedule: Schedule) -> float:
    """Utilisation of the hardest check; 0 where there is none."""
    return max((check.utilisation for check in schedule.checks), default=0.0)
