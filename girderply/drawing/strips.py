"""Members laid level as strips, each nail and bolt with its station from the hook end.

A strip shows a member as it lies before the people who nail it: turned level by the smaller
angle, seen on the face that is up, so that upper edge and hook end are where they see them.
Long members come in pieces, cut between fasteners, with break lines; stations run on from piece
to piece. Each row of each stage has a running dimension of its own: rows of the upper half are
written above the strip, the others below.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from shapely import Polygon as Area
from shapely import box as rectangle
from shapely.geometry.base import BaseGeometry

from girderply.drawing import style, symbols
from girderply.drawing.dimension import Figure, Track, running_dimension
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.placement import Placement
from girderply.drawing.shapes import Line, Point, Polygon, Polyline, Shape, Text, moved
from girderply.model.girder import Member
from girderply.schedule.types import Fasteners, Schedule
from girderply.units.show import Show

_RIGHT = 7.0
_TIER_GAP = 2.2
_LEAST_TITLE = 94.0


@dataclass(frozen=True, slots=True)
class StripPlan:
    """What strips show.

    Attributes:
        scale: n of 1:n. face: seen face. width: paper mm that a strip may take, all in.
        stages: numbers of the stages whose fasteners are shown, or None for all.
        named: captions name the stage of each row.
        joints: plates carry the names of their joints (not where one strip serves two members).
    """

    scale: int
    face: str
    width: float
    stages: tuple[int, ...] | None = None
    named: bool = True
    joints: bool = True

    @property
    def caption(self) -> float:
        """Width of the column of captions, paper mm."""
        return 30.0 if self.named else 18.0


@dataclass(slots=True)
class Block:
    """One strip as a block of shapes with its own origin, paper mm."""

    width: float
    height: float = 0.0
    shapes: list[Shape] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Piece:
    member: Member
    start: float
    end: float

    @property
    def first(self) -> bool:
        return self.start <= 0.0

    @property
    def last(self) -> bool:
        return self.end >= self.member.length

    def holds(self, chosen: Fasteners) -> Fasteners:
        """The fasteners that are drawn on this piece; each is on one piece and no other."""
        mask = (chosen.station >= self.start) | self.first
        return chosen.select(mask & ((chosen.station < self.end) | self.last))


def strip_blocks(
    schedule: Schedule, member: Member, plan: StripPlan, title: tuple[str, str]
) -> list[Block]:
    """The pieces of one member; `title` is its name (stressed) and the words after it."""
    f = schedule.fasteners
    mask = f.member == member.id
    if plan.stages is not None:
        mask = mask & np.isin(f.stage, plan.stages)
    chosen = f.select(mask)
    room = (plan.width - plan.caption - _RIGHT) * plan.scale
    cuts = _cuts(member.length, room, sorted(chosen.station.tolist()))
    pieces = [_Piece(member, a, b) for a, b in pairwise(cuts)]
    return [_block(schedule, piece, chosen, plan, title) for piece in pieces]


def _cuts(length: float, room: float, stations: Sequence[float]) -> list[float]:
    """Where a member is cut into pieces, mm: midway between fasteners, pieces about alike."""
    count = math.ceil(length / room - 1e-9)
    cuts = [0.0]
    for k in range(1, count):
        wanted = length * k / count
        low, high = max(cuts[-1] + 1.0, length - (count - k) * room), cuts[-1] + room
        gaps = [
            (a + b) / 2
            for a, b in pairwise(stations)
            if b - a > 20.0 and low <= (a + b) / 2 <= high
        ]
        cuts.append(min(gaps, key=lambda g: abs(g - wanted), default=wanted))
    return [*cuts, length]


def _block(
    schedule: Schedule, piece: _Piece, chosen: Fasteners, plan: StripPlan, title: tuple[str, str]
) -> Block:
    n = plan.scale
    block = Block(plan.caption + (piece.end - piece.start) / n + _RIGHT)
    block.shapes += _title(piece, title, block)
    inside = piece.holds(chosen)
    top = block.height + _tiers(schedule, piece, inside, plan, above=True).depth
    half = piece.member.depth / 2 / n
    placement = _placement(piece, plan, top + half)
    up, down = (_tiers(schedule, piece, inside, plan, above, placement) for above in (True, False))
    block.height = top + 2 * half + down.depth + 2.4
    body = Drawing("strip", block.width, block.height)
    body.place(placement, *_timber(schedule, piece, plan))
    body.add(*up.shapes, *down.shapes)
    look = symbols.Look(plan.face, True, 1 / n)
    body.place(placement, *symbols.local_signs(schedule, inside, look))
    if plan.joints:
        _joint_names(body, schedule, piece, placement)
    block.shapes += body.shapes
    return block


def _title(piece: _Piece, title: tuple[str, str], block: Block) -> list[Shape]:
    """The member's name and what is to know about it, in as many lines as the width allows."""
    name, words = title
    block.width = max(block.width, _LEAST_TITLE)
    room = block.width - 5.0
    names = wrap(name if piece.first else f"{name} continued", room, style.NORMAL, bold=True)
    shapes: list[Shape] = []
    for k, line in enumerate(names):
        at = (0.0, 2.6 + 5.4 * k)
        shapes.append(Text(at, line, style.NORMAL, "start", bold=True))
    block.height = 5.4 * len(names) + 0.2
    if piece.first and words:
        shapes += _words(words, names, block)
    return shapes


