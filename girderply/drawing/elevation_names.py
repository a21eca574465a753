"""Names of members and joints in an elevation, where nothing else stands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain, islice

import numpy as np

from girderply.drawing import style
from girderply.drawing.lettering import text_box, text_width
from girderply.drawing.page import Box, Obstacles, boxes_overlap
from girderply.drawing.primitives import Line, Point, Text
from girderply.drawing.view import View
from girderply.model.girder import Member


def name_joints(view: View, named: Sequence[str] = ()) -> None:
    """Names of the joints but those `named` already, outside the members where there is room."""
    view.obstacles.join(view.drawing.obstacles())
    for joint in (j for j in view.schedule.girder.joints if j.id not in named):
        at = view.placement.point((joint.x, joint.y))
        rays = [math.radians(a) for a in (90, 270, 60, 120, 240, 300, 0, 180, 30, 150)]
        spots = [
            Text(at, joint.id, style.SMALL, shift=(r * math.cos(a), -r * math.sin(a)), tag="joint")
            for r in (5.0, 6.5, 8.0, 10.0, 12.0)
            for a in rays
        ]
        view.drawing.label(spots, view.obstacles)


def name_members(view: View) -> None:
    """Names beside the members, webs first since they have least room; none is left out.

    Webs have lettering of one height: the larger one where every name fits, else the smaller.
    """
    view.obstacles.join(view.drawing.obstacles())
    members = view.schedule.girder.members
    webs = [m for m in members if not m.role.is_chord]
    before, kept = len(view.drawing.shapes), len(view.obstacles)
    for height in (style.NORMAL, style.SMALL):
        if all([_label(view, m, height, _NEAR) for m in webs]):
            break
        if height == style.NORMAL:
            del view.drawing.shapes[before:]
            view.obstacles.cut(kept)
    named = {t.text for t in view.drawing.texts() if t.tag == "member"}
    for member in members:
        if member.id not in named:
            height = style.NORMAL if member.role.is_chord else style.SMALL
            if not _label(view, member, height, _NEAR):
                _label_afar(view, member)


def _label(view: View, member: Member, height: float, further: Sequence[float]) -> bool:
    if not view.drawing.label(_spots(view, member, height, further), view.obstacles):
        return False
    _leader(view, member)
    return True


def _label_afar(view: View, member: Member) -> None:
    """A name with a line to its member: short, over no other name and over few other members."""
    lettering = Obstacles(text_box(t) for t in view.drawing.texts())
    others = [_box_of(view, m) for m in view.schedule.girder.members if m is not member]

    def worth(text: Text) -> float:
        start, foot = _leader_line(view, member, text)
        line = _strip_of(start, foot)
        crossed = sum(boxes_overlap(line, box) for box in others)
        return math.dist(start, foot) + _A_MEMBER * crossed + _A_NAME * lettering.hit(line)

    far = chain(_spots(view, member, style.SMALL, _FAR), _anywhere(view, member))
    free = islice((t for t in far if view.drawing.has_room(t, view.obstacles)), _WEIGHED)
    if view.drawing.label(sorted(free, key=worth)[:1], view.obstacles):
        _leader(view, member)


def _box_of(view: View, member: Member) -> Box:
    corners = np.array([(0, -1), (member.length, -1), (member.length, 1), (0, 1)])
    a, b, c, d = view.placement.points(member.to_elevation(corners * (1, member.depth / 2)))
    return (a, b, c, d)


def _anywhere(view: View, member: Member) -> Iterator[Text]:
    """Places in growing circles about the middle of a member, for names with no room near it."""
    a, b = view.placement.point(member.hook), view.placement.point(member.far)
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    for radius in range(8, 90, 3):
        for k in range(24):
            turn = math.tau * k / 24
            at = (x + radius * math.cos(turn), y - radius * math.sin(turn))
            yield Text(at, member.id, style.SMALL, bold=True, tag="member")


_NEAR = (0.0, 1.0, 2.0)


_WEIGHED = 24  # places with room, the nearest first, of which the best is taken
_GAP, _THIN = 2.6, 0.3  # mm between a name and its line; half the room that a line takes
# mm of line that crossing a member, or a name, is worth
_A_MEMBER, _A_NAME = 8.0, 100.0
_FAR = (3.0, 4.0, 5.5, 7.0, 10.0, 14.0, 18.0, 24.0)


def _leader(view: View, member: Member) -> None:
    """A thin line to the member from a name that stands away from it."""
    text = view.drawing.shapes[-1]
    if not isinstance(text, Text):
        return
    start, foot = _leader_line(view, member, text)
    if math.dist(start, foot) + _GAP < member.depth / 2 * view.scale + 7.0:
        return
    view.drawing.shapes.insert(-1, Line(start, foot, style.DIMENSION, tag="leader"))
    view.obstacles.append(_strip_of(start, foot))


def _leader_line(view: View, member: Member, text: Text) -> tuple[Point, Point]:
    """From beside a name to the middle line of its member."""
    a, b = view.placement.point(member.hook), view.placement.point(member.far)
    long2 = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2 or 1.0
    t = ((text.at[0] - a[0]) * (b[0] - a[0]) + (text.at[1] - a[1]) * (b[1] - a[1])) / long2
    t = min(max(t, 0.15), 0.85)
    foot = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
    away = max(math.dist(foot, text.at), _GAP)
    part = 1 - _GAP / away
    start = (foot[0] + (text.at[0] - foot[0]) * part, foot[1] + (text.at[1] - foot[1]) * part)
    return start, foot


def _strip_of(a: Point, b: Point) -> Box:
    """A narrow box along a line."""
    long = math.dist(a, b) or 1.0
    x, y = (a[1] - b[1]) / long * _THIN, (b[0] - a[0]) / long * _THIN
    return ((a[0] - x, a[1] - y), (b[0] - x, b[1] - y), (b[0] + x, b[1] + y), (a[0] + x, a[1] + y))


def _spots(view: View, member: Member, height: float, further: Sequence[float]) -> Iterator[Text]:
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
