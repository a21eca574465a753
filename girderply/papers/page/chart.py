"""What all charts along a chord have in common: settings, margins, axes, printing.

Margins are given in mm of paper and not sought by the library: the charts of a page line up, and
each is drawn once.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Voice, figures

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

FOOT, LBF = 304.8, 0.45359237 * 9.80665  # mm, N
_LEFT, _RIGHT, _BOTTOM = 23.0, 3.5, 12.0  # mm of paper around the panels
_OVER, _LEGEND = 2.0, 9.0  # mm of paper over them: plain, with a legend there
_BETWEEN = 4.0  # mm of paper from panel to panel
_LABEL = 15.0  # mm of paper from a panel to the middle of what is written beside it
SETTINGS: dict[Any, Any] = {  # matplotlib's stubs name every key
    "font.family": "DejaVu Sans",
    "font.size": 9.8,
    "axes.labelsize": 9.8,
    "legend.fontsize": 9.8,
    "text.parse_math": False,  # a name from a job is text
    "svg.fonttype": "none",
    "svg.hashsalt": "girderply",
    "axes.linewidth": 0.7,
    "hatch.linewidth": 0.6,
}


def panels_of(
    width: float, height: float, count: int = 1, *, with_legend: bool = False
) -> tuple[Figure, list[Axes]]:
    """A figure and its panels one under the other; inside the settings.

    Args:
        width: of the paper, mm.
        height: of the paper, mm.
        count: of panels.
        with_legend: leave room for a legend over the first panel.
    """
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width / 25.4, height / 25.4))
    top = _LEGEND if with_legend else _OVER
    each = (height - _BOTTOM - top - _BETWEEN * (count - 1)) / count
    panels = figure.subplots(
        count, 1, sharex=True, squeeze=False,
        gridspec_kw={
            "left": _LEFT / width, "right": 1 - _RIGHT / width,
            "bottom": _BOTTOM / height, "top": 1 - top / height, "hspace": _BETWEEN / each,
        },
    )[:, 0]  # fmt: skip
    for axes in panels:
        axes.yaxis.set_label_coords(-_LABEL / (width - _LEFT - _RIGHT), 0.5)
    return figure, list(panels)


def legend_over(figure: Figure, panels: list[Axes]) -> None:
    """What the signs of the panels mean, each once, over the first panel."""
    signs = {w: h for axes in panels for h, w in zip(*signs_of(axes), strict=True)}
    figure.legend(
        list(signs.values()), list(signs), loc="upper right", ncols=3, frameon=False,
        bbox_to_anchor=(1.0, 1.0), borderaxespad=0.0,
    )  # fmt: skip


def interface_label(voice: Voice, k: int, unit: str) -> str:
    """What stands beside the panel of an interface (1-based): its plies and the unit."""
    return voice.phrase("calculation.panel", first=k, second=k + 1) + "\n" + unit


def signs_of(axes: Axes) -> tuple[list[Artist], list[str]]:
    """What the legend of these axes would show."""
    handles, labels = axes.get_legend_handles_labels()
    return list(handles), list(labels)


def station_axis(voice: Voice, axes: Axes, schedule: Schedule, chord: str, most: int = 10) -> None:
    """The axis along a chord, from its hook end, with at most so many figures."""
    from matplotlib.ticker import MaxNLocator

    imperial = Show(schedule.job.info.units).imperial
    along = FOOT if imperial else 1000.0
    unit = voice.phrase("diagram.unit_ft" if imperial else "diagram.unit_m")
    axes.set_xlim(0, schedule.girder.member(chord).length / along)
    axes.xaxis.set_major_locator(MaxNLocator(most, integer=True))
    axes.set_xlabel(voice.phrase("diagram.station", member=chord, unit=unit))


def tidy(voice: Voice, axes: Axes) -> None:
    """Few figures, no frame where nothing is measured."""
    from matplotlib.ticker import MaxNLocator, ScalarFormatter

    class Figures(ScalarFormatter):
        """Figures with the decimal sign of the language."""

        def __call__(self, x: float, pos: int | None = None) -> str:
            return voice.told(figures(super().__call__(x, pos)))

    axes.yaxis.set_major_locator(MaxNLocator(3))
    axes.yaxis.set_major_formatter(Figures())
    open_frame(axes)


def open_frame(axes: Axes) -> None:
    """No line above and at the right."""
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


def svg_of(figure: Figure) -> str:
    """The figure as SVG, the same bytes every time; inside the settings.

    Printed by the canvas itself: `Figure.savefig` draws everything once more beforehand, for
    writers that cannot lay out while they draw.
    """
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    target = io.StringIO()
    canvas: Any = FigureCanvasSVG(figure)  # its printer is not typed in every version
    canvas.print_svg(target, metadata={"Date": None, "Creator": None})
    return target.getvalue()
