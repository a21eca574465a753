"""The centrelines of a shape: panel points and members by name, uncut. Elevation frame, mm.

Every panel point lies on the centreline of its chord; joints are named J1, J2, ... along the
bottom chord from the left, then along the top chord.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from girderply.shapes.sizes import Sizes

Key = tuple[int, float]  # 0 on the bottom chord, 1 on the top chord; x, mm
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Piece:
    """One member: its name, its role's name, the panel points it runs over, its depth in mm."""

    id: str
    role: str
    nodes: tuple[str, ...]
    depth: float
    compression: bool | None = None


@dataclass(frozen=True, slots=True)
class Skeleton:
    """Panel points and members of one ply."""

    nodes: dict[str, Point]
    pieces: tuple[Piece, ...]

    def lines(self) -> list[list[Point]]:
        """The centreline of every member, from its first panel point to its last."""
        return [[self.nodes[k] for k in p.nodes] for p in self.pieces]


def skeleton(z: Sizes, own: Mapping[str, float] | None = None) -> Skeleton:
    """Panel points and members of a shape whose sizes are settled.

    Args:
        z: every size.
        own: depths of webs that are not those of the others, by their names, mm.
    """
    pairs = [(_key(0, w.foot), _key(1, w.head), w.compression) for w in z.shape.webs(z)]
    if z.shape.beam:
        left, right = z.shape.beam(z)
        pairs.append((_key(1, left), _key(1, right), True))
    turns = [_key(1, x) for x in (z.heel, *z.shape.top.turns(z), z.right_end)]
    ends = [_key(0, z.heel), _key(0, z.right_end)]
    if not z.raised:
        turns[0] = ends[0]
        turns[-1] = turns[-1] if z.shape.top.single else ends[1]
    keys = sorted({*ends, *turns, *(k for a, b, _ in pairs for k in (a, b))})
    names = {k: f"J{i}" for i, k in enumerate(keys, 1)}
    at = {k: (k[1], z.top_y(k[1]) if k[0] else z.low) for k in keys}
    pairs.sort(key=lambda p: _middle(at[p[0]], at[p[1]]))
    webs = [
        Piece(f"W{i}", "web", (names[a], names[b]), z.web, sign)
        for i, (a, b, sign) in enumerate(pairs, 1)
    ]
    webs = [replace(w, depth=own[w.id]) if own and w.id in own else w for w in webs]
    nodes = {name: at[k] for k, name in names.items()} | _tips(z)
    return Skeleton(nodes, (*_top_runs(z, turns, names), _bottom_run(z, names), *webs))


def end_posts(z: Sizes, lines: Skeleton) -> tuple[str, str]:
    """Names of the posts at the left and at the right end; empty where none stands."""
    found = ["", ""]
    for piece in lines.pieces:
        xs = [lines.nodes[k][0] for k in piece.nodes]
        for end, x in enumerate((z.heel, z.right_end)):
            if piece.role == "web" and max(abs(a - x) for a in xs) < 1e-3:
                found[end] = piece.id
    return found[0], found[1]


def _middle(a: Point, b: Point) -> Point:
    return round((a[0] + b[0]) / 2, 3), round((a[1] + b[1]) / 2, 3)


def _key(level: int, x: float) -> Key:
    return level, round(x, 6)


def _tips(z: Sizes) -> dict[str, Point]:
    """Ends of the overhangs, on the centreline of the top chord."""
    if z.overhang == 0:
        return {}
    y = z.slope_y(-z.overhang)
    tips = {"tip-left": (-z.overhang, y)}
    if not z.shape.top.single:
        tips["tip-right"] = (z.span + z.overhang, y)
    return tips


def _top_runs(z: Sizes, turns: list[Key], names: dict[Key, str]) -> Iterator[Piece]:
    tips = list(_tips(z))
    for i, (a, b) in enumerate(pairwise(turns), 1):
        between = sorted(k for k in names if k[0] == 1 and a[1] < k[1] < b[1])
        run = [names[k] for k in (a, *between, b)]
        if tips and i == 1:
            run.insert(0, tips[0])
        if len(tips) == 2 and i == len(turns) - 1:
            run.append(tips[1])
        yield Piece(f"TC{i}", "top chord", tuple(run), z.top, True)


def _bottom_run(z: Sizes, names: dict[Key, str]) -> Piece:
    run = tuple(names[k] for k in sorted(names) if k[0] == 0)
    return Piece("BC1", "bottom chord", run, z.bottom, False)
