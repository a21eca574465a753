"""Panel points: where the centrelines of members that touch cross, within a stated tolerance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from girderply.errors import Finding
from girderply.jobfile.job import Role
from girderply.model.girder import Array
from girderply.tracing.axes import Board
from girderply.tracing.drawing import CONTACT, at, refusal

PARALLEL = 0.035  # sine below which two centrelines are one line (2 degrees)


@dataclass(slots=True)
class Node:
    """A panel point and the members that have it."""

    spots: list[Array]
    members: set[int]
    chords: bool = False  # where two chords meet
    name: str = ""

    @property
    def spot(self) -> Array:
        """The point: where chords cross, else half-way between what its webs give, mm."""
        return self.spots[0] if self.chords else np.asarray(np.mean(self.spots, axis=0))


@dataclass(slots=True)
class Net:
    """All panel points, and what is wrong with them."""

    nodes: list[Node] = field(default_factory=list)
    faults: list[Finding] = field(default_factory=list)


def net_of(
    boards: Sequence[Board], roles: Sequence[Role], names: Sequence[str], tolerance: float
) -> Net:
    """Panel points of a girder whose boards, roles and names come in one order.

    `tolerance` is how far a point may lie off a centreline, mm.
    """
    net = Net()
    chords = [i for i, r in enumerate(roles) if r.is_chord]
    for k, i in enumerate(chords):
        for j in chords[k + 1 :]:
            if boards[i].shape.distance(boards[j].shape) <= CONTACT:
                net.nodes.append(Node([_meeting(boards[i], boards[j])], {i, j}, chords=True))
    for i, role in enumerate(roles):
        if not role.is_chord:
            for sign in (-1, 1):
                _web_end(net, boards, chords, (i, sign, names[i]), tolerance)
    for i in chords:
        _free_ends(net, boards[i], i)
    net.faults += _off(net, boards, names, tolerance)
    return net


def _meeting(a: Board, b: Board) -> Array:
    """Where two centrelines cross, or the middle of a butt joint of two in one line."""
    crossing = _crossing(a, b)
    if crossing is not None:
        return crossing
    sign = 1 if float((b.middle - a.middle) @ a.u) > 0 else -1
    near = b.end(-1 if float(a.u @ b.u) * sign > 0 else 1)
    middle: Array = (a.end(sign) + near) / 2
    return middle


def _crossing(a: Board, b: Board) -> Array | None:
    sine = float(a.u[0] * b.u[1] - a.u[1] * b.u[0])
    if abs(sine) < PARALLEL:
        return None
    d = b.middle - a.middle
    spot: Array = a.middle + a.u * float(d[0] * b.u[1] - d[1] * b.u[0]) / sine
    return spot


def _web_end(
    net: Net, boards: Sequence[Board], chords: Sequence[int], web: tuple[int, int, str], off: float
) -> None:
    """Give one end of a web its panel point on the chord that it stands on."""
    i, sign, name = web
    board = boards[i]
    met = [c for c in chords if _at_end(board, boards[c], sign)]
    shared = [n for n in net.nodes if n.chords and n.members & set(met)]
    for node in shared:
        if board.off(node.spot) <= off and _near(board, node.spot, sign):
            node.members.add(i)
            return
    spots = [(c, _crossing(board, boards[c])) for c in met]
    crossed = [(c, s) for c, s in spots if s is not None]
    if not crossed:
        x, y = map(float, board.end(sign))
        message = f"{name} ends at {at((x, y))}, where it touches no chord"
        tip = f"a gap of up to {CONTACT:g} mm is taken as contact"
        net.faults.append(refusal("members-do-not-meet", name, message, tip))
        return
    chord, spot = max(crossed, key=lambda c: _contact(board, boards[c[0]]))
    for node in net.nodes:
        if not node.chords and chord in node.members and np.hypot(*(node.spot - spot)) <= off:
            node.spots.append(spot)
            node.members.add(i)
            return
    net.nodes.append(Node([spot], {i, chord}))


def _at_end(board: Board, other: Board, sign: int) -> bool:
    """Whether the other is touched nearer to this end than to the other one."""
    if board.shape.distance(other.shape) > CONTACT:
        return False
    touch = board.shape.intersection(other.shape.buffer(CONTACT))
    along = float((np.asarray(touch.centroid.coords[0]) - board.middle) @ board.u)
    return along * sign > 0


def _near(board: Board, spot: Array, sign: int) -> bool:
    along = float((spot - board.middle) @ board.u) * sign
    return along > 0


def _contact(board: Board, other: Board) -> float:
    return float(board.shape.buffer(CONTACT).intersection(other.shape).area)


def _free_ends(net: Net, board: Board, i: int) -> None:
    """A panel point at an end of a chord that runs on beyond its last one, or has too few."""
    for sign in (-1, 1):
        mine = [n.spot for n in net.nodes if i in n.members]
        along = [float((spot - board.middle) @ board.u) * sign for spot in mine]
        out = board.length / 2 - max(along, default=-board.length)
        if out > 2 * board.depth or len(along) < 2:
            net.nodes.append(Node([board.end(sign)], {i}))


def _off(
    net: Net, boards: Sequence[Board], names: Sequence[str], tolerance: float
) -> Iterator[Finding]:
    for node in net.nodes:
        for i in sorted(node.members):
            off = boards[i].off(node.spot)
            if off > tolerance:
                place = at((float(node.spot[0]), float(node.spot[1])))
                message = (
                    f"the panel point at {place} lies {off:.1f} mm off the "
                    f"centreline of {names[i]}; at most {tolerance:g} mm is taken"
                )
                yield refusal("off-centreline", names[i], message, "say more with --tolerance")


def name_nodes(net: Net, roles: Sequence[Role]) -> None:
    """J1, J2, ... along the bottom chord from the left, then the top chord, then the rest."""

    def order(node: Node) -> tuple[int, float, float]:
        kinds = {roles[i] for i in node.members}
        level = 0 if Role.BOTTOM_CHORD in kinds else 1 if Role.TOP_CHORD in kinds else 2
        return level, round(float(node.spot[0]), 3), round(float(node.spot[1]), 3)

    net.nodes.sort(key=order)
    for number, node in enumerate(net.nodes, 1):
        node.name = f"J{number}"