def _words(words: str, names: Sequence[str], block: Block) -> list[Shape]:
    """Words beside the name where it is short, else below it; the block grows with them."""
    beside = text_width(names[-1], style.NORMAL, True) + 3.0
    left = beside if len(names) == 1 and beside < block.width / 3 else 0.0
    top = 2.6 if left else block.height + 2.0
    lines = wrap(words, block.width - 5.0 - left)
    block.height = max(block.height, top + 4.3 * (len(lines) - 1) + 3.0)
    return [Text((left, top + 4.3 * k), line, style.SMALL, "start") for k, line in enumerate(lines)]


def _placement(piece: _Piece, plan: StripPlan, middle: float) -> Placement:
    """Stations and offsets to paper; the piece begins right of the captions."""
    n = plan.scale
    turned = math.cos(piece.member.angle) < -1e-6
    mirror = plan.face == "back"
    leftward = turned != mirror  # stations run from right to left
    x = piece.end / n if leftward else -piece.start / n
    return Placement((plan.caption + x, middle), 1 / n, 180.0 if turned else 0.0, mirror)


@dataclass(slots=True)
class _Tiers:
    """Running dimensions on one side of a strip, and how deep they reach, mm."""

    depth: float = 0.0
    shapes: list[Shape] = field(default_factory=list)


def _tiers(
    schedule: Schedule,
    piece: _Piece,
    inside: Fasteners,
    plan: StripPlan,
    above: bool,
    placement: Placement | None = None,
) -> _Tiers:
    placement = placement or _placement(piece, plan, 0.0)
    side = -1 if above else 1
    edge = placement.origin[1] + side * piece.member.depth / 2 / plan.scale
    xs = [placement.point((s, 0.0))[0] for s in (piece.start, piece.end)]
    tiers = _Tiers()
    for caption, chosen in _groups(inside, plan, placement, above):
        y = edge + side * (tiers.depth + _TIER_GAP)
        track = Track(y, xs[0], side, min(xs) - 2.0, max(xs) + 4.0, piece.first)
        shapes, reach = running_dimension(_figures(schedule, chosen, placement), track)
        tiers.shapes += shapes
        tiers.shapes.append(
            Text((plan.caption - 3.5, y + side * 2.4), caption, style.SMALL, "end", tag="caption")
        )
        tiers.depth += _TIER_GAP + reach
    return tiers


def _groups(
    inside: Fasteners, plan: StripPlan, placement: Placement, above: bool
) -> list[tuple[str, Fasteners]]:
    """Fasteners of each tier of this side with its caption, nearest to the strip first.

    A row goes to the side that it is on in the whole; bolts are written above.
    """
    upward = 1.0 if math.isclose(placement.angle, 0.0) else -1.0
    groups: dict[tuple[bool, int, int], tuple[str, Fasteners]] = {}
    for bolt, stage, row in sorted(set(_tier_keys(inside))):
        mask = ((inside.kind == "bolt") == bolt) & (inside.stage == stage)
        chosen = inside.select(mask & ((inside.row == row) | bolt))
        if (bolt or upward * float(chosen.offset.mean()) > 2.0) == above:
            caption = _caption(bolt, stage, row, plan)
            groups[bolt, stage, -row if above else row] = (caption, chosen)
    return [groups[k] for k in sorted(groups)]


def _tier_keys(inside: Fasteners) -> Iterator[tuple[bool, int, int]]:
    """(bolt, stage, row) of each fastener; all bolts of a stage share one tier."""
    columns = zip(inside.kind.tolist(), inside.stage.tolist(), inside.row.tolist(), strict=True)
    for kind, stage, row in columns:
        bolt = kind == "bolt"
        yield bolt, stage, 0 if bolt else row


def _caption(bolt: bool, stage: int, row: int, plan: StripPlan) -> str:
    what = "bolts" if bolt else f"row {row}"
    return f"st. {stage}  {what}" if plan.named else what


def _figures(schedule: Schedule, chosen: Fasteners, placement: Placement) -> list[Figure]:
    show = Show(schedule.job.info.units)
    figures = []
    for i in range(len(chosen)):
        x, y = placement.point((chosen.station[i], chosen.offset[i]))
        text = show.station(float(chosen.station[i]))
        bolt = chosen.kind[i] == "bolt"
        if bolt:
            text = f"{str(chosen.id[i]).rpartition('-')[2]}  {text}"
        figures.append(Figure(x, y, text, bold=bolt))
    return figures


