"""The girder seen on a face: overall elevation, and the elevation of one assembly stage."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

import numpy as np

from girderply.drawing import style, symbols
from girderply.drawing.dimension import (
    Figure,
    Track,
    level_figures,
    running_dimension,
    spread_figures,
)
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Box, Drawing
from girderply.drawing.placement import Placement
from girderply.drawing.scales import fitting_scale
from girderply.drawing.seen import points_to_clench
from girderply.drawing.shapes import Dimension, Line, Point, Polygon, Text
from girderply.model.girder import HungLoad, Member
from girderply.schedule.types import Fasteners, Schedule, Stage
from girderply.units.show import Show

_SIDE = 14.0
_ABOVE, _BELOW = 24.0, 50.0  # room over and under the overall elevation, mm
_ABOVE_STAGE, _BELOW_STAGE = 9.0, 13.0


@dataclass(slots=True)
class _View:
    """One elevation in the making."""

    schedule: Schedule
    drawing: Drawing
    placement: Placement
    face: str
    show: Show
    obstacles: list[Box]

    @property
    def scale(self) -> float:
        return self.placement.scale


def overall_elevation(schedule: Schedule, width: float, most: float) -> Drawing:
    """Front face with every fastener, labels, loads, bearings, dimensions; paper mm.

    `most` is the greatest height that it may take; the drawing is as high as it needs.
    """
    above = _ABOVE if any(not _is_low(schedule, h.chord) for h in schedule.girder.loads) else 8.0
    view = _start(schedule, (width, most), "front", (above, _BELOW), "elevation")
    view.drawing.title = "Overall elevation, front face"
    _members(view, style.OUTLINE)
    _fasteners(view, schedule.fasteners, strong=True)
    _supports(view)
    low = _loads(view)
    _hooks(view)
    _dimensions(view, low)
    low_chord = _bottom_chord(view)
    _joint_labels(view, low_chord.joints if low_chord else ())
    _member_labels(view)
    return view.drawing


def stage_elevation(schedule: Schedule, stage: Stage, width: float, most: float) -> Drawing:
    """What lies on the trestles in this stage, as seen: the back face comes mirrored."""
    name = f"stage-{stage.number}"
    view = _start(schedule, (width, most), stage.face_up, (_ABOVE_STAGE, _BELOW_STAGE), name)
    view.drawing.title = f"Stage {stage.number}, {stage.face_up} face up"
    _members(view, style.MEDIUM)
    f = schedule.fasteners
    now = (f.stage == stage.number) | points_to_clench(schedule, stage)
    _fasteners(view, f.select((f.stage < stage.number) & ~now), strong=False)
    _fasteners(view, f.select(now), strong=True)
    _hooks(view)
    _end_words(view)
    _joint_labels(view)
    _member_labels(view)
    return view.drawing


def thumbnail(schedule: Schedule, width: float, most: float) -> Drawing:
    """A small picture of the girder for the cover: members, loads, bearings, no lettering."""
    view = _start(schedule, (width, most), "front", (1.0, 6.0), "girder")
    view.drawing.title = "The girder, front face"
    _members(view, style.MEDIUM)
    _supports(view)
    return view.drawing


def _start(
    schedule: Schedule,
    room: tuple[float, float],
    face: str,
    margins: tuple[float, float],
    name: str,
) -> _View:
    girder = schedule.girder
    above, below = margins
    xy = np.concatenate([m.outline for m in girder.members])
    (x0, y0), (x1, y1) = xy.min(axis=0), xy.max(axis=0)
    n = fitting_scale(x1 - x0, y1 - y0, (room[0] - 2 * _SIDE, room[1] - above - below))
    mirror = face == "back"
    left = (room[0] - (x1 - x0) / n) / 2
    origin = (left + x1 / n if mirror else left - x0 / n, above + y1 / n)
    drawing = Drawing(name, room[0], above + (y1 - y0) / n + below, scale=n)
    placement = Placement(origin, 1 / n, mirror=mirror)
    return _View(schedule, drawing, placement, face, Show(schedule.job.info.units), [])


def _members(view: _View, pen: style.Pen) -> None:
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


def _fasteners(view: _View, chosen: Fasteners, strong: bool) -> None:
    look = symbols.Look(view.face, strong, view.scale)
    view.drawing.place(view.placement, *symbols.fastener_signs(view.schedule, chosen, look))


def _supports(view: _View) -> None:
    members = view.schedule.girder.members
    for bearing in view.schedule.girder.bearings:
        y = symbols.edge_y(members, bearing.x, lowest=True)
        view.drawing.place(view.placement, *symbols.bearing_sign(bearing, y or 0.0, view.scale))
        px, py = view.placement.point((bearing.x, y or 0.0))
        view.obstacles.append(((px - 3, py), (px + 3, py), (px + 3, py + 4.5), (px - 3, py + 4.5)))


def _loads(view: _View) -> float:
    """Arrows and names of the hung loads; the paper y below which it is free again."""
    bottom = view.placement.point((0.0, _lowest(view)))[1] + 5.0
    for below in (True, False):
        some = [h for h in view.schedule.girder.loads if _is_low(view.schedule, h.chord) == below]
        tails = [_load_arrow(view, load, below, some) for load in some]
        reach = _load_names(view, tails, below)
        if below and tails:
            bottom = max(y for _, y, _ in tails) + reach + 1.0
    return bottom


def _load_arrow(
    view: _View, load: HungLoad, below: bool, others: Sequence[HungLoad]
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


def _load_names(view: _View, tails: list[tuple[float, float, str]], below: bool) -> float:
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


def _is_low(schedule: Schedule, chord: str) -> bool:
    return schedule.girder.member(chord).role.value == "bottom chord"


def _lowest(view: _View) -> float:
    return float(min(m.outline[:, 1].min() for m in view.schedule.girder.members))


def _hooks(view: _View) -> None:
    for member in view.schedule.girder.members:
        view.drawing.place(view.placement, *symbols.hook_sign(member, view.scale))


def _end_words(view: _View) -> None:
    """Which end of the girder lies left and right, as people stand before the trestles."""
    xy = np.concatenate([m.outline for m in view.schedule.girder.members])
    y = view.drawing.height - 2.6
    words = f"elevation 1:{view.drawing.scale}, {view.face} face"
    view.drawing.add(Text((view.drawing.width / 2, y), words, style.SMALL, tag="end"))
    for x, words in ((xy[:, 0].min(), "left end"), (xy[:, 0].max(), "right end")):
        at = (view.placement.point((float(x), 0.0))[0], y)
        view.drawing.add(Text(at, words, style.SMALL, tag="end"))


def _bottom_chord(view: _View) -> Member | None:
    chords = [m for m in view.schedule.girder.members if m.role.value == "bottom chord"]
    return max(chords, key=lambda m: m.length, default=None)


def _dimensions(view: _View, low: float) -> None:
    """Running stations of the bottom chord's joints, overall length and height."""
    girder = view.schedule.girder
    xy = np.concatenate([m.outline for m in girder.members])
    (x0, y0), (x1, y1) = xy.min(axis=0), xy.max(axis=0)
    chord = _bottom_chord(view)
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
    view.obstacles += view.drawing.obstacles()


