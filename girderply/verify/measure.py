"""What a tape measures: places, distances, lengths through plies, holes, washers, counts; mm.

The least distances are those of the standard alone (EN 1995-1-1, Tables 8.2 and 8.4, 10.4.3; NDS
2018, Table C12.1.6.6): a rule set may ask for more. To an edge the smaller, unloaded distance is
asked for, as the sheet cannot say which edge is loaded.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from math import acos, cos, hypot
from typing import Any

Plain = dict[str, Any]
NEAR = 0.02  # mm: numbers in the file are rounded to a thousandth
FLUSH = 0.5  # mm of a point that do not count as coming out


class Frame:
    """A member's own frame: stations from its hook end, offsets from its centreline."""

    def __init__(self, member: Plain) -> None:
        """Take the hook end and the direction to the far end."""
        (x, y), (fx, fy) = member["hook_end"], member["far_end"]
        self.x, self.y, self.length = x, y, hypot(fx - x, fy - y)
        self.c, self.s = (fx - x) / self.length, (fy - y) / self.length
        self.outline = [self.local(*p) for p in member["outline"]]
        self.role, self.depth = member["role"], member["depth_mm"]
        self.alpha = acos(min(1.0, abs(self.s))) if "chord" in self.role else 0.0

    def local(self, x: float, y: float) -> tuple[float, float]:
        """Station and offset of a point of the elevation."""
        dx, dy = x - self.x, y - self.y
        return dx * self.c + dy * self.s, dy * self.c - dx * self.s

    def wood(self, at: tuple[float, float]) -> tuple[float, float]:
        """Least distance to the outline, and along the grain to where the timber ends.

        Both negative outside.
        """
        s, o = at
        edge, crossed = float("inf"), []
        corners = self.outline
        for (a, b), (c, d) in zip(corners, corners[1:] + corners[:1], strict=True):
            size = hypot(c - a, d - b) or 1.0
            t = min(1.0, max(0.0, ((s - a) * (c - a) + (o - b) * (d - b)) / size**2))
            edge = min(edge, hypot(s - a - t * (c - a), o - b - t * (d - b)))
            if (b > o) != (d > o):
                crossed.append(a + (o - b) * (c - a) / (d - b) - s)
        if sum(v > 0 for v in crossed) % 2 == 0:
            return -1.0, -1.0
        return edge, min(abs(v) for v in crossed)


def limits(kind: Plain, data: Plain, alpha: float) -> tuple[float, float, float, float]:
    """Least a1 (along), a2 (across), a3 (end), a4 (edge) of one kind of fastener in a member."""
    d, drilled = kind["d"], data["girder"]["predrilled"] or kind.get("drill", 0) > 0
    if data["basis"]["standard"].startswith("NDS"):
        if kind["kind"] == "bolt":
            return 3 * d, 1.5 * d, 3.5 * d, 1.5 * d
        return (10 * d, 3 * d, 10 * d, 2.5 * d) if drilled else (15 * d, 5 * d, 15 * d, 2.5 * d)
    c = max(abs(cos(a)) for a in (0.0, alpha))
    if kind["kind"] == "bolt":
        return (4 + c) * d, 4 * d, 4 * d, 3 * d
    if drilled:
        return (4 + c) * d, 3 * d, 7 * d, 3 * d
    more = 2 if data["girder"]["timber_values"]["rho_k"] > 420 else 0
    along = 7 + 8 * c if more else 5 + (5 if d < 5 else 7) * c
    return along * d, (5 + more) * d, (15 if more else 10) * d, (5 + more) * d


