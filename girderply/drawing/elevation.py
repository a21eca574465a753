"""The girder seen on a face: overall elevation, and the elevation of one assembly stage."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from girderply.drawing import style, symbols
from girderply.drawing.elevation_loads import draw_loads
from girderply.drawing.elevation_names import name_joints, name_members
from girderply.drawing.elevation_sizes import draw_sizes
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Polygon, Text
from girderply.drawing.seen import points_to_clench
from girderply.drawing.view import View, bottom_chord, is_low, start_view
from girderply.schedule.types import Fasteners, Schedule, Stage
from girderply.wording import Voice
from girderply.wording.words import face_up_words, face_words

_ABOVE, _BELOW = 24.0, 50.0  # room over and under the overall elevation, mm


ABOVE_STAGE, BELOW_STAGE = 9.0, 13.0


def overall_elevation(voice: Voice, schedule: Schedule, width: float, most: float) -> Drawing:
    """Front face with every fastener, labels, loads, bearings, dimensions; paper mm.

    `most` is the greatest height that it may take; the drawing is as high as it needs.
    """
    above = _ABOVE if any(not is_low(schedule, h.chord) for h in schedule.girder.loads) else 8.0
    view = start_view(voice, schedule, (width, most), "front", (above, _BELOW), "elevation")
    view.drawing.title = voice.phrase("elevation.drawing")
    _members(view, style.OUTLINE)
    _fasteners(view, schedule.fasteners, strong=True)
    _supports(view)
    low = draw_loads(view)
    _hooks(view)
    draw_sizes(view, low)
    low_chord = bottom_chord(view)
    name_joints(view, low_chord.joints if low_chord else ())
    name_members(view)
    return view.drawing


def stage_elevation(
    voice: Voice, schedule: Schedule, stage: Stage, width: float, most: float
) -> Drawing:
    """What lies on the trestles in this stage, as seen: the back face comes mirrored."""
    name = f"stage-{stage.number}"
    view = start_view(
        voice, schedule, (width, most), stage.face_up, (ABOVE_STAGE, BELOW_STAGE), name
    )
    face_up = face_up_words(stage.face_up, stage.upright)
    view.drawing.title = voice.phrase(
        "elevation.stage_drawing", number=stage.number, face_up=face_up
    )
    _members(view, style.MEDIUM)
    bent = points_to_clench(schedule, stage)
    f = replace(schedule.fasteners, clench=bent)  # points of other stages are not shown bent
    now = (f.stage == stage.number) | bent
    _fasteners(view, f.select((f.stage < stage.number) & ~now), strong=False)
    _fasteners(view, f.select(now), strong=True)
    _hooks(view)
    _end_words(voice, view)
    name_joints(view)
    name_members(view)
    return view.drawing


def thumbnail(voice: Voice, schedule: Schedule, width: float, most: float) -> Drawing:
    """A small picture of the girder for the cover: members, loads, bearings, no lettering."""
    view = start_view(voice, schedule, (width, most), "front", (1.0, 6.0), "girder")
    view.drawing.title = voice.phrase("elevation.thumbnail")
    _members(view, style.MEDIUM)
    _supports(view)
    return view.drawing


def _members(view: View, pen: style.Pen) -> None:
    girder = view.schedule.girder
    for member in girder.members:
        view.drawing.place(
            view.placement, Polygon(symbols.as_points(member.outline), pen, 1.0, tag=member.id)
        )
        corners = member.to_elevation(
            np.array([(0, -1), (member.length, -1), (member.length, 1), (0, 1)])
            * np.array([1, member.depth / 2])
        )
        view.obstacles.append(view.placement.points(corners))  # type: ignore[arg-type]
    for plate in girder.plates:
        view.drawing.place(view.placement, *symbols.plate_sign(plate, view.scale))
    for load in girder.loads:
        view.drawing.place(view.placement, *symbols.bracket_sign(load, view.face))


def _fasteners(view: View, chosen: Fasteners, strong: bool) -> None:
    look = symbols.Look(view.face, strong, view.scale)
    view.drawing.place(view.placement, *symbols.fastener_signs(view.schedule, chosen, look))


def _supports(view: View) -> None:
    members = view.schedule.girder.members
    for bearing in view.schedule.girder.bearings:
        y = symbols.edge_y(members, bearing.x, lowest=True)
        view.drawing.place(view.placement, *symbols.bearing_sign(bearing, y or 0.0, view.scale))
        px, py = view.placement.point((bearing.x, y or 0.0))
        view.obstacles.append(((px - 3, py), (px + 3, py), (px + 3, py + 4.5), (px - 3, py + 4.5)))


def _hooks(view: View) -> None:
    for member in view.schedule.girder.members:
        view.drawing.place(view.placement, *symbols.hook_sign(member, view.scale))


def _end_words(voice: Voice, view: View) -> None:
    """Which end of the girder lies left and right, as people stand before the trestles."""
    xy = np.concatenate([m.outline for m in view.schedule.girder.members])
    y = view.drawing.height - 2.6
    face = face_words(view.face)
    words = voice.phrase("elevation.end_words", scale=view.drawing.scale, face=face)
    view.drawing.add(Text((view.drawing.width / 2, y), words, style.SMALL, tag="end"))
    left, right = voice.phrase("elevation.left_end"), voice.phrase("elevation.right_end")
    for x, words in ((xy[:, 0].min(), left), (xy[:, 0].max(), right)):
        half = text_width(words, style.SMALL) / 2
        end = view.placement.point((float(x), 0.0))[0]
        at = (min(max(end, half), view.drawing.width - half), y)
        view.drawing.add(Text(at, words, style.SMALL, tag="end"))
