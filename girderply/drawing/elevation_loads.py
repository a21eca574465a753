"""Hung loads of an elevation: arrows and names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from girderply.drawing import style, symbols
from girderply.drawing.dimension import (
    Figure,
    Track,
    level_figures,
    spread_figures,
)
from girderply.drawing.view import View, is_low, lowest
from girderply.model.girder import HungLoad


def draw_loads(view: View) -> float:
    """Arrows and names of the hung loads; the paper y below which it is free again."""
    bottom = view.placement.point((0.0, lowest(view)))[1] + 5.0
    for below in (True, False):
        some = [h for h in view.schedule.girder.loads if is_low(view.schedule, h.chord) == below]
        tails = [_load_arrow(view, load, below, some) for load in some]
        reach = _load_names(view, tails, below)
        if below and tails:
            bottom = max(y for _, y, _ in tails) + reach + 1.0
    return bottom


def _load_arrow(
    view: View, load: HungLoad, below: bool, others: Sequence[HungLoad]
) -> tuple[float, float, str]:
    """Draw one arrow; where its name is tied to it on paper, and the name.

    Of two loads at one place, on either face, the one on the back is drawn further out.
    """
    edge = symbols.edge_y([view.schedule.girder.member(load.chord)], load.x, lowest=below)
    near = 2.5 / view.scale
    second = load.face == "back" and any(
        o.face != "back" and abs(o.x - load.x) < near for o in others
    )
    tail = symbols.LOAD_TAIL * (2 if second else 1)
    level = load.y if edge is None else edge
    view.drawing.place(
        view.placement, *symbols.load_sign(load, view.face, level, view.scale, (below, second))
    )
    x, y = view.placement.point((load.x, level))
    side = 1 if below else -1
    view.obstacles.append(
        ((x - 1.2, y), (x + 1.2, y), (x + 1.2, y + side * tail), (x - 1.2, y + side * tail))
    )
    return x, y + side * (tail + 0.5), load.id


def _load_names(view: View, tails: list[tuple[float, float, str]], below: bool) -> float:
    """Names at the arrows' tails, upright, moved apart; how far they reach, mm."""
    if not tails:
        return 0.0
    side = 1 if below else -1
    level = max(y * side for _, y, _ in tails) * side
    figures = [Figure(x, y, name) for x, y, name in sorted(tails)]
    across = (2.0, view.drawing.width - 2.0)
    track = Track(level - side * 1.2, 0.0, side, *across)
    on_level = [replace(f, y=level) for f in figures]
    shapes, reach = level_figures(on_level, track, style.SMALL) or spread_figures(
        figures, level, side, across
    )
    view.drawing.add(*shapes)
    return reach
