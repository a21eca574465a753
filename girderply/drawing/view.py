"""An elevation in the making: scale and placement of a girder seen on one face."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.drawing.page import Drawing, Obstacles
from girderply.drawing.placement import Placement
from girderply.drawing.scales import FINE, fitting_scale
from girderply.model.girder import Member
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice

SIDE = 9.0  # mm kept free left and right of a girder


@dataclass(slots=True)
class View:
    """One elevation in the making."""

    schedule: Schedule
    drawing: Drawing
    placement: Placement
    face: str
    show: Printed
    obstacles: Obstacles

    @property
    def scale(self) -> float:
        """Paper mm for one model mm."""
        return self.placement.scale


def start_view(
    voice: Voice,
    schedule: Schedule,
    room: tuple[float, float],
    face: str,
    margins: tuple[float, float],
    name: str,
) -> View:
    """An empty view at the largest scale that fits; the back face comes mirrored.

    `room` is width and greatest height, `margins` are kept above and below the girder, paper mm.
    """
    girder = schedule.girder
    above, below = margins
    xy = np.concatenate([m.outline for m in girder.members])
    (x0, y0), (x1, y1) = xy.min(axis=0), xy.max(axis=0)
    free = (room[0] - 2 * SIDE, room[1] - above - below)
    n = fitting_scale(x1 - x0, y1 - y0, free, FINE)
    mirror = face == "back"
    left = (room[0] - (x1 - x0) / n) / 2
    origin = (left + x1 / n if mirror else left - x0 / n, above + y1 / n)
    drawing = Drawing(name, room[0], above + (y1 - y0) / n + below, scale=n)
    placement = Placement(origin, 1 / n, mirror=mirror)
    return View(
        schedule, drawing, placement, face, Printed(schedule.job.info.units, voice), Obstacles()
    )


def is_low(schedule: Schedule, chord: str) -> bool:
    """Whether this is a bottom chord, whose loads are drawn under it."""
    return schedule.girder.member(chord).role.value == "bottom chord"


def lowest(view: View) -> float:
    """The lowest y of any member, mm."""
    return float(min(m.outline[:, 1].min() for m in view.schedule.girder.members))


def bottom_chord(view: View) -> Member | None:
    """The longest bottom chord, or None where the girder has none."""
    chords = [m for m in view.schedule.girder.members if m.role.value == "bottom chord"]
    return max(chords, key=lambda m: m.length, default=None)