def _track(view: _View, chord: Member, y: float) -> Track:
    origin = view.placement.point(chord.hook)[0]
    return Track(y, origin, 1, 2.0, view.drawing.width - 2.0, True)


def _joint_figures(view: _View, chord: Member, y: float) -> list[Figure]:
    joints = {j.id: j for j in view.schedule.girder.joints}
    figures = []
    for joint in (joints[name] for name in chord.joints if name in joints):
        station = float(chord.to_local(np.array([[joint.x, joint.y]]))[0, 0])
        x = view.placement.point((joint.x, joint.y))[0]
        figures.append(Figure(x, y, f"{joint.id}  {view.show.station(max(0.0, station))}"))
    x = view.placement.point(chord.far)[0]
    if all(abs(f.x - x) > 0.5 for f in figures):
        figures.append(Figure(x, y, view.show.station(chord.length)))
    return figures


def _joint_labels(view: _View, named: Sequence[str] = ()) -> None:
    """Names of the joints but those `named` already, outside the members where there is room."""
    view.obstacles += view.drawing.obstacles()
    for joint in (j for j in view.schedule.girder.joints if j.id not in named):
        at = view.placement.point((joint.x, joint.y))
        rays = [math.radians(a) for a in (90, 270, 60, 120, 240, 300, 0, 180, 30, 150)]
        spots = [
            Text(at, joint.id, style.SMALL, shift=(r * math.cos(a), -r * math.sin(a)), tag="joint")
            for r in (5.0, 6.5, 8.0, 10.0, 12.0)
            for a in rays
        ]
        view.drawing.label(spots, view.obstacles)


