"""Which sheets a girder has, in the order of the pack."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from girderply.documents.blocks import Sheet
from girderply.schedule.types import Schedule

Maker = Callable[[Schedule], Sheet]


def makers(schedule: Schedule) -> dict[str, Maker]:
    """Name -> what makes that sheet; nothing is made yet."""
    from girderply.documents import lists, plates
    from girderply.documents.diagram import diagram

    found: dict[str, Maker] = {
        "cover": lists.cover,
        "elevation": plates.elevation,
        "members": plates.members,
    }
    for stage in schedule.stages:
        found[f"stage-{stage.number}"] = partial(_stage, number=stage.number)
    found["schedule"] = lists.fastening_schedule
    if schedule.brackets:
        found["brackets"] = lists.brackets
    found |= {"tick-off": lists.tick_off, "order": lists.order, "diagram": diagram}
    return found


def _stage(schedule: Schedule, number: int) -> Sheet:
    from girderply.documents.plates import stage_sheet

    return stage_sheet(schedule, next(s for s in schedule.stages if s.number == number))


def sheet_names(schedule: Schedule) -> tuple[str, ...]:
    """Names of the sheets, in the order of the pack."""
    return tuple(makers(schedule))
