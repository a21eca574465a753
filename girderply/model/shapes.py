"""Girder shapes by their trade names: from a few sizes to nodes and uncut members.

Every panel point lies on the centreline of its chord; joints are named J1, J2, ... along the
bottom chord from the left, then along the top chord.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from girderply.errors import Finding
from girderply.jobfile.job import GirderSpec, MemberSpec, Role
from girderply.model.frame import Frame, error
from girderply.model.girder import Array
from girderply.model.sizes import LEVEL, Sizes, depth_faults, fit_faults, settle, size_faults
from girderply.model.webs import Panels, Web, half_webs, mirrored, zigzag_webs

Key = tuple[int, float]  # 0 on the bottom chord, 1 on the top chord; x, mm


def frame_from_shape(spec: GirderSpec, butt: float) -> tuple[Frame | None, list[Finding]]:
    """Turn `spec.shape` into nodes and members; the frame is None when a finding is an error."""
    if spec.shape is None:
        return None, [error("no-shape", "girder", "give a shape, or nodes and members")]
    findings = [*size_faults(spec.shape), *depth_faults(spec)]
    if findings:
        return None, findings
    sizes = settle(spec.shape, spec.depths, butt)
    findings = [*fit_faults(sizes)]
    return (None, findings) if findings else (_assemble(sizes), [])


def _assemble(z: Sizes) -> Frame:
    pairs = [(_key(0, w.foot), _key(1, w.head), w.compression) for w in _webs(z)]
    if z.kind == "queen post":  # straining beam between the heads of the posts
        pairs.append((_key(1, z.span / 3), _key(1, z.span * 2 / 3), True))
    turns = [_key(1, x) for x in _turns(z)]
    ends = [_key(0, z.heel), _key(0, _right_end(z))]
    if not z.raised:
        turns[0] = ends[0]
        turns[-1] = turns[-1] if z.kind == "mono" else ends[1]
    keys = sorted({*ends, *turns, *(k for a, b, _ in pairs for k in (a, b))})
    names = {k: f"J{i}" for i, k in enumerate(keys, 1)}
    nodes = {n: np.array([x, z.top_y(x) if up else z.low]) for (up, x), n in names.items()}
    pairs.sort(key=lambda p: tuple(np.round((nodes[names[p[0]]] + nodes[names[p[1]]]) / 2, 3)))
    members = [*_top_runs(z, turns, names), _bottom_run(z, names)]
    members += [
        MemberSpec(f"W{i}", Role.WEB, (names[a], names[b]), z.web, compression=sign)
        for i, (a, b, sign) in enumerate(pairs, 1)
    ]
    return Frame(nodes | _tips(z), tuple(members), z.butt)


def _key(level: int, x: float) -> Key:
    return level, round(x, 6)


def _right_end(z: Sizes) -> float:
    return z.span - (z.web / 2 if z.kind == "mono" else z.heel)


def _turns(z: Sizes) -> list[float]:
    """X of the ends of the top chord's runs, from the left."""
    between: list[float] = []
    if z.kind == "truncated":
        between = [z.knee, z.span - z.knee]
    elif z.kind not in (*LEVEL, "mono"):
        between = [z.span / 2]
    return [z.heel, *between, _right_end(z)]


def _tips(z: Sizes) -> dict[str, Array]:
    """Ends of the overhangs, on the centreline of the top chord."""
    if z.overhang == 0:
        return {}
    y = z.slope_y(-z.overhang)
    tips = {"tip-left": np.array([-z.overhang, y])}
    if z.kind != "mono":
        tips["tip-right"] = np.array([z.span + z.overhang, y])
    return tips


def _top_runs(z: Sizes, turns: list[Key], names: dict[Key, str]) -> Iterator[MemberSpec]:
    tips = list(_tips(z))
    for i, (a, b) in enumerate(pairwise(turns), 1):
        between = sorted(k for k in names if k[0] == 1 and a[1] < k[1] < b[1])
        run = [names[k] for k in (a, *between, b)]
        if tips and i == 1:
            run.insert(0, tips[0])
        if len(tips) == 2 and i == len(turns) - 1:
            run.append(tips[1])
        yield MemberSpec(f"TC{i}", Role.TOP_CHORD, tuple(run), z.top, compression=True)