def _member_labels(view: _View) -> None:
    """Names beside the members, webs first since they have least room; none is left out.

    Webs have lettering of one height: the larger one where every name fits, else the smaller.
    """
    view.obstacles += view.drawing.obstacles()
    members = view.schedule.girder.members
    webs = [m for m in members if not m.role.is_chord]
    before, kept = len(view.drawing.shapes), len(view.obstacles)
    for height in (style.NORMAL, style.SMALL):
        if all([_label(view, m, height, _NEAR) for m in webs]):
            break
        if height == style.NORMAL:
            del view.drawing.shapes[before:], view.obstacles[kept:]
    named = {t.text for t in view.drawing.texts() if t.tag == "member"}
    for member in members:
        if member.id not in named:
            height = style.NORMAL if member.role.is_chord else style.SMALL
            far = chain(_spots(view, member, style.SMALL, _FAR), _anywhere(view, member))
            if not _label(view, member, height, _NEAR) and view.drawing.label(far, view.obstacles):
                _leader(view, member)


def _label(view: _View, member: Member, height: float, further: Sequence[float]) -> bool:
    if not view.drawing.label(_spots(view, member, height, further), view.obstacles):
        return False
    _leader(view, member)
    return True


def _anywhere(view: _View, member: Member) -> Iterator[Text]:
    """Places in growing circles about the middle of a member, for names with no room near it."""
    a, b = view.placement.point(member.hook), view.placement.point(member.far)
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    for radius in range(8, 90, 3):
        for k in range(24):
            turn = math.tau * k / 24
            at = (x + radius * math.cos(turn), y - radius * math.sin(turn))
            yield Text(at, member.id, style.SMALL, bold=True, tag="member")


_NEAR = (0.0, 1.0, 2.0)
_FAR = (3.0, 4.0, 5.5, 7.0, 10.0, 14.0, 18.0, 24.0)


def _leader(view: _View, member: Member) -> None:
    """A thin line to the member from a name that stands away from it."""
    text = view.drawing.shapes[-1]
    if not isinstance(text, Text):
        return
    a, b = view.placement.point(member.hook), view.placement.point(member.far)
    long2 = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2 or 1.0
    t = ((text.at[0] - a[0]) * (b[0] - a[0]) + (text.at[1] - a[1]) * (b[1] - a[1])) / long2
    t = min(max(t, 0.15), 0.85)
    foot = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
    away = math.dist(foot, text.at)
    if away < member.depth / 2 * view.scale + 7.0:
        return
    start = (foot[0] + (text.at[0] - foot[0]) * (1 - 2.6 / away),
             foot[1] + (text.at[1] - foot[1]) * (1 - 2.6 / away))  # fmt: skip
    view.drawing.shapes.insert(-1, Line(start, foot, style.DIMENSION, tag="leader"))


def _spots(view: _View, member: Member, height: float, further: Sequence[float]) -> Iterator[Text]:
    """Places for a member's name beside it, nearest to the middle first."""
    a, b = view.placement.point(member.hook), view.placement.point(member.far)
    length = math.dist(a, b) or 1.0
    n = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
    if n[1] > 0:
        n = (-n[0], -n[1])
    half = text_width(member.id, height, True) / 2
    clear = member.depth / 2 * view.scale + half * abs(n[0]) + height / 2 * abs(n[1]) + 1.4
    for more in further:
        for t in (0.5, *(0.5 + s * k / 25 for k in range(1, 9) for s in (-1, 1))):
            for side in (1, -1):
                at: Point = (
                    a[0] + t * (b[0] - a[0]) + side * n[0] * (clear + more),
                    a[1] + t * (b[1] - a[1]) + side * n[1] * (clear + more),
                )
                yield Text(at, member.id, height, bold=True, tag="member")
