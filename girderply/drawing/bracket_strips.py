"""Chords with the outlines of their brackets and a running dimension to the middle of each."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from girderply.drawing import style
from girderply.drawing.dimension import Figure, Track, running_dimension
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Shape, Text
from girderply.drawing.strip_plan import RIGHT, Piece, StripPlan, strip_placement
from girderply.drawing.strip_timber import joint_names, timber
from girderply.drawing.strips import cuts
from girderply.model.girder import Member
from girderply.schedule.types import BracketMark, Schedule
from girderply.units.show import Printed
from girderply.wording import Voice

_GAP = 2.2


def bracket_strips(
    voice: Voice, schedule: Schedule, member: Member, plan: StripPlan, title: str
) -> list[Drawing]:
    """The pieces of one chord as seen on `plan.face`, with the brackets of that face named."""
    marks = [m for m in schedule.brackets if m.chord == member.id and m.face == plan.face]
    stations = sorted(m.station for m in marks)
    room = (plan.width - plan.caption - RIGHT) * plan.scale
    pieces = [Piece(member, a, b) for a, b in pairwise(cuts(member.length, room, stations))]
    return [_strip(voice, schedule, piece, marks, plan, title) for piece in pieces]


def _strip(
    voice: Voice,
    schedule: Schedule,
    piece: Piece,
    marks: Sequence[BracketMark],
    plan: StripPlan,
    title: str,
) -> Drawing:
    n, half = plan.scale, piece.member.depth / 2 / plan.scale
    name = f"brackets-{piece.member.id}-{plan.face}-{piece.start:.0f}"
    drawing = Drawing(name, plan.width, 0.0, title=title, scale=n)
    said = title if piece.first else voice.phrase("brackets.continued", title=title)
    drawing.add(Text((0.0, 2.6), said, style.NORMAL, "start", bold=True, tag="title"))
    own = [m for m in marks if (m.station >= piece.start or piece.first)
           and (m.station < piece.end or piece.last)]  # fmt: skip
    _, reach = _dimension(voice, schedule, piece, own, plan, 0.0)
    middle = 6.2 + reach + (_GAP if own else 0.0) + half
    drawing.height = middle + half + 3.2
    placement = strip_placement(piece, plan, middle)
    drawing.place(placement, *timber(schedule, piece, plan))
    for m in own:
        at = placement.point((m.station, m.flush_offset))
        wide = max(m.width / 2 / n, 1.0) + 0.8
        drawing.add(Line((at[0] - wide, at[1]), (at[0] + wide, at[1]), style.HEAVY, tag="seat"))
    shapes, _ = _dimension(voice, schedule, piece, own, plan, middle)
    drawing.add(*shapes)
    joint_names(drawing, schedule, piece, placement)
    return drawing


def _dimension(
    voice: Voice,
    schedule: Schedule,
    piece: Piece,
    own: Sequence[BracketMark],
    plan: StripPlan,
    middle: float,
) -> tuple[list[Shape], float]:
    """Running dimension above the chord to each bracket's middle, with the bracket's name."""
    placement = strip_placement(piece, plan, middle)
    show = Printed(schedule.job.info.units, voice)
    figures = [
        Figure(*placement.point((m.station, 0.0)), f"{m.load}  {show.station(m.station)}", True)
        for m in own
    ]
    xs = [placement.point((s, 0.0))[0] for s in (piece.start, piece.end)]
    y = middle - piece.member.depth / 2 / plan.scale - _GAP
    return running_dimension(
        figures, Track(y, xs[0], -1, min(xs) - 2.0, max(xs) + 4.0, piece.first)
    )
