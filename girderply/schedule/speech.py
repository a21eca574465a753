"""The voice of the papers of a girder, and of a delivery: in the language of its jobs."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.schedule.total import DeliveryError
from girderply.schedule.types import Schedule
from girderply.wording import DEFAULT, Voice


def own_voice(schedule: Schedule) -> Voice:
    """What the papers of one girder are told by: its job's language."""
    return Voice(schedule.job.info.language)


def their_voice(schedules: Sequence[Schedule]) -> Voice:
    """What the papers of a delivery are told by: they speak one language, that of all its jobs.

    Raises:
        DeliveryError: the jobs ask for different languages.
    """
    found = sorted({s.job.info.language for s in schedules})
    if len(found) > 1:
        raise DeliveryError(
            f"the jobs ask for {' and '.join(found)}, and the papers of one delivery speak one "
            "language; give the same language in each job, or choose one with --language"
        )
    return Voice(found[0] if found else DEFAULT)
