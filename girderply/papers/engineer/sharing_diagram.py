"""Along each chord: what the springs pass from ply to ply, beside the design's demand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from girderply.bases.combining import Combination
from girderply.papers.page.chart import (
    FOOT,
    LBF,
    SETTINGS,
    interface_label,
    legend_over,
    panels_of,
    station_axis,
    svg_of,
    tidy,
)
from girderply.schedule.types import Schedule
from girderply.strength.checks import check_id
from girderply.strength.demand import Demand, demands
from girderply.strength.sharing import SharingReport
from girderply.units.show import Printed
from girderply.wording import Voice

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_PANEL = {1: 44.0, 2: 40.0, 3: 34.0, 4: 27.0}  # mm of paper for one interface, by how many
BIN = 300.0  # mm, longest piece of a chord over which the springs are summed


@dataclass(frozen=True, slots=True)
class Asked:
    """What the design lets pass in one zone at one interface, downward positive.

    Attributes:
        start, end: stations, mm. demand: signed, N/mm: from ply k to ply k + 1 positive.
        resistance: N/mm; NaN where there is no such check.
    """

    start: float
    end: float
    demand: float
    resistance: float


def chords_with_transfer(schedule: Schedule, report: SharingReport) -> list[str]:
    """Chords where the springs or the design pass anything, in the girder's order."""
    f = schedule.fasteners
    used = set(f.member.tolist()) if report.sharing is not None else set()
    return [m.id for m in schedule.girder.members if m.role.is_chord and m.id in used]


def down_flow(schedule: Schedule, report: SharingReport, chord: str) -> tuple[np.ndarray, ...]:
    """Edges (b + 1,) in mm and downward force (n - 1, b) in N/mm that the springs pass."""
    if report.sharing is None:
        raise ValueError("there is no answer to draw")
    flow = report.sharing.flow(schedule.girder, chord, BIN)
    angle = schedule.girder.member(chord).angle
    up = flow.force[..., 0] * np.sin(angle) + flow.force[..., 1] * np.cos(angle)
    return flow.edges, -up


def asked_of(schedule: Schedule, combination: Combination, chord: str, k: int) -> list[Asked]:
    """The design's demand at interface k in the combination that the springs were loaded with."""
    checks = {c.id: c for c in schedule.checks}
    found = []
    for d in demands(schedule.job, schedule.girder, schedule.rules):
        if d.zone.chord != chord or not _same(d, combination):
            continue
        check = checks.get(check_id(d, k))
        held = check.resistance / d.zone.length if check else float("nan")
        # by computed shares the check asks for less or more than equal shares would
        size = check.demand if check else d.S[k - 1]
        asked = math.copysign(size, d.shear[k - 1]) / d.zone.length
        found.append(Asked(d.zone.start, d.zone.end, asked, held))
    return sorted(found, key=lambda a: a.start)


def _same(demand: Demand, combination: Combination) -> bool:
    """All faces loaded, in the combination that the springs are loaded with."""
    return demand.id == f"{demand.zone.id}.{combination.code}"


def flow_chart(
    voice: Voice, schedule: Schedule, report: SharingReport, chord: str, width: float
) -> str:
    """The diagram of one chord as SVG, `width` mm wide: a panel per interface."""
    import matplotlib as mpl

    n = schedule.girder.plies
    height = (n - 1) * _PANEL.get(n - 1, 22.0) + 18.0
    with mpl.rc_context(SETTINGS):
        figure, panels = panels_of(width, height, n - 1, with_legend=True)
        edges, down = down_flow(schedule, report, chord)
        for k, axes in enumerate(panels, 1):
            asked = asked_of(schedule, report.combination, chord, k)
            _panel(voice, schedule, axes, k, (edges, down[k - 1], asked))
        station_axis(voice, panels[-1], schedule, chord)
        legend_over(figure, panels)
        return svg_of(figure)


def _panel(
    voice: Voice,
    schedule: Schedule,
    axes: Axes,
    k: int,
    data: tuple[np.ndarray, np.ndarray, list[Asked]],
) -> None:
    show = Printed(schedule.job.info.units, voice)
    along, unit = (FOOT, LBF / FOOT) if show.imperial else (1000.0, 1.0)
    edges, down, asked = data
    must_pass, carried = voice.phrase("sharing.sign_asked"), voice.phrase("sharing.sign_carried")
    axes.stairs(
        down / unit,
        edges / along,
        fill=True,
        color="0.75",
        label=voice.phrase("sharing.sign_springs"),
    )
    axes.stairs(down / unit, edges / along, color="black", linewidth=0.6)
    for i, a in enumerate(asked):
        x = [a.start / along, a.end / along]
        axes.plot(x, [a.demand / unit] * 2, color="black", linewidth=2.0,
                  solid_capstyle="butt", label="" if i else must_pass)  # fmt: skip
        held = np.copysign(a.resistance, a.demand) / unit
        if np.isfinite(held):
            axes.plot(x, [held] * 2, color="black", linewidth=1.0, linestyle=(0, (3, 1.5)),
                      label="" if i else carried)  # fmt: skip
    axes.axhline(0.0, color="black", linewidth=0.7)
    axes.set_ylabel(interface_label(voice, k, show.unit("line_force")))
    axes.margins(y=0.12)
    tidy(voice, axes)