def places(data: Plain, frames: dict[str, Frame]) -> Iterator[str]:
    """Every fastener where its numbers say, in the timber, off edges, ends, plates and brackets."""
    plates = [p["outline"] for p in data["plates"]]
    for f in data["fasteners"]:
        frame, kind = frames[f["member"]], data["fastener_types"][f["spec"]]
        at = (f["station_mm"], f["offset_mm"])
        seen = frame.local(f["x_mm"], f["y_mm"])
        if hypot(seen[0] - at[0], seen[1] - at[1]) > NEAR:
            yield f"{f['id']}: its place in the elevation is not its station and row"
        edge, end = frame.wood(at)
        _, _, a3, a4 = limits(kind, data, frame.alpha)
        prescribed = abs(at[1]) + a4 > frame.depth / 2 and f["kind"] != "bolt"
        if edge < (0.0 if prescribed else a4) - NEAR:
            yield f"{f['id']}: {edge:.1f} mm from an edge, {a4:.1f} mm are the least"
        if end < a3 - NEAR:
            yield f"{f['id']}: {end:.1f} mm from an end, {a3:.1f} mm are the least"
        reach = kind["washer"]["outer"] / 2 if f["kind"] == "bolt" else kind["d"] / 2
        if any(_near(p, (f["x_mm"], f["y_mm"]), reach) for p in plates):
            yield f"{f['id']}: stands on a nail plate"


def _near(corners: list[list[float]], at: tuple[float, float], reach: float) -> bool:
    """Whether a place is inside a convex outline or nearer to it than a shank or washer is wide."""
    x, y = at
    sides = []
    for (a, b), (c, d) in zip(corners, corners[1:] + corners[:1], strict=True):
        sides.append(((c - a) * (y - b) - (d - b) * (x - a)) / (hypot(c - a, d - b) or 1.0))
    return min(sides) > NEAR - reach or max(sides) < reach - NEAR


def spacing(data: Plain, frames: dict[str, Frame]) -> Iterator[str]:
    """No two of a member too near to each other in a common ply."""
    rows: dict[str, list[Plain]] = defaultdict(list)
    for f in data["fasteners"]:
        rows[f["member"]].append(f)
    for member, own in rows.items():
        own.sort(key=lambda f: f["station_mm"])
        least = {
            spec: limits(kind, data, frames[member].alpha)
            for spec, kind in data["fastener_types"].items()
        }
        reach = max(v[0] for v in least.values())
        for i, one in enumerate(own):
            for two in own[i + 1 :]:
                apart = two["station_mm"] - one["station_mm"]
                if apart >= reach:
                    break
                if (one["kind"] == "bolt") != (two["kind"] == "bolt") or not _meet(one, two):
                    continue
                a1, a2 = (max(least[f["spec"]][k] for f in (one, two)) for k in (0, 1))
                across = abs(two["offset_mm"] - one["offset_mm"])
                if apart < a1 - NEAR and across < a2 - NEAR:
                    yield f"{one['id']} and {two['id']}: {apart:.1f} and {across:.1f} mm apart"


def _meet(one: Plain, two: Plain) -> bool:
    ends = [sorted((f["from_ply"], f["to_ply"])) for f in (one, two)]
    return bool(max(low for low, _ in ends) <= min(high for _, high in ends))


def lengths(data: Plain) -> Iterator[str]:
    """Every nail as long as what it goes through, every bolt long enough, every hole and washer."""
    t, plies = data["girder"]["ply_thickness_mm"], data["girder"]["plies"]
    stages = {s["number"]: s for s in data["stages"]}
    for f in data["fasteners"]:
        kind, stack = data["fastener_types"][f["spec"]], stages[f["stage"]]["plies"]
        low, high = sorted((f["from_ply"], f["to_ply"]))
        head = min(stack) if f["face"] == "front" else max(stack)
        if f["from_ply"] != head or low < min(stack) or high > max(stack):
            yield f"{f['id']}: cannot be driven from the {f['face']} in stage {f['stage']}"
        if f["interfaces"] != list(range(low, high)):
            yield f"{f['id']}: says other interfaces than the plies it is in"
        if f["kind"] == "bolt":
            yield from _bolt(f, kind, t * plies, data)
        elif abs((high - low) * t + f["point_depth_mm"] + f["protrusion_mm"] - kind["length"]) > (
            FLUSH + NEAR
        ):
            yield f"{f['id']}: its plies, point and protrusion are not its {kind['length']:g} mm"


