"""What a paper is of, one girder or a delivery, as title block, flags and foot say it."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.jobfile.job import AssemblySpec, JobInfo
from girderply.jobfile.logo import Logo
from girderply.schedule.types import Schedule


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands on every page of a paper besides its content.

    Attributes:
        info: job, revision, people and units, as the title block has them.
        mark: of the girder, or of several.
        quantity: girders to make.
        assembly: how they are fastened, which the words of caution go by.
        content_hash: of the schedule, or over those of a delivery.
        failed: not for assembly.
        unconfirmed: something assumed has not been confirmed.
        plates_assumed: a nail plate was estimated.
        logo: of the firm that owns the paper.
    """

    info: JobInfo
    mark: str
    quantity: int
    assembly: AssemblySpec
    content_hash: str
    failed: bool
    unconfirmed: bool
    plates_assumed: bool
    logo: Logo | None = None


def heading_of(schedule: Schedule) -> Heading:
    """That of the papers of one girder."""
    return Heading(
        schedule.job.info,
        schedule.girder.mark,
        schedule.girder.quantity,
        schedule.job.assembly,
        schedule.content_hash,
        schedule.failed,
        bool(schedule.unconfirmed),
        schedule.plates_assumed,
        schedule.logo,
    )
