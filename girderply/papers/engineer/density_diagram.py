"""Nails and bolts per metre (per foot) along each chord, drawn by matplotlib."""

from __future__ import annotations

import math

import numpy as np

from girderply.model.girder import Member
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.chart import (
    FOOT,
    SETTINGS,
    open_frame,
    panels_of,
    station_axis,
    svg_of,
)
from girderply.papers.page.furniture import room
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import kind_words

_HEIGHT = 48.0  # mm of paper for one chord


def diagram(schedule: Schedule) -> Sheet:
    """One bar chart per chord: how many fasteners stand in each metre (foot)."""
    sheet = Sheet("diagram", phrase("diagram.title"), "A4")
    per = "foot" if Show(schedule.job.info.units).imperial else "metre"
    chords = [m for m in schedule.girder.members if m.role.is_chord]
    sheet.blocks += [
        b.title(phrase(f"diagram.per_{per}"), phrase("sheet.girder", mark=schedule.girder.mark)),
        b.words(phrase(f"diagram.how_{per}", many=kind_words(schedule.driven, 2))),
    ]
    width = room("A4").width
    sheet.blocks += [
        b.image(_chart(schedule, m, width), width, phrase(f"diagram.alt_{per}", member=m.id))
        for m in chords
    ]
    return sheet


def bins(length: float, step: float) -> np.ndarray:
    """Borders of the pieces of a chord, mm: every step, and the far end."""
    count = math.ceil(length / step - 1e-9)
    return np.append(np.arange(count) * step, max(length, step * (count - 1) + 1e-6))


def _chart(schedule: Schedule, member: Member, width: float) -> str:
    import matplotlib as mpl  # noqa: PLC0415
    from matplotlib.ticker import MaxNLocator  # noqa: PLC0415

    imperial = Show(schedule.job.info.units).imperial
    step = FOOT if imperial else 1000.0
    unit = phrase("diagram.unit_ft" if imperial else "diagram.unit_m")
    f = schedule.fasteners
    borders = bins(member.length, step)
    with mpl.rc_context(SETTINGS):
        figure, (axes,) = panels_of(width, _HEIGHT)
        bottom = np.zeros(len(borders) - 1)
        for kind, grey, marks in ((schedule.driven, "0.85", ""), ("bolt", "0.2", "///")):
            if not (f.kind == kind).any():
                continue
            mask = (f.member == member.id) & (f.kind == kind)
            counts, _ = np.histogram(np.minimum(f.station[mask], member.length), borders)
            axes.bar(
                borders[:-1] / step, counts, np.diff(borders) / step, bottom, align="edge",
                edgecolor="black", linewidth=0.7, label=kind_words(kind, 2), facecolor=grey,
                hatch=marks,
            )  # fmt: skip
            bottom = bottom + counts
        station_axis(axes, schedule, member.id, 12)
        axes.set_ylim(0, max(float(bottom.max()), 1.0) * 1.35)
        axes.yaxis.set_major_locator(MaxNLocator(5, integer=True))
        axes.set_ylabel(phrase("diagram.per", unit=unit))
        axes.legend(loc="upper right", ncols=2, frameon=False)
        open_frame(axes)
        return svg_of(figure)
