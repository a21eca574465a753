"""The overall elevation as a sheet, with its tables."""

from __future__ import annotations

from girderply.documents import blocks as b
from girderply.documents.blocks import Sheet
from girderply.documents.furniture import room
from girderply.documents.tables import elevation_tables
from girderply.drawing.elevation import overall_elevation
from girderply.drawing.scales import scale_words
from girderply.schedule.types import Schedule
from girderply.units.show import Show


def elevation(schedule: Schedule) -> Sheet:
    """The whole girder on its front face."""
    free = room("A3")
    drawing = overall_elevation(schedule, free.width, free.height - 14.0)
    sheet = Sheet("elevation", "Overall elevation", "A3", scale=scale_words(drawing.scale))
    plies = f"{schedule.girder.plies} plies, front face (ply 1) seen; every fastener of all stages"
    plies += (
        "; dimensions in ft-in" if Show(schedule.job.info.units).imperial else "; dimensions in mm"
    )
    sheet.blocks += [
        b.title(f"Girder {schedule.girder.mark}", plies),
        b.picture(drawing),
        *elevation_tables(schedule),
    ]
    return sheet
