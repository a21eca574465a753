"""Strengthened lengths of a member: from mark to mark of its usual comb, as few as time allows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby, pairwise

import numpy as np

from girderply.layout.brief import Brief
from girderply.layout.combs import EPS, Option
from girderply.layout.firsts import Ready
from girderply.layout.region import Intervals
from girderply.layout.spread import Density
from girderply.model.girder import Array

Length = tuple[int, int, Option]  # from mark to mark of the usual comb, and its density
Part = tuple[int, float, Option]  # spaces of the usual comb, mm of them that are free, density


def strengthened(
    brief: Brief, ready: Ready, first: float, closer: Sequence[Density]
) -> list[Length]:
    """Where a member is denser than usual, rising.

    Marks are counted from the group's first mark (mm); the stages of a member use the same
    numbers, each on its own comb. Neighbours become one where that takes less time.
    """
    if not closer:
        return []
    tracks, free = ready.tracks, ready.strip.free
    step = tracks.tracks[0].comb.step
    low = math.floor((float(free.start[0]) - first) / step + EPS)
    high = math.ceil((float(free.end[-1]) - first) / step - EPS)
    if high <= low:
        return []
    dense = [tracks.options[0]] * (high - low)  # of each space between two marks
    for zone in closer:
        option = tracks.option(zone.centres)
        a = max(low, math.floor((zone.start - first) / step + EPS))
        b = min(high, math.ceil((zone.end - first) / step - EPS))
        for k in range(a, b):
            dense[k - low] = min(dense[k - low], option, key=lambda o: o.centres)
    marks = np.asarray(first + np.arange(low, high + 1) * step, float)
    room = np.diff(_free_before(free, marks)).tolist()
    parts = _joined(brief, _pieces(dense, room), tracks.faces)
    found, at = [], low
    for spaces, _, option in parts:
        if option is not tracks.options[0]:
            found.append((at, at + spaces, option))
        at += spaces
    return found


def _free_before(free: Intervals, stations: Array) -> Array:
    """(n,) how much of the timber before each station (mm) is free, mm."""
    inside = np.clip(stations[:, None], free.start, free.end) - free.start
    return np.asarray(inside.sum(axis=1), float)


def _pieces(dense: Sequence[Option], room: Sequence[float]) -> list[Part]:
    """Neighbouring spaces of one density together, with what of them is free, mm."""
    pairs = groupby(zip(dense, room, strict=True), key=lambda p: p[0])
    return [_whole(option, [(1, free, option) for _, free in same]) for option, same in pairs]


def _whole(option: Option, parts: Sequence[Part]) -> Part:
    return sum(n for n, _, _ in parts), sum(free for _, free, _ in parts), option


def _joined(brief: Brief, parts: list[Part], faces: int) -> list[Part]:
    """Parts made one while the nails it costs take less time than the numbers it spares."""
    minutes = brief.rules.minutes
    run = faces * (3 * minutes.number + 2 * minutes.step)  # to its step and back
    while len(parts) > 1:
        trials = [_merged(parts, i) for i in range(len(parts) - 1)]
        costs = [
            round(_nails(*pair) * minutes.nail - run * (len(parts) - len(trial)), 3)
            for pair, trial in zip(pairwise(parts), trials, strict=True)
        ]
        best = min(range(len(costs)), key=lambda i: (costs[i], abs(2 * i - len(costs) + 1)))
        if costs[best] >= 0.0:
            break
        parts = trials[best]
    return parts


def _merged(parts: Sequence[Part], i: int) -> list[Part]:
    """The parts with one and the next at the closer of their densities."""
    closer = min(parts[i][2], parts[i + 1][2], key=lambda o: o.centres)
    whole = [*parts[:i], _whole(closer, parts[i : i + 2]), *parts[i + 2 :]]
    return [_whole(option, list(same)) for option, same in groupby(whole, key=lambda p: p[2])]


def _nails(one: Part, two: Part) -> float:
    """How many more nails one stage gets where the wider of two parts becomes like the other."""
    wide, close = sorted((one, two), key=lambda p: -p[2].centres)
    return wide[1] * (1 / close[2].centres - 1 / wide[2].centres)


def closer(
    brief: Brief, pieces: Sequence[Density], options: Sequence[Option], ratio: float
) -> float | None:
    """The centres (mm) that no part of a length may be wider than, in the least time.

    What is denser already stays as it is: the sparse parts are filled up first, so that the
    length becomes alike.

    Args:
        brief: girder and rules.
        pieces: of the length that are free of keep-outs, with the centres that hold there now.
        options: densities of the member, the usual one first.
        ratio: so many times the nails of now are due; infinite where there are none.

    Returns:
        None where every piece is as dense as it can be.
    """
    minutes, usual = brief.rules.minutes, options[0]
    length = np.array([p.end - p.start for p in pieces])
    now = np.array([p.centres for p in pieces])
    left = [o for o in options if o.centres < now.max(initial=0.0) - EPS]
    if not left:
        return None

    def nails(o: Option) -> float:
        return float((length / np.minimum(now, o.centres)).sum())

    def takes(o: Option) -> float:
        moved = 0.0 if o.step == usual.step else minutes.step
        again = (0.0 if o.keeps else 2 * minutes.number) + (minutes.step if o.moves else 0.0)
        return minutes.nail * nails(o) + moved + again

    there = float((length / now).sum())
    due = ratio * there if math.isfinite(ratio) else there + 1.0
    # on average; where the comb finds fewer places the next round takes the next density
    enough = [o for o in left if nails(o) >= due - 0.5]
    if not enough:
        return left[-1].centres
    return min(enough, key=lambda o: (round(takes(o), 2), -o.centres)).centres