def _bottom_run(z: Sizes, names: dict[Key, str]) -> MemberSpec:
    run = tuple(names[k] for k in sorted(names) if k[0] == 0)
    return MemberSpec("BC1", Role.BOTTOM_CHORD, run, z.bottom, compression=False)


# --- webs -----------------------------------------------------------------------------------


def _webs(z: Sizes) -> list[Web]:
    special = {"king post": _king_webs, "queen post": _queen_webs, "fink": _fink_webs}
    if z.kind in special:
        return mirrored([*_side_post(z), *special[z.kind](z)], z.span)
    if z.pattern == "warren":
        return _warren_webs(z)
    if z.kind == "mono":
        end = _right_end(z)
        points = (z.heel, *(z.span * i / z.panels for i in range(1, z.panels)), end)
        webs = half_webs(Panels(points, points[-1:], z.raised), z.pattern)
        return [*webs[:-1], Web(end, end, True)]  # the last vertical is the post of the high end
    return mirrored(half_webs(_half_panels(z), z.pattern), z.span)


def _half_panels(z: Sizes) -> Panels:
    half, n = z.span / 2, z.panels // 2
    if z.kind in LEVEL:
        level = tuple(np.linspace(z.heel, half, n + 1).tolist())
        return Panels(level[:1], level, True)
    if z.kind == "truncated":
        m = min(max(1, round(z.panels * z.knee / z.span)), n - 1)
        slope = (z.heel, *(z.knee * i / m for i in range(1, m + 1)))
        return Panels(slope, tuple(np.linspace(z.knee, half, n - m + 1).tolist()), z.raised)
    slope = (z.heel, *(half * i / n for i in range(1, n + 1)))
    return Panels(slope, slope[-1:], z.raised)


def _side_post(z: Sizes) -> list[Web]:
    return [Web(z.heel, z.heel, True)] if z.raised else []


def _sign(z: Sizes, compression: bool) -> bool | None:
    return None if z.raised else compression


def _king_webs(z: Sizes) -> Iterator[Web]:
    half = z.span / 2
    yield Web(half, half, _sign(z, False))
    if z.panels == 4:
        yield Web(half, half / 2, _sign(z, True))
    if z.raised:
        yield Web(z.heel, half / 2, None) if z.panels == 4 else Web(half, z.heel, None)


def _queen_webs(z: Sizes) -> Iterator[Web]:
    third = z.span / 3
    yield Web(third, third, _sign(z, False))
    if z.raised:
        yield Web(z.heel, third, None)


def _fink_webs(z: Sizes) -> Iterator[Web]:
    yield Web(z.span / 3, z.span / 4, _sign(z, True))
    yield Web(z.span / 3, z.span / 2, _sign(z, False))
    if z.raised:
        yield Web(z.heel, z.span / 4, None)


def _warren_webs(z: Sizes) -> list[Web]:
    left, right, n = z.heel, _right_end(z), z.panels
    posts = [*_side_post(z)]
    if z.kind == "mono":
        feet = [left] * z.raised + [z.span * i / n for i in range(1, n)] + [right]
        heads = [z.span * (i + 0.5) / n for i in range(n)]
        webs = zigzag_webs(feet, heads, (math.inf, math.inf), not z.raised)
        return [*posts, *webs, Web(right, right, True)]
    if z.kind == "truncated":
        feet, heads, level = _truncated_zigzag(z)
    else:
        feet = np.linspace(left, right, n + 1).tolist()
        heads = [(a + b) / 2 for a, b in pairwise(feet)]
        level = (left, right)
    return [*mirrored(posts, z.span), *zigzag_webs(feet, heads, level, not z.raised)]


def _truncated_zigzag(z: Sizes) -> tuple[list[float], list[float], tuple[float, float]]:
    """Top panel points at the knees and evenly between, feet half-way between them."""
    far = z.span - z.knee
    m = min(max(1, round((z.panels + 1) * z.knee / z.span)), z.panels // 2)
    slope = [z.knee * i / m for i in range(1, m)]
    flat = np.linspace(z.knee, far, z.panels + 2 - 2 * m).tolist()
    heads = [*slope, *flat, *(z.span - x for x in reversed(slope))]
    feet = [(a + b) / 2 for a, b in pairwise(heads)]
    if z.raised:
        feet = [z.heel, *feet, z.span - z.heel]
    return feet, heads, (z.knee, far)
