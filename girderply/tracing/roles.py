"""What is a chord and what is a web: a chord has nothing but air on one side of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
from shapely import LineString, Polygon

from girderply.jobfile.job import Role
from girderply.tracing.axes import Board
from girderply.tracing.drawing import CONTACT, Guess
from girderply.wording import numeral, said

PLACES = (0.2, 0.35, 0.5, 0.65, 0.8)  # of the length, at which it is looked up and down
FAR = 1e5


def roles_of(boards: Sequence[Board]) -> list[Role]:
    """The role of every board, from what lies above and below it; y is up."""
    shapes = [b.shape for b in boards]
    return [_role(b, [s for s in shapes if s is not b.shape]) for b in boards]


def _role(board: Board, others: Sequence[Polygon]) -> Role:
    seen = Counter(_seen(board, others))
    above, below = seen["above"], seen["below"]
    most = len(PLACES) / 2
    if above < most and below >= most:
        return Role.TOP_CHORD
    if below < most and above >= most:
        return Role.BOTTOM_CHORD
    return Role.WEB


def _seen(board: Board, others: Sequence[Polygon]) -> Iterator[str]:
    """Where something lies straight above or below, once for each place."""
    for share in PLACES:
        x, y = board.middle + (share - 0.5) * board.length * board.u
        up, down = LineString([(x, y), (x, y + FAR)]), LineString([(x, y), (x, y - FAR)])
        if any(s.intersects(up) for s in others):
            yield "above"
        if any(s.intersects(down) for s in others):
            yield "below"


def turned(boards: Sequence[Board]) -> tuple[float, Guess | None]:
    """By what angle the drawing is to be turned, rad, so that a chord lies level.

    A drawing with a long level member, its others above or below it, stands as it is drawn.
    """
    long = max(b.length for b in boards)
    if any(abs(b.u[1]) < 1e-3 and b.length >= 0.5 * long for b in boards):
        return 0.0, None
    longest = max(boards, key=lambda b: b.length)
    angle = -float(np.arctan2(longest.u[1], longest.u[0]))
    mass = sum((b.length * b.depth * b.middle for b in boards), np.zeros(2))
    centre = mass / sum(b.length * b.depth for b in boards)
    if float((centre - longest.middle) @ longest.n) < -CONTACT:
        angle += np.pi
    by = said("tracing.degrees", by=numeral(float(np.degrees(angle)), ".2f"))
    return angle, Guess("drawing.rotation", by, said("tracing.why_rotation"))
