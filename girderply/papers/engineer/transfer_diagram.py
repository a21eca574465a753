"""What must pass and what is carried along each loaded chord, interface by interface."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
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
from girderply.papers.page.paper import Paper, room
from girderply.schedule.types import Schedule
from girderply.strength.checks import check_id
from girderply.strength.demand import demands
from girderply.units.show import Printed
from girderply.wording import Voice

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_PANEL = {1: 36.0, 2: 26.0}  # mm of paper for one interface, by how many there are
_FOOT_AND_HEAD = 18.0  # mm for the stations under it and the legend over it
_AROUND = 46.0  # mm on the page for those, the heading and the words


@dataclass(frozen=True, slots=True)
class Stretch:
    """What must pass in one zone at one interface, and what is carried there.

    Attributes:
        start, end: stations, mm. demand, resistance: N, of the hardest check there.
        check: its id.
    """

    start: float
    end: float
    demand: float
    resistance: float
    check: str


def loaded_chords(schedule: Schedule) -> list[str]:
    """Chords with a load that must pass between plies, in the order of the girder."""
    found = {d.zone.chord for d in demands(schedule.job, schedule.girder, schedule.rules)}
    return [m.id for m in schedule.girder.members if m.id in found]


def stretches(schedule: Schedule, chord: str, interface: int) -> list[Stretch]:
    """Zones of a chord at an interface by rising station, each with its hardest check."""
    checks = {c.id: c for c in schedule.checks}
    hardest: dict[str, tuple[float, Stretch]] = {}
    for d in demands(schedule.job, schedule.girder, schedule.rules):
        check = checks.get(check_id(d, interface))
        if d.zone.chord != chord or check is None:
            continue
        made = Stretch(d.zone.start, d.zone.end, check.demand, check.resistance, check.id)
        if check.utilisation > hardest.get(d.zone.id, (-1.0, made))[0]:
            hardest[d.zone.id] = (check.utilisation, made)
    return sorted((s for _, s in hardest.values()), key=lambda s: s.start)


def transfer_blocks(voice: Voice, schedule: Schedule, paper: Paper = "A4") -> list[Block]:
    """One diagram per loaded chord."""
    chords = loaded_chords(schedule)
    if not chords:
        return []
    width = room(paper).width
    words = b.words(voice.phrase("calculation.transfer_how"))
    images = [
        b.image(
            chart(voice, schedule, c, width),
            width,
            voice.phrase("calculation.transfer_alt", chord=c),
        )
        for c in chords
    ]
    return [b.keep(b.heading(voice.phrase("calculation.transfer")), words, images[0]), *images[1:]]


def chart(voice: Voice, schedule: Schedule, chord: str, width: float) -> str:
    """The diagram of one chord as SVG, `width` mm wide: a panel per interface."""
    import matplotlib as mpl

    n = schedule.girder.plies
    most = (room("A4").height - _AROUND) / (n - 1)
    height = (n - 1) * min(_PANEL.get(n - 1, 18.0), most) + _FOOT_AND_HEAD
    with mpl.rc_context(SETTINGS):
        figure, panels = panels_of(width, height, n - 1, with_legend=True)
        station_axis(voice, panels[-1], schedule, chord)
        for k, axes in enumerate(panels, 1):
            _panel(voice, schedule, chord, k, axes)
        legend_over(figure, panels)
        return svg_of(figure)


def _panel(voice: Voice, schedule: Schedule, chord: str, k: int, axes: Axes) -> None:
    show = Printed(schedule.job.info.units, voice)
    along, force = (FOOT, LBF) if show.imperial else (1000.0, 1000.0)
    found = stretches(schedule, chord, k)
    for i, s in enumerate(found):
        x = [s.start / along, s.end / along]
        fails = s.demand > s.resistance * (1 + 1e-6)
        words = voice.phrase("calculation.sign_fails" if fails else "calculation.sign_passes")
        grey = "0.45" if fails else "0.82"
        axes.fill_between(x, s.demand / force, color=grey, label=words)
        axes.stairs([s.demand / force], x, color="black", linewidth=0.7)
        axes.plot(
            x, [s.resistance / force] * 2, color="black", linewidth=2.0,
            solid_capstyle="butt", label="" if i else voice.phrase("calculation.sign_carried"),
        )  # fmt: skip
    most = max((max(s.demand, s.resistance) for s in found), default=force) / force
    axes.set_ylim(0, 1.4 * most)
    axes.set_ylabel(interface_label(voice, k, show.unit("force")))
    _hardest(voice, found, axes, (along, force))
    tidy(voice, axes)


def _hardest(voice: Voice, found: list[Stretch], axes: Axes, scales: tuple[float, float]) -> None:
    """How much of the hardest zone is used, over its steps."""
    ratios = [s.demand / s.resistance if s.resistance else float("inf") for s in found]
    if not ratios:
        return
    i = max(range(len(ratios)), key=lambda j: (round(ratios[j], 9), -j))
    s, along, force = found[i], *scales
    used = f"{100 * ratios[i]:.0f} %"
    words = used if s.resistance else voice.phrase("calculation.sign_nothing")
    middle, tip = (s.start + s.end) / 2 / along, max(s.demand, s.resistance) / force
    right = middle > 0.9 * axes.get_xlim()[1]
    axes.annotate(
        words, (middle, tip), (middle, 0.98), xycoords="data",
        textcoords=("data", "axes fraction"), ha="right" if right else "left", va="top",
        weight="bold", arrowprops={"arrowstyle": "-", "linewidth": 0.7, "shrinkA": 0, "shrinkB": 1},
    )  # fmt: skip
