"""Two schedules of one girder side by side: what is more, less, elsewhere, and on which sheets."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from girderply.jobfile.job import Job
from girderply.layout.records import Fasteners
from girderply.schedule.estimate import estimate
from girderply.schedule.types import Schedule
from girderply.wording import Words

SAME_PLACE = 1.0  # mm; nearer than this a fastener has not moved


@dataclass(frozen=True, slots=True)
class Side:
    """What one schedule comes to.

    Attributes:
        specs: spec -> number. stages: number of them.
        utilisation: of the hardest check, percent: as it is said (0 for
            none); hardest: its id. failed: checks that fail. errors: findings that are errors.
            minutes: of work, by the rule set's estimate.
    """

    specs: dict[str, int]
    stages: int
    utilisation: float
    percent: int | None
    hardest: str
    failed: int
    errors: tuple[Words, ...]
    minutes: float = 0.0

    @property
    def good(self) -> bool:
        """True when it may be assembled."""
        return not self.failed and not self.errors


@dataclass(frozen=True, slots=True)
class Change:
    """Fasteners of one member: how many stay, are new, or are gone."""

    member: str
    kept: int
    added: int
    removed: int


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two schedules side by side.

    Attributes:
        changes: per member that differs. sheets: what must be printed anew, in the pack's order.
    """

    before: Side
    after: Side
    changes: tuple[Change, ...]
    sheets: tuple[str, ...]


def swapped(
    job: Job,
    *,
    nail: str | None = None,
    screw: str | None = None,
    bolt: str | None = None,
    washer: str | None = None,
    plies: int | None = None,
) -> Job:
    """The same job with other fasteners or another number of plies; None keeps what it has."""
    fastening, girder = job.fastening, job.girder
    if nail is not None:
        fastening = replace(fastening, nail=nail, screw=None)
    if screw is not None:
        fastening = replace(fastening, nail=None, screw=screw)
    if bolt is not None:
        fastening = replace(fastening, bolt=bolt, washer=washer)
    elif washer is not None:
        fastening = replace(fastening, washer=washer)
    if plies is not None:
        girder = replace(girder, plies=plies)
    return replace(job, fastening=fastening, girder=girder)


def compare(before: Schedule, after: Schedule) -> Comparison:
    """Hold two schedules of the same girder side by side."""
    one, two = before.fasteners, after.fasteners
    changes = []
    for member in before.girder.members:
        change = _change(
            member.id, one.select(one.member == member.id), two.select(two.member == member.id)
        )
        if change.added or change.removed:
            changes.append(change)
    return Comparison(_side(before), _side(after), tuple(changes), _sheets(before, after, changes))


def _side(schedule: Schedule) -> Side:
    worst = max(schedule.checks, key=lambda c: c.utilisation, default=None)
    return Side(
        specs=dict(sorted(Counter(schedule.fasteners.spec.tolist()).items())),
        stages=len(schedule.stages),
        utilisation=worst.utilisation if worst else 0.0,
        percent=worst.percent if worst else 0,
        hardest=worst.id if worst else "",
        failed=sum(not c.ok for c in schedule.checks),
        errors=tuple(
            f.message
            for f in schedule.findings
            if f.severity == "error" and f.code != "check-failed"
        ),
        minutes=estimate(schedule).minutes,
    )


def _change(member: str, one: Fasteners, two: Fasteners) -> Change:
    """Match fasteners of the same spec, stage and place."""
    kept = 0
    for stage in np.union1d(one.stage, two.stage):
        for spec in np.union1d(one.spec, two.spec):
            a = one.select((one.stage == stage) & (one.spec == spec))
            b = two.select((two.stage == stage) & (two.spec == spec))
            kept += _same_places(a, b)
    return Change(member, kept, len(two) - kept, len(one) - kept)


def _same_places(a: Fasteners, b: Fasteners) -> int:
    """How many of `a` stand where one of `b` stands."""
    if not len(a) or not len(b):
        return 0
    along = np.abs(a.station[:, None] - b.station[None, :]) <= SAME_PLACE
    across = np.abs(a.offset[:, None] - b.offset[None, :]) <= SAME_PLACE
    return int(np.any(along & across, axis=1).sum())


def _sheets(before: Schedule, after: Schedule, changes: list[Change]) -> tuple[str, ...]:
    """Sheets on which something differs."""
    if not changes and before.content_hash == after.content_hash:
        return ()
    sheets = ["cover", "elevation"]
    if changes:
        sheets.append("member elevations of " + ", ".join(c.member for c in changes))
    sheets += [f"stage {n}" for n in _stages(before, after)]
    sheets += ["fastening schedule", "tick-off sheet", "order list", "calculation"]
    return tuple(sheets)


def _stages(before: Schedule, after: Schedule) -> list[int]:
    """Stages whose words or fasteners differ."""
    numbers = sorted({s.number for s in (*before.stages, *after.stages)})
    return [n for n in numbers if _stage_key(before, n) != _stage_key(after, n)]


def _stage_key(schedule: Schedule, number: int) -> object:
    stage = next((s for s in schedule.stages if s.number == number), None)
    f = schedule.fasteners.select(schedule.fasteners.stage == number)
    return stage, f.spec.tolist(), f.member.tolist(), np.round(f.station, 1).tolist()
