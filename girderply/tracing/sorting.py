"""Which outlines are members, which are nail plates and bearings, and what is neither.

Members do not lie in each other; a plate is a rectangle that covers where members meet; a bearing
touches the bottom chord from below. The largest come first, so that what lies on them is told from
them. Layers may be named and are then taken at their word.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np
from shapely import Polygon, STRtree, box, get_coordinates, get_parts, union_all
from shapely.geometry.base import BaseGeometry

from girderply.errors import Finding
from girderply.tracing.axes import Board, board_of
from girderply.tracing.drawing import (
    CONTACT,
    Drawing,
    Guess,
    Options,
    Outline,
    Point,
    at,
    refusal,
)
from girderply.wording import Words, said

SMALLEST: Final = 45.0  # what is smaller in both directions is no member and no plate, mm
LIES_ON: Final = 0.2  # share of an outline on others from which it lies on them
SAME: Final = 0.995  # share from which two outlines are one drawn twice
OVERLAP: Final = 200.0  # mm2; less is drawing inaccuracy
FRAME: Final = 3  # an outline round so many others, and
FRAMED: Final = 0.6  # round this share of all, is a frame
SLENDER: Final = 0.1  # depth to length up to which an outline is a member for sure
DEEPER: Final = 1.5  # of the deepest of these, up to which another one may be a member
BESIDE: Final = 0.05  # share of an outline on others up to which it lies beside them
MOSTLY: Final = 0.8  # share of the outlines of a layer that say what the layer is


@dataclass(slots=True)
class Sorted:
    """Outlines by what they are."""

    members: list[Outline] = field(default_factory=list)
    plates: list[Outline] = field(default_factory=list)
    bearings: list[Outline] = field(default_factory=list)
    guesses: list[Guess] = field(default_factory=list)
    faults: list[Finding] = field(default_factory=list)
    notes: list[Words] = field(default_factory=list)


def sort_outlines(drawing: Drawing, options: Options) -> Sorted:
    """Tell members from plates and from what is neither."""
    if drawing.sure:
        return _told(drawing)
    out = Sorted()
    known = {o.layer for o in drawing.outlines}
    for what, layer in (("members", options.members), ("plates", options.plates)):
        if layer and layer not in known:
            names = ", ".join(sorted(known))
            message = f'no closed outline lies on a layer "{layer}"; there are: {names}'
            out.faults.append(refusal("layer", what, message))
    if out.faults:
        return out
    usable = without_air([o for o in map(_tidy, drawing.outlines) if o is not None])
    free = _without_frames([o for o in usable if _may_be_member(o, options)])
    if not options.members:
        free = _on_member_layers(free)
    lying = _members(free, out)
    rest = [o for o in usable if o not in free]
    _whole(out)
    wanted = [o for o in (*lying, *rest) if options.plates in ("", o.layer)]
    _plates(wanted, out, bool(options.plates))
    out.faults += _overlaps(out.members)
    if not out.members and not out.faults:
        out.faults.append(refusal("no-member", "members", "no outline can be a member"))
    return out


def _told(drawing: Drawing) -> Sorted:
    """A model says what its members and plates are; only what overlaps is looked at."""
    out = Sorted(members=[o for o in map(_tidy, drawing.outlines) if o is not None])
    out.plates = [o for o in map(_tidy, drawing.plates) if o is not None]
    _whole(out)
    if not drawing.blank:
        out.faults += _overlaps(out.members)
    if not out.members:
        out.faults.append(refusal("no-member", "members", "no outline can be a member"))
    return out


def _may_be_member(o: Outline, options: Options) -> bool:
    if options.members:
        return o.layer == options.members
    return not options.plates or o.layer != options.plates


def _tidy(outline: Outline) -> Outline | None:
    """The outline without repeated and straight-through corners; None when it is a mere sign."""
    shape = Polygon(outline.corners)
    if not shape.is_valid or max(np.ptp(np.asarray(outline.corners), axis=0)) < SMALLEST:
        return None if not shape.is_valid and shape.area < 1 else _big(outline, shape)
    return replace(outline, corners=_corners(shape.simplify(1e-4).normalize()))


def _corners(shape: BaseGeometry) -> tuple[Point, ...]:
    largest = max(get_parts(shape), key=lambda part: part.area)
    return tuple((float(x), float(y)) for x, y in get_coordinates(largest)[:-1])


def _big(outline: Outline, shape: Polygon) -> Outline | None:
    small = max(np.ptp(np.asarray(outline.corners), axis=0)) < SMALLEST
    return None if small else replace(outline, corners=_corners(shape.buffer(0)))


def _without_frames(outlines: Sequence[Outline]) -> list[Outline]:
    """All but what is drawn round most of the others."""
    shapes = [Polygon(o.corners) for o in outlines]
    tree = STRtree(shapes)
    inside = [int(tree.query(s, "contains").size) - 1 for s in shapes]
    most = max(FRAME, FRAMED * len(outlines))
    return [o for o, n in zip(outlines, inside, strict=True) if n < most]


def _on_member_layers(outlines: Sequence[Outline]) -> list[Outline]:
    """What is on the layer with most timber, and on layers that lie beside it and not on it."""
    by_layer: dict[str, list[Polygon]] = {}
    for o in outlines:
        by_layer.setdefault(o.layer, []).append(Polygon(o.corners))
    if not by_layer:
        return []
    first = max(by_layer, key=lambda k: (union_all(by_layer[k]).area, k))
    timber = union_all(by_layer[first])
    chosen = {first}
    for layer, shapes in by_layer.items():
        beside = sum(s.intersection(timber).area < BESIDE * s.area for s in shapes)
        if beside >= MOSTLY * len(shapes):
            chosen.add(layer)
    return [o for o in outlines if o.layer in chosen]


def _members(outlines: Sequence[Outline], out: Sorted) -> list[Outline]:
    """Take what does not lie on what is taken already; returns what does."""
    by_size = sorted(outlines, key=lambda o: (-Polygon(o.corners).area, o.corners))
    taken: list[Polygon] = []
    lying: list[Outline] = []
    for o in by_size:
        shape = Polygon(o.corners)
        shares = [shape.intersection(t).area / shape.area for t in taken]
        if any(s > SAME and t.area * SAME < shape.area for s, t in zip(shares, taken, strict=True)):
            out.notes.append(said("tracing.drawn_twice", at=at(_middle(o))))
        elif sum(shares) >= LIES_ON:
            lying.append(o)
        else:
            taken.append(shape)
            out.members.append(o)
    return lying


def _middle(o: Outline) -> Point:
    return _spot(Polygon(o.corners))


def _spot(shape: BaseGeometry) -> Point:
    return float(shape.centroid.x), float(shape.centroid.y)


def _whole(out: Sorted) -> None:
    """Keep the members that hang together; a second girder beside is a question."""
    groups = _groups([Polygon(o.corners) for o in out.members])
    if not groups:
        return
    girders = [g for g in groups if len(g) >= FRAME]
    if len(girders) > 1:
        places = " and ".join(at(_middle(out.members[g[0]])) for g in girders[:3])
        message = f"{len(girders)} sets of members that do not touch each other, near {places}"
        tip = "keep one girder in the file, or name its layer with --members; gaps of more than "
        out.faults.append(refusal("two-girders", "members", message, f"{tip}{CONTACT:g} mm part"))
    kept = set(max(groups, key=lambda g: sum(Polygon(out.members[i].corners).area for i in g)))
    whole = union_all([Polygon(out.members[i].corners) for i in kept])
    apart = [o for i, o in enumerate(out.members) if i not in kept]
    out.faults += [f for o in apart for f in _within(o, whole)]
    if apart:
        out.notes.append(said("tracing.apart", n=len(apart)))
    out.members = [o for i, o in enumerate(out.members) if i in kept]


def _within(o: Outline, whole: BaseGeometry) -> Iterator[Finding]:
    """An outline amid the members that touches none of them is a member with a gap."""
    shape = Polygon(o.corners)
    if box(*whole.bounds).contains(shape):
        gap = shape.distance(whole)
        message = (
            f"an outline at {at(_middle(o))} touches no other; the nearest is {gap:.1f} mm away"
        )
        tip = f"gaps of up to {CONTACT:g} mm are taken as contact"
        yield refusal("gap", "members", message, tip)


def without_air(outlines: Sequence[Outline]) -> list[Outline]:
    """All but the panels of air between members that were drawn as single lines."""
    boards = {o: board_of(o) for o in outlines if o.loose}
    slender = [b.depth for b in boards.values() if b.whole and b.depth < SLENDER * b.length]
    if not slender:
        return list(outlines)
    deep = DEEPER * max(slender)
    return [o for o in outlines if not o.loose or _is_board(boards[o], deep)]


def _is_board(board: Board, deep: float) -> bool:
    return board.depth <= deep and (board.whole or board.depth < board.length / 2)


def _groups(shapes: Sequence[Polygon]) -> list[list[int]]:
    tree = STRtree(shapes)
    left, groups = set(range(len(shapes))), []
    while left:
        group, todo = [], [min(left)]
        while todo:
            i = todo.pop()
            if i in left:
                left.remove(i)
                group.append(i)
                todo += tree.query(shapes[i], "dwithin", CONTACT).tolist()
        groups.append(sorted(group))
    return groups


def _is_rectangle(shape: Polygon) -> bool:
    return bool(shape.area >= 0.98 * shape.minimum_rotated_rectangle.area)


def _plates(lying: Sequence[Outline], out: Sorted, told: bool) -> None:
    """Rectangles that cover two members and more; the layer that most of them are on."""
    members = [Polygon(o.corners) for o in out.members]
    found: dict[str, list[Outline]] = {}
    for o in lying:
        shape = Polygon(o.corners)
        covered = sum(shape.intersection(m).area > OVERLAP for m in members)
        if _is_rectangle(shape) and (told or covered > 1):
            found.setdefault(o.layer, []).append(o)
        elif not _is_rectangle(shape) and covered:
            message = f"an outline at {at(_middle(o))} lies on members and is no rectangle"
            out.faults.append(refusal("overlap", "members", message, "name layers: --members"))
    if found:
        layer = max(found, key=lambda k: (len(found[k]), k))
        out.plates = sorted(found[layer], key=_middle)
        if not told:
            why = said("tracing.why_plates", n=len(out.plates), layer=layer)
            out.guesses.append(Guess("girder.plates", said("tracing.layer", layer=layer), why))


def layers_of_members(out: Sorted, options: Options) -> Iterator[Guess]:
    """On which layers the members were found, where nobody has named one."""
    if not options.members:
        layers = sorted({o.layer for o in out.members})
        layer = said("tracing.layer", layer=", ".join(layers))
        yield Guess("girder.members", layer, said("tracing.why_members"))


def _overlaps(members: Sequence[Outline]) -> Iterator[Finding]:
    shapes = [Polygon(o.corners) for o in members]
    tree = STRtree(shapes)
    for i, shape in enumerate(shapes):
        for k in tree.query(shape).tolist():
            if k > i and (area := shape.intersection(shapes[k]).area) > OVERLAP:
                message = (
                    f"members overlap by {area:.0f} mm2 at "
                    f"{at(_spot(shape.intersection(shapes[k])))}"
                )
                yield refusal("overlap", "members", message, "draw them as they are cut")


def take_bearings(out: Sorted) -> None:
    """Move what stands under one member alone from the members to the bearings; y is up by now."""
    shapes = [Polygon(o.corners) for o in out.members]
    for o, shape in list(zip(out.members, shapes, strict=True)):
        met = [s for s in shapes if s is not shape and s.distance(shape) <= CONTACT]
        if len(met) == 1 and _is_rectangle(shape):
            low = met[0].bounds[1]
            if shape.bounds[3] <= low + CONTACT:
                out.members.remove(o)
                out.bearings.append(o)
    out.bearings.sort(key=_middle)
