"""How much must be read to set a girder out: numbers for its nails, from schedule.json alone.

It knows nothing of the runs in the schedule: it takes the marks of one member in one stage as they
stand and covers them by the fewest numbers.

    a run: start, step, count = 3 numbers; equal steps; the rows are the same at every mark or take
        turns; a mark may be left out where a plate, a bracket or a washer covers it;
    a mark alone: 1 number; it may stand between the marks of a run.

A run costs 1 where the hand knows it: first mark and step are those of another member of the role
in the stage, or it is the member's only run in the stage, with the step of an earlier stage. A mark
alone 5 to 60 mm beside a plate or bracket is read off the timber: it costs 1 for the first such
distance of a stage and nothing where one within 15 mm was read before. Members whose marks are the
same are read once. How it is counted is common practice, no source.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from shapely.geometry import Point, Polygon

Doc = dict[str, Any]
Gaps = list[tuple[float, float]]
Marks = list[tuple[float, tuple[int, ...]]]
CLEAR = 15.0  # mm beside a plate or bracket that a mark may not stand in
WASHER = 45.0  # mm from a bolt
FAR = 1e9
BESIDE = (5.0, 60.0)
ALIKE = 15.0  # mm between distances off a plate that are read as one


@dataclass(frozen=True, slots=True)
class Told:
    """A run (step and how many marks) or a mark alone (step 0)."""

    first: float
    step: float = 0.0
    marks: int = 1


@dataclass(slots=True)
class _Read:
    """What the hand has read so far."""

    same: set[object] = field(default_factory=set)
    runs: set[object] = field(default_factory=set)
    sticks: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))
    edges: dict[int, list[float]] = field(default_factory=lambda: defaultdict(list))


def numbers_to_read(doc: Doc) -> tuple[int, int]:
    """Nails, and numbers that must be read for them."""
    tolerance = 1.6 if doc["job"].get("units") == "imperial" else 1.0
    members = {m["id"]: m for m in doc["members"]}
    nails = [f for f in doc["fasteners"] if f["kind"] in ("nail", "screw")]
    groups: dict[tuple[int, str], dict[float, set[int]]] = defaultdict(lambda: defaultdict(set))
    for f in nails:
        groups[f["stage"], f["member"]][round(f["station_mm"], 1)].add(f["row"])
    read, numbers = _Read(), 0
    for (stage, name), by in sorted(groups.items()):
        marks = [(s, tuple(sorted(rows))) for s, rows in sorted(by.items())]
        if (stage, tuple(marks)) not in read.same:
            read.same.add((stage, tuple(marks)))
            gaps = blocked(doc, members[name])
            runs = cover(marks, gaps, tolerance)
            numbers += _numbers(read, stage, members[name], runs, gaps)
    return len(nails), numbers


def _numbers(read: _Read, stage: int, member: Doc, runs: list[Told], gaps: Gaps) -> int:
    combs, cost = [r for r in runs if r.step], 0
    for r in combs:
        key = (stage, member["role"], round(r.first), round(r.step))
        moved = len(combs) == 1 and round(r.step) in read.sticks[member["id"]]
        cost += 1 if key in read.runs or moved else 3
        read.runs.add(key)
    for r in runs:
        if not r.step:
            off = _beside(r.first, gaps)
            if off is None or not any(abs(off - x) <= ALIKE for x in read.edges[stage]):
                cost += 1
            if off is not None:
                read.edges[stage].append(off)
    read.sticks[member["id"]] |= {round(r.step) for r in combs}
    return cost


def blocked(doc: Doc, member: Doc) -> Gaps:
    """From where to where along the tape a plate, a bracket or a washer lies on a member, mm."""
    (ax, ay), (bx, by) = member["hook_end"], member["far_end"]
    length = math.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / length, (by - ay) / length
    shape = Polygon(member["outline"]).buffer(0)

    def along(x: float, y: float) -> float:
        return (x - ax) * ux + (y - ay) * uy

    gaps = [(-FAR, 0.0), (member["length_mm"], FAR)]
    for plate in doc["plates"]:
        part = Polygon(plate["outline"]).buffer(0).intersection(shape)
        if part.area > 1.0:
            at = [along(*p[:2]) for p in part.convex_hull.exterior.coords]
            gaps.append((min(at) - CLEAR, max(at) + CLEAR))
    for b in doc["brackets"]:
        if b["chord"] == member["id"]:
            half = b["width"] / 2 + CLEAR
            gaps.append((b["station"] - half, b["station"] + half))
    for f in doc["fasteners"]:
        if f["kind"] == "bolt" and shape.buffer(1).intersects(Point(f["x_mm"], f["y_mm"])):
            s = along(f["x_mm"], f["y_mm"])
            gaps.append((s - WASHER - CLEAR, s + WASHER + CLEAR))
    return gaps


def _beside(station: float, gaps: Gaps) -> float | None:
    """Distance of a mark from the nearest edge within reach, mm."""
    edges = [
        off
        for a, b in gaps
        if a > -FAR and b < FAR
        for off in (a + CLEAR - station, station - b + CLEAR)
        if BESIDE[0] <= off <= BESIDE[1]
    ]
    return min(edges, default=None)


def cover(marks: Marks, gaps: Gaps, tolerance: float) -> list[Told]:
    """The marks by the fewest numbers, in the order of the tape; by dynamic programming."""
    n = len(marks)
    best: list[float] = [0.0] + [math.inf] * n
    how: list[tuple[int, list[Told]]] = [(0, [])] * (n + 1)
    for i in range(n):
        if best[i] + 1 < best[i + 1]:
            best[i + 1], how[i + 1] = best[i] + 1, (i, [Told(marks[i][0])])
        steps = {
            round((marks[j][0] - marks[i][0]) / parts, 3)
            for j in range(i + 1, min(i + 5, n))
            for parts in range(1, 7)
        }
        for step in sorted(steps):
            if step < 10.0:
                continue
            for j, seen, alone in _along(marks, i, step, gaps, tolerance):
                if seen >= 3 and best[i] + 3 + len(alone) < best[j + 1]:
                    best[j + 1] = best[i] + 3 + len(alone)
                    how[j + 1] = (i, [Told(marks[i][0], step, seen), *map(Told, alone)])
    found, k = [], n
    while k:
        i, part = how[k]
        found += part[::-1]
        k = i
    return found[::-1]


def _along(
    marks: Marks, i: int, step: float, gaps: Gaps, tolerance: float
) -> list[tuple[int, int, list[float]]]:
    """A run from mark i as far as it goes: how many at each of its marks, and what is between."""
    first, rows, found = marks[i][0], {}, []
    following, seen, alone = 0, 0, []
    for j in range(i, len(marks)):
        m = (marks[j][0] - first) / step
        k = round(m)
        if abs(m - k) * step <= tolerance and (j == i or k >= following):
            missing = [first + step * x for x in range(following, k)]
            if not all(any(a <= s <= b for a, b in gaps) for s in missing):
                break
            if rows.setdefault(k % 2, marks[j][1]) != marks[j][1]:
                break
            following, seen = k + 1, seen + 1
            found.append((j, seen, list(alone)))
        elif len(alone) >= seen + 2:
            break
        else:
            alone.append(marks[j][0])
    return found
