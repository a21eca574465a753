"""The overall elevation as a sheet, with its tables."""

from __future__ import annotations

from girderply.drawing.elevation import overall_elevation
from girderply.drawing.scales import scale_words
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.furniture import room
from girderply.papers.yard.elevation_tables import elevation_tables
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import phrase


def elevation(schedule: Schedule) -> Sheet:
    """The whole girder on its front face."""
    free = room("A3")
    drawing = overall_elevation(schedule, free.width, free.height - 14.0)
    scale = scale_words(drawing.scale)
    sheet = Sheet("elevation", phrase("elevation.title"), "A3", scale=scale)
    unit = Show(schedule.job.info.units).unit("length")
    under = phrase("elevation.under", plies=schedule.girder.plies, unit=unit)
    sheet.blocks += [
        b.title(phrase("sheet.girder_head", mark=schedule.girder.mark), under),
        b.picture(drawing),
        *elevation_tables(schedule),
    ]
    return sheet
