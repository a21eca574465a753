"""The girder as it hangs: centre of gravity, suggested slings, distances from the left end."""

from __future__ import annotations

import math

import numpy as np

from girderply.drawing import style, symbols
from girderply.drawing.dimension import Figure, Track, arrow, running_dimension
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Anchor, Circle, Dimension, Line, Polygon, Shape, Text
from girderply.drawing.view import View, start_view
from girderply.schedule.balance import Balance, SlingPoint, balance
from girderply.schedule.types import Schedule
from girderply.wording import Voice

_ABOVE, _BELOW = 20.0, 18.0
_SIGN = 2.2  # radius of the centre of gravity, paper mm


def lifting_elevation(voice: Voice, schedule: Schedule, width: float, most: float) -> Drawing:
    """Front face, outlines only, `width` x at most `most` paper mm."""
    view = start_view(voice, schedule, (width, most), "front", (_ABOVE, _BELOW), "lifting")
    upright = schedule.job.assembly.upright
    view.drawing.title = voice.phrase("handling.drawing_ply" if upright else "handling.drawing")
    for m in schedule.girder.members:
        outline = Polygon(symbols.as_points(m.outline), style.MEDIUM, 1.0, tag=m.id)
        view.drawing.place(view.placement, outline)
    found = balance(schedule.girder)
    xy = np.concatenate([m.outline for m in schedule.girder.members])
    corner = (float(xy[:, 0].min()), float(xy[:, 1].min()))
    sides: tuple[Anchor, Anchor] = ("end", "start")
    for sling, side in zip(found.slings or (), sides, strict=False):
        _sling(view, (sling, side), corner, _lifted(schedule))
    _centre(view, found, corner)
    _distances(voice, view, found, corner)
    return view.drawing


def _lifted(schedule: Schedule) -> float:
    """What hangs in the slings, kg: the girder, or one ply where each is lifted by itself."""
    upright = schedule.job.assembly.upright
    return schedule.masses.ply if upright else schedule.masses.total


def _sling(
    view: View, which: tuple[SlingPoint, Anchor], corner: tuple[float, float], mass: float
) -> None:
    """One sling, its words to the side that is away from the other one."""
    s, side = which
    x, y = view.placement.point((corner[0] + s.x, corner[1] + s.y))
    top = 8.0
    words = f"{s.joint}  {view.show.mass(s.share * mass)}"
    view.drawing.add(
        Circle((x, y), 1.6, style.HEAVY, tag="sling"),
        Line((x, y - 1.6), (x, top), style.HEAVY, tag="sling"),
        arrow((x, top - 1.0), 90.0, 3.0),
        Text(
            (x + (1.5 if side == "end" else -1.5), 3.2),
            words,
            style.SMALL,
            side,
            bold=True,
            mask=True,
            tag="sling",
        ),
    )


def _centre(view: View, found: Balance, corner: tuple[float, float]) -> None:
    """A circle with two opposite quarters black."""
    at = view.placement.point((corner[0] + found.x, corner[1] + found.y))
    low = view.placement.point((corner[0] + found.x, corner[1]))
    view.drawing.add(Circle(at, _SIGN, style.MEDIUM, 1.0, tag="centre"), *_quarters(at))
    words = view.show.length(found.y)
    if low[1] - at[1] > text_width(words, style.SMALL) + 3.0:  # else the words below say it
        view.drawing.add(Dimension(low, at, words, 7.0, tag="height"))


def _quarters(at: tuple[float, float]) -> list[Shape]:
    def pie(start: float) -> Polygon:
        angles = [math.radians(start + 15.0 * k) for k in range(7)]
        arc = [(at[0] + _SIGN * math.cos(a), at[1] - _SIGN * math.sin(a)) for a in angles]
        return Polygon((at, *arc), None, 0.0, tag="centre")

    return [pie(0.0), pie(180.0)]


def _distances(voice: Voice, view: View, found: Balance, corner: tuple[float, float]) -> None:
    """Running dimension from the left end: slings and the centre of gravity."""
    y = view.placement.point((0.0, corner[1]))[1] + 4.0
    start = view.placement.point((corner[0], 0.0))[0]
    own = voice.phrase("handling.mark_balance")
    marks = [(found.x, own, True)] + [(s.x, s.joint, False) for s in found.slings or ()]
    figures = [
        Figure(
            view.placement.point((corner[0] + x, 0.0))[0],
            y - 3.0,
            f"{name}  {view.show.length(x)}",
            stressed,
        )
        for x, name, stressed in marks
    ]
    figures.append(Figure(start, y - 3.0, voice.phrase("elevation.left_end")))
    shapes, reach = running_dimension(
        figures, Track(y, start, 1, 2.0, view.drawing.width - 2.0, True)
    )
    view.drawing.add(*shapes)
    view.drawing.height = y + reach + 2.0