def _timber(schedule: Schedule, piece: _Piece, plan: StripPlan) -> list[Shape]:
    """Outline, centreline, plates, brackets and break lines of one piece, in local mm."""
    member, n = piece.member, plan.scale
    box = (piece.start - 1.0 * piece.first, piece.end + 1.0 * piece.last)
    shapes: list[Shape] = [
        Polygon(ring, style.MEDIUM, 1.0, tag="timber")
        for ring in _clip(symbols.as_points(member.to_local(member.outline)), box)
    ]
    shapes.append(Line((piece.start, 0.0), (piece.end, 0.0), style.CENTRE))
    for plate in schedule.girder.plates:
        for ring in _clip_to_member(member.to_local(plate.outline), member, box):
            pen = style.PLATE_ASSUMED if plate.assumed else style.PLATE
            shapes.append(Polygon(ring, pen, tag="plate"))
            if not plate.assumed:
                shapes += symbols.hatch(ring, 2.0 * n)
    for load in schedule.girder.loads:
        if load.chord == member.id and load.footprint is not None:
            pen = style.BRACKET if load.face == plan.face else style.BRACKET_BACK
            for ring in _clip(symbols.as_points(member.to_local(load.footprint)), box):
                shapes.append(Polygon(ring, pen, tag="bracket"))
    shapes += [_break(s, member.depth, n) for s in _broken(piece)]
    if piece.first:
        shapes += _hook(member, n)
    return shapes


def _joint_names(body: Drawing, schedule: Schedule, piece: _Piece, placement: Placement) -> None:
    """Names of the joints on their plates, where they are clear of every fastener."""
    obstacles = body.obstacles()
    for plate in schedule.girder.plates:
        local = piece.member.to_local(plate.outline)
        for ring in _clip_to_member(local, piece.member, (piece.start, piece.end)):
            xs, ys = [p[0] for p in ring], [p[1] for p in ring]
            wide = (max(xs) - min(xs)) * placement.scale
            high = (max(ys) - min(ys)) * placement.scale
            if wide < text_width(plate.joint, style.SMALL) + 1.2 or high < style.SMALL + 1.0:
                continue
            spots = [
                Text(
                    placement.point((min(xs) + u * (max(xs) - min(xs)),
                                     min(ys) + v * (max(ys) - min(ys)))),
                    plate.joint, style.SMALL, mask=True, tag="joint",
                )
                for v in (0.5, 0.7, 0.3) for u in (0.5, 0.35, 0.65)
            ]  # fmt: skip
            body.label(spots, obstacles)


def _hook(member: Member, n: int) -> list[Shape]:
    half, out = member.depth / 2 + 1.0 * n, 0.9 * n
    return [
        Line((-out, -half), (-out, half), style.HEAVY, tag="hook"),
        Polygon(((2.8 * n, 0.0), (0.0, 1.0 * n), (0.0, -1.0 * n)), None, 0.0, tag="hook"),
    ]


def _broken(piece: _Piece) -> list[float]:
    ends = [] if piece.first else [piece.start]
    return ends if piece.last else [*ends, piece.end]


def _break(station: float, depth: float, n: int) -> Polyline:
    """A zigzag break line across the member."""
    half, out, jag = depth / 2 + 2.0 * n, 1.2 * n, 1.5 * n
    points = ((0, half), (0, jag), (out, jag / 2), (-out, -jag / 2), (0, -jag), (0, -half))
    return Polyline(tuple((station + x, y) for x, y in points), style.BREAK, tag="break")


def _clip(outline: tuple[Point, ...], box: tuple[float, float]) -> list[tuple[Point, ...]]:

    return _rings(outline, rectangle(box[0], -1e6, box[1], 1e6))


def _clip_to_member(
    outline: np.ndarray, member: Member, box: tuple[float, float]
) -> list[tuple[Point, ...]]:

    whole = Area(member.to_local(member.outline)).buffer(0)
    window = whole.intersection(rectangle(box[0], -1e6, box[1], 1e6))
    return _rings(symbols.as_points(outline), window)


def _rings(outline: Iterable[Point], window: BaseGeometry) -> list[tuple[Point, ...]]:

    cut = Area(list(outline)).buffer(0).intersection(window)
    parts = getattr(cut, "geoms", [cut])
    return [
        tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])
        for part in parts
        if part.geom_type == "Polygon" and part.area > 1.0
    ]


def shelves(blocks: Sequence[Block], name: str, width: float) -> list[Drawing]:
    """Blocks side by side as long as they fit in `width`, one drawing for each shelf."""
    found: list[Drawing] = []
    x = width + 1.0
    for block in blocks:
        if x + block.width > width:
            found.append(Drawing(f"{name}-{len(found) + 1}", width, 0.0))
            x = 0.0
        shelf = found[-1]
        shelf.add(*(moved(s, x, 0.0) for s in block.shapes))
        shelf.height = max(shelf.height, block.height)
        x += block.width
    return found
