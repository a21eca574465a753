"""What strips show, a piece of a member, and where it lies on paper."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from girderply.drawing.placement import Placement
from girderply.drawing.primitives import Shape
from girderply.model.girder import Member
from girderply.schedule.types import Fasteners

RIGHT = 7.0


@dataclass(frozen=True, slots=True)
class StripPlan:
    """What strips show.

    Attributes:
        scale: n of 1:n. face: seen face. width: paper mm that a strip may take, all in.
        caption: width of the column left of the strips, paper mm.
        joints: plates carry the names of their joints (not where one strip serves two members).
        measured: only the room is wanted; nothing but the lettering is drawn.
    """

    scale: int
    face: str
    width: float
    caption: float = 30.0
    joints: bool = True
    measured: bool = False


@dataclass(slots=True)
class Block:
    """One strip as a block of shapes with its own origin, paper mm."""

    width: float
    height: float = 0.0
    shapes: list[Shape] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a member between two stations, mm."""

    member: Member
    start: float
    end: float

    @property
    def first(self) -> bool:
        """Whether the hook end is on this piece."""
        return self.start <= 0.0

    @property
    def last(self) -> bool:
        """Whether the far end is on this piece."""
        return self.end >= self.member.length

    def holds(self, chosen: Fasteners) -> Fasteners:
        """The fasteners that are drawn on this piece; each is on one piece and no other."""
        mask = (chosen.station >= self.start) | self.first
        return chosen.select(mask & ((chosen.station < self.end) | self.last))


def strip_placement(piece: Piece, plan: StripPlan, middle: float) -> Placement:
    """Stations and offsets to paper; the piece begins right of the captions."""
    n = plan.scale
    turned = math.cos(piece.member.angle) < -1e-6
    mirror = plan.face == "back"
    leftward = turned != mirror  # stations run from right to left
    x = piece.end / n if leftward else -piece.start / n
    return Placement((plan.caption + x, middle), 1 / n, 180.0 if turned else 0.0, mirror)
