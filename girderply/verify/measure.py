"""What a tape measures: places, distances, lengths through plies, holes, washers, counts; mm.

The least distances are those of the standard alone (EN 1995-1-1, Tables 8.2 and 8.4, 10.4.3; NDS
2018, Table C12.1.6.6): a rule set may ask for more. To an edge the smaller, unloaded distance is
asked for, as the sheet cannot say which edge is loaded.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import product
from math import acos, dist, hypot

from girderply.verify.dowel import Plain

NEAR = 0.02  # mm: numbers in the file are rounded to a thousandth
STEEL = (200.0, 1300.0)  # N/mm2: no fastener is of weaker or stronger; common practice, no source
PARTS = ("permanent_N", "variable_N", "uplift_N")
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


def limits(kind: Plain, data: Plain) -> tuple[float, float, float, float]:
    """Least a1 (along), a2 (across), a3 (end), a4 (edge) of one kind of fastener, any direction."""
    d, drilled = kind["d"], data["girder"]["predrilled"] or kind.get("drill", 0) > 0
    if data["basis"]["standard"].startswith("NDS"):
        if kind["kind"] == "bolt":
            return 3 * d, 1.5 * d, 3.5 * d, 1.5 * d
        return (10 * d, 3 * d, 10 * d, 2.5 * d) if drilled else (15 * d, 5 * d, 15 * d, 2.5 * d)
    if kind["kind"] == "bolt":
        return 5 * d, 4 * d, 4 * d, 3 * d
    if drilled:
        return 5 * d, 3 * d, 7 * d, 3 * d
    if data["girder"]["timber_values"]["rho_k"] > 420:
        return 15 * d, 7 * d, 15 * d, 7 * d
    return (10 if d < 5 else 12) * d, 5 * d, 10 * d, 5 * d


def places(data: Plain) -> Iterator[str]:
    """Every fastener where its numbers say, in the timber, off edges, ends, plates and brackets."""
    frames = {m["id"]: Frame(m) for m in data["members"]}
    plates = [p["outline"] for p in data["plates"]]
    for f in data["fasteners"]:
        frame, kind = frames[f["member"]], data["fastener_types"][f["spec"]]
        at = (f["station_mm"], f["offset_mm"])
        if dist(frame.local(f["x_mm"], f["y_mm"]), at) > NEAR:
            yield f"{f['id']}: its place in the elevation is not its station and row"
        edge, end = frame.wood(at)
        _, _, a3, a4 = limits(kind, data)
        prescribed = abs(at[1]) + a4 > frame.depth / 2 and f["kind"] != "bolt"
        for what, has, least in (("edge", edge, a4 * (not prescribed)), ("end", end, a3)):
            if has < least - NEAR:
                yield f"{f['id']}: {has:.1f} mm from an {what}, {least:.1f} mm are the least"
        reach = kind["washer"]["outer"] / 2 if f["kind"] == "bolt" else kind["d"] / 2
        if any(_near(p, (f["x_mm"], f["y_mm"]), reach) for p in plates):
            yield f"{f['id']}: stands on a nail plate"


def _near(corners: list[list[float]], at: tuple[float, float], reach: float) -> bool:
    """Whether a place is inside a convex outline or nearer to it than a shank or washer is wide."""
    x, y = at
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    sides = [((c - a) * (y - b) - (d - b) * (x - a)) / (hypot(c - a, d - b) or 1.0)
             for (a, b), (c, d) in pairs]  # fmt: skip
    return min(sides) > NEAR - reach or max(sides) < reach - NEAR


def spacing(data: Plain) -> Iterator[str]:
    """No two of a member too near to each other in a common ply: bolts apart, the rest apart."""
    rows: dict[tuple[str, bool], list[Plain]] = defaultdict(list)
    for f in sorted(data["fasteners"], key=lambda f: f["station_mm"]):
        rows[f["member"], f["kind"] == "bolt"].append(f)
    least = {spec: limits(kind, data) for spec, kind in data["fastener_types"].items()}
    reach = max((v[0] for v in least.values()), default=0.0)
    for own in rows.values():
        for i, one in enumerate(own):
            for two in own[i + 1 :]:
                apart = two["station_mm"] - one["station_mm"]
                if apart >= reach:
                    break
                a1, a2 = (max(least[f["spec"]][k] for f in (one, two)) for k in (0, 1))
                across = abs(two["offset_mm"] - one["offset_mm"])
                if apart < a1 - NEAR and across < a2 - NEAR and _meet(one, two):
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
        deep = (high - low) * t + f["point_depth_mm"] + f["protrusion_mm"]
        if f["kind"] != "bolt" and abs(deep - kind["length"]) > FLUSH + NEAR:
            yield f"{f['id']}: its plies, point and protrusion are not its {kind['length']:g} mm"


def _bolt(f: Plain, kind: Plain, grip: float, data: Plain) -> Iterator[str]:
    washer, d = kind["washer"], kind["d"]
    need = grip + 2 * washer["thickness"] + (1 + kind["threaded_rod"]) * kind["nut_height"]
    if kind["length"] < need - NEAR:
        yield f"{f['id']}: {kind['length']:g} mm long, {need:.1f} mm are needed"
    if sorted((f["from_ply"], f["to_ply"])) != [1, data["girder"]["plies"]]:
        yield f"{f['id']}: does not go through every ply"
    play = 25.4 / 16 if data["basis"]["standard"].startswith("NDS") else 1.0
    if not d - NEAR <= f["drilled_mm"] <= d + play + NEAR:
        yield f"{f['id']}: hole of {f['drilled_mm']:g} mm for a bolt of {d:g} mm"
    if washer["hole"] >= washer["outer"] or washer["hole"] < d:
        yield f"{f['id']}: no washer of this size holds it"


def runs(data: Plain) -> Iterator[str]:
    """Every nail on a mark of its run, every mark with its nails or left out with a reason."""
    there: dict[str, set[tuple[float, int]]] = defaultdict(set)
    for f in data["fasteners"]:
        there[f.get("run") or ""].add((round(f["station_mm"], 1), f["row"]))
    for run in data.get("runs", ()):
        rows, turns = run["row_numbers"], 2 if run["rows"] == "alternate" else 1
        gone = {(out["mark"], out["row"]) for out in run["left_out"]}
        due = {
            (round(run["first_mm"] + k * run["step_mm"], 1), row)
            for k, (i, row) in product(range(run["marks"]), enumerate(rows))
            if (i + k + run["parity"]) % turns == 0 and not {(k, row), (k, None)} & gone
        }
        if wrong := sorted(due ^ there.pop(run["id"], set())):
            yield f"run {run['id']}: its marks are not where its nails stand, at {wrong[0][0]:g} mm"
    if data.get("runs") and there:
        yield f"{sum(map(len, there.values()))} fasteners stand in no run of the file"


def rows(data: Plain) -> Iterator[str]:
    """Rows count from the lower edge, of an upright from the inner one, wherever the tape hooks.

    A single one on the centreline is the only one of its row.
    """
    frames = {m["id"]: Frame(m) for m in data["members"]}
    alone = {run["id"] for run in data.get("runs", ()) if run["single"]}
    ends = [x for m in data["members"] for x, _ in m["outline"]]
    lines: dict[tuple[str, str], set[tuple[float, int]]] = defaultdict(set)
    for f in data["fasteners"]:
        frame, offset = frames[f["member"]], f["offset_mm"]
        way = frame.c if abs(frame.c) > 1e-6 else frame.s * (min(ends) + max(ends) - 2 * frame.x)
        if f.get("run") not in alone or abs(offset) > NEAR:
            height = round(offset * ((way > 0) - (way < 0)), 1)
            lines[f["member"], f["kind"]].add((height, f["row"]))
    for (member, kind), own in lines.items():
        told = [row for _, row in sorted(own)]
        if told != sorted(told):
            yield f"{member}: rows of its {kind}s are not counted from the lower, or inner, edge"


def counts(data: Plain) -> Iterator[str]:
    """Every count of the file against the fasteners themselves, one by one."""
    own = data["fasteners"]
    doubled = (name for name, n in Counter(f["id"] for f in own).items() if n > 1)
    yield from (f"{name} is there more than once" for name in doubled)
    for stage in data["stages"]:
        due = Counter({(m, kind): n for m, by in stage["counts"].items() for kind, n in by.items()})
        has = Counter((f["member"], f["kind"]) for f in own if f["stage"] == stage["number"])
        for one in sorted((due - has) | (has - due)):
            yield f"stage {stage['number']}, {one[0]}: {has[one]} {one[1]}s, {due[one]} are told"
    kinds, specs = (Counter(f[what] for f in own) for what in ("kind", "spec"))
    want: Plain = {f"{kind}s": kinds[kind] for kind in ("nail", "screw", "bolt")}
    want |= {"washers": 2 * kinds["bolt"], "by_spec": dict(specs)}
    for name, value in want.items():
        if data["totals"][name] != value:
            yield f"totals: says {data['totals'][name]} for {name}, has {value}"
    order = data.get("order", ())
    for spec, n in specs.items() if order else ():
        if (ordered := sum(x["ordered"] for x in order if x["spec"] == spec)) < n:
            yield f"order: {ordered} of {spec}, {n} are needed"


def loads(data: Plain) -> Iterator[str]:
    """Every load where its station is; on each face, and together, what the sums tell."""
    own, frames = data["loads"], {m["id"]: Frame(m) for m in data["members"]}
    for x, frame in ((x, frames[x["chord"]]) for x in own):
        if abs(frame.x + frame.c * x["station_mm"] - x["x_mm"]) > NEAR:
            yield f"{x['id']}: its place in the elevation is not its station"
    told = data["sums"]["faces"] | {"all faces": data["sums"]}
    for face, part in product(sorted({x["face"] for x in own} | set(told)), PARTS):
        has = sum(x[part] or 0.0 for x in own if face in (x["face"], "all faces"))
        if abs(has - (said := told.get(face, {}).get(part, 0.0))) > 1.0 + 1e-3 * said:
            yield f"{face}: the loads have {has:.0f} N {part[:-2]}, the sums tell {said:.0f} N"


def steel(data: Plain) -> Iterator[str]:
    """Strengths that a fastener can have; a plastic moment is at most 0.45 f_u d^2.6."""
    for spec, kind in data["fastener_types"].items():
        fu, M_y = kind.get("fu") or STEEL[0], kind.get("M_y") or 0.0
        if not STEEL[0] <= fu <= STEEL[1] or M_y > 0.45 * STEEL[1] * kind["d"] ** 2.6:
            yield f"{spec}: no steel has f_u {fu:g} N/mm2 or M_y {M_y:g} Nmm at its size"
