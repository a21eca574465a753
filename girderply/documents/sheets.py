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
from girderply.documents.gauge_card import gauge_cards
from girderply.documents.handling import handling
from girderply.documents.member_sheet import members
from girderply.documents.order import order
from girderply.documents.sharing import sharing
from girderply.documents.stage_sheet import stage_sheet
from girderply.documents.station_list import station_list
from girderply.documents.stick_list import stick_list
from girderply.documents.tick_off import tick_off
from girderply.schedule.types import Schedule

Maker = Callable[[Schedule], Sheet]


def makers(schedule: Schedule) -> dict[str, Maker]:
    """Name -> what makes that sheet; nothing is made yet."""
    found: dict[str, Maker] = {"cover": cover, "elevation": elevation, "members": members}
    found["handling"] = handling
    for s in schedule.stages:
        found[f"stage-{s.number}"] = partial(stage_sheet, stage=s)
        if (schedule.fasteners.stage == s.number).any():
            found[f"stations-{s.number}"] = partial(station_list, stage=s)
    found["schedule"] = fastening_schedule
    if schedule.brackets:
        found["brackets"] = brackets
    if schedule.patterns:
        found["gauge-card"] = gauge_cards
    found |= {"tick-off": tick_off, "order": order, "diagram": diagram}
    return found | {"calculation": calculation, "sharing": sharing}


def on_demand(schedule: Schedule) -> dict[str, Maker]:
    """Sheets that a pack does not carry, for they are long: a stick for each member."""
    used = set(schedule.fasteners.member.tolist())
    members_used = [m for m in schedule.girder.members if m.id in used]
    return {f"stick-{m.id}": partial(stick_list, member=m) for m in members_used}


def sheet_names(schedule: Schedule) -> tuple[str, ...]:
    """Names of the sheets, in the order of the pack."""
    return tuple(makers(schedule))
