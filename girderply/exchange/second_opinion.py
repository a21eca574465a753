"""A second opinion on a schedule before anything is made from it.

What the second engine finds otherwise becomes a finding of its own, an error: every sheet is then
stamped, and no command says good.
"""

from __future__ import annotations

from dataclasses import replace

from girderply.errors import Finding, Severity
from girderply.schedule.contract import content_hash, to_contract
from girderply.schedule.seen_twice import seen_otherwise
from girderply.schedule.types import Schedule
from girderply.verify import verify
from girderply.wording import figures, said


def seconded(schedule: Schedule) -> Schedule:
    """The schedule as it is where the second engine agrees; else with what it found, as errors."""
    found = [
        Finding(
            "second-opinion",
            Severity.ERROR,
            schedule.girder.mark,
            said("finding.second_opinion", what=d.what, text=figures(d.text)),
            "",
            said("finding.second_opinion_tip"),
        )
        for d in verify(to_contract(schedule)).disagreements
    ]
    return _stamped(schedule, found)


def seconded_for_issue(schedule: Schedule) -> Schedule:
    """The same once the girder is decided again as it is seen from behind, too."""
    return _stamped(schedule, list(seen_otherwise(schedule)))


def _stamped(schedule: Schedule, found: list[Finding]) -> Schedule:
    if not found:
        return schedule
    told = replace(schedule, findings=(*found, *schedule.findings), content_hash="")
    return replace(told, content_hash=content_hash(told))
