"""Which sheets a girder has, in the order of the pack."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from girderply.documents.blocks import Sheet
from girderply.documents.brackets import brackets
from girderply.documents.calculation import calculation
from girderply.documents.cover import cover
from girderply.documents.diagram import diagram
from girderply.documents.elevation_sheet import elevation
from girderply.documents.fastening import fastening_schedule
from girderply.documents.member_sheet import members
from girderply.documents.order import order
from girderply.documents.sharing import sharing
from girderply.documents.stage_sheet import stage_sheet
from girderply.documents.tick_off import tick_off
from girderply.schedule.types import Schedule

Maker = Callable[[Schedule], Sheet]


def makers(schedule: Schedule) -> dict[str, Maker]:
    """Name -> what makes that sheet; nothing is made yet."""
    found: dict[str, Maker] = {"cover": cover, "elevation": elevation, "members": members}
    found |= {f"stage-{s.number}": partial(stage_sheet, stage=s) for s in schedule.stages}
    found["schedule"] = fastening_schedule
    if schedule.brackets:
        found["brackets"] = brackets
    found |= {"tick-off": tick_off, "order": order, "diagram": diagram}
    return found | {"calculation": calculation, "sharing": sharing}


def sheet_names(schedule: Schedule) -> tuple[str, ...]:
    """Names of the sheets, in the order of the pack."""
    return tuple(makers(schedule))
