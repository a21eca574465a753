"""Which sheets a girder has, in the order of the pack, and their files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from girderply.errors import GirderplyError
from girderply.papers.engineer.calculation import calculation
from girderply.papers.engineer.density_diagram import diagram
from girderply.papers.engineer.sharing_sheet import sharing
from girderply.papers.inspector.tick_off import tick_off
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.own_language import in_its_language
from girderply.papers.page.typeset import render_made, svg_pages
from girderply.papers.supplier.cover import cover
from girderply.papers.supplier.fastening_table import fastening_schedule
from girderply.papers.supplier.order_list import order
from girderply.papers.yard.bracket_sheet import brackets
from girderply.papers.yard.elevation_sheet import elevation
from girderply.papers.yard.gauge_cards import gauge_cards
from girderply.papers.yard.handling_sheet import handling
from girderply.papers.yard.member_sheet import members
from girderply.papers.yard.stage_sheet import stage_sheet
from girderply.papers.yard.station_list import station_list
from girderply.papers.yard.stick_list import stick_list
from girderply.schedule.types import Schedule

Maker = Callable[[Schedule], Sheet]


class SheetError(GirderplyError, LookupError):
    """A sheet that this girder does not have."""


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


@in_its_language
def make_sheets(schedule: Schedule, names: Sequence[str] | None = None) -> list[Sheet]:
    """Sheets by name, in the order of the pack; None for all that a pack carries.

    Raises:
        SheetError: a name that is neither among `sheet_names` nor made on demand.
    """
    known = makers(schedule)
    if names is None:
        return [make(schedule) for make in known.values()]
    known |= on_demand(schedule)
    wrong = [n for n in names if n not in known]
    if wrong:
        raise SheetError(f"no sheet {wrong[0]!r}; there are {', '.join(known)}")
    return [make(schedule) for name, make in known.items() if name in names]


@in_its_language
def render_pdf(schedule: Schedule, sheets: Sequence[str] | None = None) -> bytes:
    """One PDF of the sheets named, or of all; the same schedule gives the same bytes.

    Raises:
        SheetError: a name that is not among `sheet_names`.
        OutputError: the page template could not be laid out.
    """
    return render_made(schedule, make_sheets(schedule, sheets))


@in_its_language
def render_svg(schedule: Schedule, sheet: str) -> dict[str, str]:
    """Name -> SVG of a full page, for each drawing of a sheet; empty for lists.

    Raises:
        SheetError: a name that is not among `sheet_names`.
    """
    return svg_pages(schedule, make_sheets(schedule, [sheet]))