def _bolt(f: Plain, kind: Plain, grip: float, data: Plain) -> Iterator[str]:
    washer, d = kind["washer"], kind["d"]
    nuts = 2 if kind["threaded_rod"] else 1
    need = grip + 2 * washer["thickness"] + nuts * kind["nut_height"]
    if kind["length"] < need - NEAR:
        yield f"{f['id']}: {kind['length']:g} mm long, {need:.1f} mm are needed"
    if sorted((f["from_ply"], f["to_ply"])) != [1, data["girder"]["plies"]]:
        yield f"{f['id']}: does not go through every ply"
    if not d - NEAR <= f["drilled_mm"] <= kind["hole_max"] + NEAR:
        yield f"{f['id']}: hole of {f['drilled_mm']:g} mm for a bolt of {d:g} mm"
    if washer["hole"] >= washer["outer"] or washer["hole"] < d:
        yield f"{f['id']}: no washer of this size holds it"


def runs(data: Plain) -> Iterator[str]:
    """Every nail on a mark of its run, every mark with its nails or left out with a reason."""
    there: dict[str, set[tuple[float, int]]] = defaultdict(set)
    for f in data["fasteners"]:
        there[f.get("run") or ""].add((round(f["station_mm"], 1), f["row"]))
    for run in data.get("runs", ()):
        due = set()
        gone = {(out["mark"], row) for out in run["left_out"] for row in _rows(run, out["row"])}
        for k in range(run["marks"]):
            at = round(run["first_mm"] + k * run["step_mm"], 1)
            due |= {(at, row) for row in _rows(run, None, k) if (k, row) not in gone}
        wrong = sorted(due ^ there.pop(run["id"], set()))
        if wrong:
            yield f"run {run['id']}: its marks are not where its nails stand, at {wrong[0][0]:g} mm"
    if data.get("runs") and there:
        yield f"{sum(map(len, there.values()))} fasteners stand in no run of the file"


def _rows(run: Plain, row: int | None, mark: int | None = None) -> list[int]:
    """Rows of a run that a mark is for; alternate ones take turns."""
    own = run["row_numbers"] if row is None else [row]
    if mark is None or run["rows"] != "alternate":
        return list(own)
    return [r for i, r in enumerate(own) if (i + mark + run["parity"]) % 2 == 0]


def counts(data: Plain) -> Iterator[str]:
    """Every count of the file against the fasteners themselves, one by one."""
    own = data["fasteners"]
    doubled = [name for name, n in Counter(f["id"] for f in own).items() if n > 1]
    yield from (f"{name} is there more than once" for name in doubled)
    due = {
        (s["number"], member, kind): n
        for s in data["stages"]
        for member, kinds in s["counts"].items()
        for kind, n in kinds.items()
    }
    there = Counter((f["stage"], f["member"], f["kind"]) for f in own)
    for stage, member, kind in sorted(due.keys() | there.keys()):
        said, n = due.get((stage, member, kind), 0), there[stage, member, kind]
        if said != n:
            yield f"stage {stage}, {member}: says {said} {kind}s, has {n}"
    kinds = Counter(f["kind"] for f in own)
    totals = data["totals"]
    specs = dict(Counter(f["spec"] for f in own))
    want: Plain = {"nails": kinds["nail"], "screws": kinds["screw"], "bolts": kinds["bolt"]}
    want |= {"washers": 2 * kinds["bolt"], "by_spec": specs}
    for name, value in want.items():
        if totals[name] != value:
            yield f"totals: says {totals[name]} for {name}, has {value}"
    ordered: Counter[str] = Counter()
    for line in data.get("order", ()):
        ordered[line["spec"]] += line["ordered"]
    for spec, n in specs.items():
        if data.get("order") and ordered[spec] < n:
            yield f"order: {ordered[spec]} of {spec}, {n} are needed"
