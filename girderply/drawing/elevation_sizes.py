"""Dimensions of the overall elevation: stations of joints, length and height."""

from __future__ import annotations

import numpy as np

from girderply.drawing import style
from girderply.drawing.dimension import (
    Figure,
    Track,
    running_dimension,
)
from girderply.drawing.primitives import Dimension, Line
from girderply.drawing.view import View, bottom_chord
from girderply.model.girder import Member

AS_GIVEN = 0.5  # mm between a joint and the node that the job gives


def draw_sizes(view: View, low: float) -> None:
    """Running stations of the bottom chord's joints, overall length and height."""
    girder = view.schedule.girder
    xy = np.concatenate([m.outline for m in girder.members])
    (x0, y0), (x1, y1) = xy.min(axis=0), xy.max(axis=0)
    chord = bottom_chord(view)
    y = low + 3.0
    if chord is not None:
        shapes, reach = running_dimension(_joint_figures(view, chord, low), _track(view, chord, y))
        view.drawing.add(*shapes)
        y += reach + 1.0
    left, right = view.placement.point((x0, 0.0))[0], view.placement.point((x1, 0.0))[0]
    down = y + 4.0
    view.drawing.add(
        Line((left, down - 3), (left, down + 1.5), style.DIMENSION),
        Line((right, down - 3), (right, down + 1.5), style.DIMENSION),
        Dimension((left, down), (right, down), view.show.length(x1 - x0), 0.0, style.NORMAL),
    )
    a, b = view.placement.point((x1, y0)), view.placement.point((x1, y1))
    peak = view.placement.point((float(xy[xy[:, 1].argmax(), 0]), y1))
    if b[0] - peak[0] > 3.0:
        view.drawing.add(Line((peak[0] + 2.0, b[1]), (b[0] + 1.0, b[1]), style.DIMENSION))
    view.drawing.add(Dimension(a, (a[0], b[1]), view.show.length(y1 - y0), -7.0, style.NORMAL))
    view.drawing.height = down + 6.0
    view.obstacles.join(view.drawing.obstacles())


def _track(view: View, chord: Member, y: float) -> Track:
    origin = view.placement.point(chord.hook)[0]
    return Track(y, origin, 1, 2.0, view.drawing.width - 2.0, True)


def _joint_figures(view: View, chord: Member, y: float) -> list[Figure]:
    """Name and station of each joint; beside the end of the timber no name of a joint beyond it."""
    given = {n.id: n.x for n in view.schedule.job.girder.nodes}
    joints = {j.id: j for j in view.schedule.girder.joints}
    figures = []
    for joint in (joints[name] for name in chord.joints if name in joints):
        station = float(chord.to_local(np.array([[joint.x, joint.y]]))[0, 0])
        x = view.placement.point((joint.x, joint.y))[0]
        on_timber = abs(given.get(joint.id, joint.x) - joint.x) <= AS_GIVEN
        name = f"{joint.id}  " if on_timber else ""
        figures.append(Figure(x, y, f"{name}{view.show.station(station)}"))
    x = view.placement.point(chord.far)[0]
    if all(abs(f.x - x) > 0.5 for f in figures):
        figures.append(Figure(x, y, view.show.station(chord.length)))
    return figures
