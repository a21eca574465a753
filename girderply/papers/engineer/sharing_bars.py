"""The share of each ply at each bearing as bars, beside the equal share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.drawing import style
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Polygon, Shape, Text
from girderply.schedule.types import Schedule
from girderply.strength.sharing import SharingReport
from girderply.units.show import Printed
from girderply.wording import Voice

_BAR, _HEAD, _GAP = 4.2, 11.0, 4.0  # mm: height of a bar, room for the heads, between bearings
_NAME, _VALUE = 13.0, 12.0  # mm kept for the ply's name and for the figure
_PER_ROW = 2


@dataclass(frozen=True, slots=True)
class _Cell:
    """One bearing: where it is drawn and how a share becomes a length."""

    left: float
    top: float
    unit: float  # mm for a share of 1


def share_bars(
    voice: Voice, schedule: Schedule, reports: Sequence[SharingReport], width: float
) -> Drawing:
    """Bars of every ply at every bearing; `reports` are bolts tight and, if any, with gap."""
    solved = [r.sharing for r in reports if r.sharing is not None]
    bearings, n = schedule.girder.bearings, schedule.girder.plies
    shares = np.nan_to_num(np.array([s.bearing_shares for s in solved]))
    tall = _HEAD + n * (_BAR * len(solved) + 2.2) + _GAP
    rows = -(-len(bearings) // _PER_ROW)
    drawing = Drawing("shares", width, rows * tall, voice.phrase("sharing.at_bearings"))
    each = (width - _GAP * (_PER_ROW - 1)) / _PER_ROW
    unit = (each - _NAME - _VALUE) / max(float(shares.max(initial=0.0)), 1.0 / n, 1e-9)
    for i in range(len(bearings)):
        row, column = divmod(i, _PER_ROW)
        cell = _Cell(column * (each + _GAP), row * tall, unit)
        _bearing(voice, schedule, drawing, cell, i, shares[:, :, i])
    return drawing


def _bearing(
    voice: Voice, schedule: Schedule, drawing: Drawing, cell: _Cell, i: int, shares: np.ndarray
) -> None:
    show, n = Printed(schedule.job.info.units, voice), schedule.girder.plies
    x = show.span(schedule.girder.bearings[i].x)
    head = voice.phrase("sharing.bearing", bearing=i + 1, x=x)
    drawing.add(
        Text((cell.left, cell.top + 2.0), head, style.SMALL, "start", bold=True, tag="head")
    )
    x0, equal = cell.left + _NAME, cell.left + _NAME + cell.unit / n
    top = cell.top + _HEAD
    words = voice.phrase("sharing.equal", share=show.percent(1 / n))
    drawing.add(Text((equal, cell.top + 6.4), words, style.SMALL, tag="equal"))
    y, figures = top, []
    for ply in range(n):
        bars, y = _ply(voice, cell, (y, ply), shares[:, ply], show)
        figures += [shape for shape in bars if isinstance(shape, Text)]
        drawing.add(*(shape for shape in bars if not isinstance(shape, Text)))
    drawing.add(Line((x0, top - 1.0), (x0, y), style.MEDIUM, tag="axis"))
    drawing.add(Line((equal, top - 2.0), (equal, y), style.HIDDEN, tag="equal"), *figures)


def _ply(
    voice: Voice, cell: _Cell, at: tuple[float, int], shares: np.ndarray, show: Printed
) -> tuple[list[Shape], float]:
    """The bars of one ply with their figures, and where the next one starts."""
    y, ply = at
    x0 = cell.left + _NAME
    middle = (x0 - 1.5, y + _BAR * len(shares) / 2)
    found: list[Shape] = [
        Text(middle, voice.phrase("sharing.ply", ply=ply + 1), style.SMALL, "end", tag="ply")
    ]
    for j, share in enumerate(shares.tolist()):
        x1 = x0 + max(share, 0.0) * cell.unit
        box = ((x0, y), (x1, y), (x1, y + _BAR - 0.4), (x0, y + _BAR - 0.4))
        spot = (x1 + 1.4, y + _BAR / 2 - 0.2)
        found += [
            Polygon(box, style.MEDIUM, 0.75 if j == 0 else 1.0, tag=f"bar:{ply + 1}"),
            Text(spot, show.percent(share), style.SMALL, "start", mask=True, tag="share"),
        ]
        y += _BAR
    return found, y + 2.2
