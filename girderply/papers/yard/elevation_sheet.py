"""The overall elevation as a sheet, with its tables."""

from __future__ import annotations

from girderply.drawing.elevation import overall_elevation
from girderply.drawing.legend import Shown, legend
from girderply.drawing.scales import scale_words
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.furniture import first_room
from girderply.papers.page.heading import heading_of
from girderply.papers.page.paper import Paper, room
from girderply.papers.yard.elevation_tables import elevation_tables
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice

# mm that are left for all but the drawing at first; title and headings, a row of the table of
# members; the least height of a drawing, and by how much less is tried.
_OTHERS, _AROUND, _ROW, _LEAST, _STEP = 74.0, 27.0, 5.0, 80.0, 8.0


def elevation(voice: Voice, schedule: Schedule, paper: Paper = "A3") -> Sheet:
    """The whole girder on its front face."""
    free, f = room(paper), schedule.fasteners
    sheet = Sheet("elevation", voice.phrase("elevation.title"), paper)
    signs = legend(
        voice, schedule, free.width, Shown(f, f.select(f.stage < 0), "front", loads=True)
    )
    high = free.height - _OTHERS
    drawing = overall_elevation(voice, schedule, free.width, high)
    rows = _AROUND + (len(schedule.girder.members) + 1) * _ROW + signs.height
    most = first_room(voice, heading_of(schedule), sheet).height - rows
    while drawing.height > most and high > _LEAST:  # smaller, so that the tables end on the sheet
        high -= _STEP
        drawing = overall_elevation(voice, schedule, free.width, high)
    sheet.scale = scale_words(drawing.scale)
    unit = Printed(schedule.job.info.units, voice).unit("length")
    under = voice.phrase("elevation.under", plies=schedule.girder.plies, unit=unit)
    sheet.blocks += [
        b.title(voice.phrase("sheet.girder_head", mark=schedule.girder.mark), under),
        b.picture(drawing),
        b.picture(signs),
        *elevation_tables(voice, schedule),
    ]
    return sheet
