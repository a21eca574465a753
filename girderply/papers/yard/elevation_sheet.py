"""The overall elevation as a sheet, with its tables."""

from __future__ import annotations

from girderply.drawing.elevation import overall_elevation
from girderply.drawing.legend import Shown, legend
from girderply.drawing.scales import scale_words
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.paper import Paper, room
from girderply.papers.yard.elevation_tables import elevation_tables
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import phrase


def elevation(schedule: Schedule, paper: Paper = "A3") -> Sheet:
    """The whole girder on its front face."""
    free = room(paper)
    drawing = overall_elevation(schedule, free.width, free.height - 74.0)
    scale = scale_words(drawing.scale)
    shown = Shown(
        schedule.fasteners, schedule.fasteners.select(schedule.fasteners.stage < 0), "front"
    )
    sheet = Sheet("elevation", phrase("elevation.title"), paper, scale=scale)
    unit = Show(schedule.job.info.units).unit("length")
    under = phrase("elevation.under", plies=schedule.girder.plies, unit=unit)
    sheet.blocks += [
        b.title(phrase("sheet.girder_head", mark=schedule.girder.mark), under),
        b.picture(drawing),
        b.picture(legend(schedule, free.width, shown)),
        *elevation_tables(schedule),
    ]
    return sheet
