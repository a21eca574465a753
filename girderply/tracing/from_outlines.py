"""From a drawing to a girder: outlines sorted, laid level, roles, names and panel points found."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np
from shapely import Point as Spot
from shapely import Polygon, get_coordinates, union_all

from girderply.catalogue import timber
from girderply.errors import CatalogueError, Finding
from girderply.jobfile.job import BearingSpec, MemberSpec, NodeSpec, PlateSpec, Role
from girderply.tracing.axes import Board, board_of
from girderply.tracing.drawing import (
    CONTACT,
    Drawing,
    Guess,
    Options,
    Outline,
    Point,
    refusal,
    refuse,
)
from girderply.tracing.drawing_unit import scaled, unit_of
from girderply.tracing.joints import Net, name_nodes, net_of
from girderply.tracing.naming import names_of
from girderply.tracing.roles import roles_of, turned
from girderply.tracing.sorting import Sorted, layers_of_members, sort_outlines, take_bearings
from girderply.tracing.traced import TracedGirder
from girderply.wording import Words, figures, joined, said
from girderply.wording.words import role_words

HOOKS = "HOOK-ENDS"  # layer of points at the hook ends, as our own drawings have it
DIGITS = 6  # mm; a limit that a fastener stands on exactly must not move
LEVEL = math.radians(45.0001)


def girder_of(drawing: Drawing, options: Options) -> TracedGirder:
    """Trace a girder.

    Raises:
        TraceError: with everything that is unclear or cannot be.
    """
    drawing, guesses = _in_mm(drawing, options)
    found = sort_outlines(drawing, options)
    refuse(found.faults)
    drawing, turn = _laid(drawing, found, options)
    boards = _boards(found.members)
    roles = roles_of(boards)
    refuse(_no_chords(roles))
    names, made = names_of(boards, roles, drawing)
    net = net_of(boards, roles, names, options.tolerance)
    refuse(net.faults)
    name_nodes(net, roles)
    hooks, hooked = _hooks(boards, roles, drawing)
    guesses += [
        *(() if drawing.sure else layers_of_members(found, options)),
        *found.guesses,
        *turn,
        *made,
        *hooked,
        *_doubts(boards, roles, names),
    ]
    order = _order(boards, roles)
    lightest, timbers = _timbers({names[i]: boards[i].outline.timber for i in order})
    return TracedGirder(
        nodes=tuple(NodeSpec(n.name, _r(n.spot[0]), _r(n.spot[1])) for n in net.nodes),
        members=tuple(_member(boards[i], roles[i], names[i], net, (i, hooks[i])) for i in order),
        plates=tuple(_plates(found.plates, boards, net)),
        bearings=tuple(_bearing(o) for o in found.bearings),
        outlines={names[i]: _corners(boards[i].outline) for i in order},
        blank=drawing.blank,
        guesses=tuple(guesses),
        notes=(*drawing.notes, *found.notes, *_left_out(drawing)),
        thickness=drawing.thickness,
        plies=drawing.plies,
        timber=lightest,
        timbers=timbers,
    )


def _r(value: float) -> float:
    return round(float(value), DIGITS) + 0.0


def _in_mm(drawing: Drawing, options: Options) -> tuple[Drawing, list[Guess]]:
    shapes = [o for o in drawing.outlines if options.members in ("", o.layer)] or drawing.outlines
    boards = [board_of(o) for o in shapes]
    long = max(b.length for b in boards)
    depth = max((b.depth for b in boards if b.length > 0.3 * long and b.depth < 0.3 * b.length),
                default=long)  # fmt: skip
    length = max((b.length for b in boards if b.depth < 0.3 * b.length), default=long)
    mm, guesses, faults = unit_of(drawing, length, depth, options)
    refuse(faults)
    return scaled(drawing, mm), guesses


def _boards(members: Sequence[Outline]) -> list[Board]:
    shapes = [Polygon(o.corners) for o in members]
    return [
        board_of(o, union_all([s for s in shapes if s is not shape and s.dwithin(shape, CONTACT)]))
        for o, shape in zip(members, shapes, strict=True)
    ]


def _laid(drawing: Drawing, found: Sorted, options: Options) -> tuple[Drawing, list[Guess]]:
    """Turn everything so that the bottom chord lies level, from (0, 0) to the right."""
    guesses: list[Guess] = []
    if options.rotation is not None:
        angle = math.radians(options.rotation)
    else:
        angle, guess = turned(_boards(found.members))
        guesses += [guess] if guess else []
    _move(drawing, found, lambda p: _rotated(p, angle))
    take_bearings(found)
    boards = _boards(found.members)
    bottom = [b for b, r in zip(boards, roles_of(boards), strict=True) if r is Role.BOTTOM_CHORD]
    bounds = union_all([b.shape for b in bottom or boards]).bounds
    _move(drawing, found, lambda p: (p[0] - bounds[0], p[1] - bounds[1]))
    return drawing, guesses


def _rotated(p: Point, angle: float) -> Point:
    if angle == 0:
        return p
    c, s = math.cos(angle), math.sin(angle)
    return c * p[0] - s * p[1], s * p[0] + c * p[1]


def _move(drawing: Drawing, found: Sorted, way: Callable[[Point], Point]) -> None:
    for outlines in (found.members, found.plates, found.bearings):
        outlines[:] = [replace(o, corners=tuple(way(p) for p in o.corners)) for o in outlines]
    drawing.words = [(text, way(p)) for text, p in drawing.words]
    drawing.points = [(way(p), layer) for p, layer in drawing.points]


def _no_chords(roles: Sequence[Role]) -> Iterator[Finding]:
    for role in (Role.TOP_CHORD, Role.BOTTOM_CHORD):
        if role not in roles:
            message = f"no member can be the {role}: none has only air on that side"
            tip = "see that y points up, or turn the drawing with --rotation"
            yield refusal("no-chord", "members", message, tip)


def _order(boards: Sequence[Board], roles: Sequence[Role]) -> list[int]:
    """Top chords, bottom chords, webs, each from the left."""
    rank = {Role.TOP_CHORD: 0, Role.BOTTOM_CHORD: 1, Role.WEB: 2}
    return sorted(
        range(len(boards)),
        key=lambda i: (rank[roles[i]], *(round(float(v), 3) for v in boards[i].middle)),
    )


def _hooks(
    boards: Sequence[Board], roles: Sequence[Role], drawing: Drawing
) -> tuple[list[str], list[Guess]]:
    """Where the tape hooks: as the drawing marks it, else at the lower end, left of a level one."""
    marks = [Spot(p) for p, layer in drawing.points if layer == HOOKS]
    hooks, guessed = [], False
    for board, role in zip(boards, roles, strict=True):
        ends = {"left": Spot(*board.end(-1)), "right": Spot(*board.end(1))}
        told = [e for e, s in ends.items() if any(m.dwithin(s, CONTACT) for m in marks)]
        guessed |= len(told) != 1
        falls = board.u[0] * board.u[1] < -0.02 and role is not Role.BOTTOM_CHORD
        hooks.append(told[0] if len(told) == 1 else "right" if falls else "left")
    ends_are = Guess("girder.members.hook_end", said("tracing.hooks"), said("tracing.why_hooks"))
    return hooks, [ends_are] if guessed else []


def _doubts(
    boards: Sequence[Board], roles: Sequence[Role], names: Sequence[str]
) -> Iterator[Guess]:
    chords = [(n, r) for n, r in sorted(zip(names, roles, strict=True)) if r.is_chord]
    each = [said("tracing.role_of", member=n, role=role_words(str(r))) for n, r in chords]
    yield Guess("girder.members.role", joined(", ", each), said("tracing.why_role"))
    for board, name in zip(boards, names, strict=True):
        if not board.sure:
            way = f"{math.degrees(_angle(board)):.0f}°"
            yield Guess(f"girder.members.{name}.nodes", way, said("tracing.why_grain"))
        if not board.whole:
            deep = figures(f"{board.depth:.1f} mm")
            yield Guess(f"girder.members.{name}.depth", deep, said("tracing.why_depth"))


def _angle(board: Board) -> float:
    return math.atan2(board.u[1], board.u[0])


def _corners(outline: Outline) -> tuple[Point, ...]:
    return tuple((_r(x), _r(y)) for x, y in outline.corners)


def _member(board: Board, role: Role, name: str, net: Net, place: tuple[int, str]) -> MemberSpec:
    i, hook = place
    mine = sorted((n for n in net.nodes if i in n.members), key=lambda n: float(n.spot @ board.u))
    nodes = tuple(n.name for n in mine)
    side: Literal["left", "right"] = "right" if hook == "right" else "left"
    return MemberSpec(name, role, nodes, _r(board.depth), hook_end=side)


def _plates(plates: Sequence[Outline], boards: Sequence[Board], net: Net) -> Iterator[PlateSpec]:
    """Each plate at the panel point of the members that it covers."""
    taken: set[str] = set()
    for o in plates:
        shape = Polygon(o.corners)
        covered = {i for i, b in enumerate(boards) if b.shape.intersection(shape).area > 1.0}
        centre = np.asarray(shape.centroid.coords[0])
        fitting = [n for n in net.nodes if len(n.members & covered) > 1 and n.name not in taken]
        if fitting:
            node = min(fitting, key=lambda n: float(np.hypot(*(n.spot - centre))))
            taken.add(node.name)
            yield _plate(node.name, shape)


def _plate(joint: str, shape: Polygon) -> PlateSpec:
    """Width and height of a rectangle along and across the side that is nearest to level."""
    box = get_coordinates(shape.minimum_rotated_rectangle)[:4]
    sides = [box[(i + 1) % 4] - box[i] for i in range(2)]
    angles = [(math.atan2(s[1], s[0]) + math.pi / 2) % math.pi - math.pi / 2 for s in sides]
    k = 0 if abs(angles[0]) <= LEVEL else 1
    width, height = (float(np.hypot(*sides[i])) for i in (k, 1 - k))
    x, y = shape.centroid.coords[0]
    return PlateSpec(joint, (_r(x), _r(y)), _r(width), _r(height), round(angles[k], 9) + 0.0)


def _bearing(o: Outline) -> BearingSpec:
    left, _, right, _ = Polygon(o.corners).bounds
    return BearingSpec(_r((left + right) / 2), _r(right - left))


def _left_out(drawing: Drawing) -> Iterator[Words]:
    if drawing.holes:
        yield said("tracing.circles", n=drawing.holes)
    if drawing.signs:
        yield said("tracing.small_blocks", n=drawing.signs)


def _timbers(told: Mapping[str, str]) -> tuple[str, dict[str, str]]:
    """The lightest timber that the file names, and members of another.

    Nothing where one of several is not known.
    """
    named = {name: grade for name, grade in told.items() if grade}
    try:
        dense = {t: _density(t) if len(set(named.values())) > 1 else 0.0 for t in named.values()}
    except CatalogueError:
        return "", {}
    least = min(dense, key=lambda t: (dense[t], t), default="")
    return least, {name: grade for name, grade in named.items() if grade != least}


def _density(name: str) -> float:
    return timber(name).rho_mean
