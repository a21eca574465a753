"""Does what crosses each interface carry what must pass there? A flow along each loaded chord.

A load may use what stands within its reach, cut off at bearings and at the ends of the chord. An
interface holds when, between the start of any load's window and the end of any other's, there is
enough for all loads whose windows lie between: for intervals that is the whole of it.

Kinder than the first engine where it does not follow it: group action by NDS is left out, and
where fasteners of several kinds share an interface each counts for the load that it suits best.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product
from math import cos

from girderply.verify.dowel import INCH, Floats, Plain, ec5, nds, stack_limit
from girderply.verify.measure import Frame

COMPUTED = "computed shares"
SAME_PLACE = 25.0  # mm between brackets that are one place
TOLERANCE = 0.003  # numbers in the file are rounded
K_EF = ((4, 0.5), (7, 0.7), (10, 0.85), (14, 1.0))  # EN 1995-1-1, Table 8.1
# Loads at one place: from and to, mm, of their window; N that each interface passes.
Place = tuple[float, float, Floats]
LASTING = ("permanent", "long")
# EN 1995-1-1, Table 3.1, solid timber, service class 1, 2, 3
K_MOD = {"permanent": (0.6, 0.6, 0.5), "long": (0.7, 0.7, 0.55), "medium": (0.8, 0.8, 0.65),
         "short": (0.9, 0.9, 0.7), "instantaneous": (1.1, 1.1, 0.9)}  # fmt: skip
# NDS 2018, Table 2.3.2; a connection takes no more than ten minutes
C_D = {"permanent": 0.9, "ten years": 1.0, "two months": 1.15, "seven days": 1.25,
       "ten minutes": 1.6, "impact": 1.6}  # fmt: skip
# NDS 2018, Table 11.3.3: below 1/4 in, from 1/4 in on
C_M = {"dry": (1.0, 1.0), "wet": (0.7, 0.7), "made wet, used dry": (0.7, 0.4)}


@dataclass(frozen=True)
class Case:
    """One combination: factors of the parts and cases of a load, what lasts, k_mod or C_D."""

    code: str
    name: str
    factors: dict[str, float]
    lasting: bool
    modification: float

    def value(self, load: Plain) -> float:
        """A load's value, N, downward positive; one without parts has a design value of its own."""
        parts = {n: load[f"{n}_N"] or 0.0 for n in ("permanent", "variable", "uplift")}
        parts |= load.get("cases_N") or {}
        if not any(parts.values()):
            return float(load["design_N"] * self.factors.get("design", 0.0))
        return float(sum(f * parts.get(name, 0.0) for name, f in self.factors.items()))


def cases(data: Plain) -> list[Case]:
    """The combinations of the file, each with the modification of its duration."""
    basis, table = data["basis"], C_D
    if not basis["standard"].startswith("NDS"):
        table = {name: row[int(basis["service_class"]) - 1] for name, row in K_MOD.items()}
    return [Case(c["code"], c["text"], c["factors"], c["duration"] in LASTING,
                 table[c["duration"]]) for c in data["combinations"]]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Kind:
    """Fasteners alike in the stack: plies from head to point, its depth and whether it is out."""

    spec: str
    plies: tuple[int, ...]
    point: float
    drilled: bool
    out: bool


class Chord:
    """One loaded chord: its frame, its loads and what stands in it."""

    def __init__(self, data: Plain, member: str, frame: Frame, told: bool = False) -> None:
        """Sort its fasteners by kind; `told`: nothing is used more than its checks say."""
        self.data, self.name, self.frame, self.basis = data, member, frame, data["basis"]
        self.nds = self.basis["standard"].startswith("NDS")
        self.n, self.t = data["girder"]["plies"], data["girder"]["ply_thickness_mm"]
        loads = (x for x in data["loads"] if x["chord"] == member and x["face"] != "top")
        self.loads = sorted(loads, key=lambda x: float(x["station_mm"]))
        self.kinds: dict[Kind, list[tuple[float, float]]] = defaultdict(list)
        bolts = self.basis["transfer_by"] == "bolt"
        for f in data["fasteners"]:
            bracket = f["kind"] == "bolt" and f["purpose"] == "assembly" and f["load"]
            if f["member"] == member and (f["kind"] == "bolt") == bolts and not bracket:
                step = 1 if f["to_ply"] > f["from_ply"] else -1
                plies = tuple(range(f["from_ply"], f["to_ply"] + step, step))
                rest = f["point_depth_mm"], f["drilled_mm"] > 0, f["protrusion_mm"] > 1e-6
                self.kinds[Kind(f["spec"], plies, *rest)].append((f["station_mm"], f["offset_mm"]))
        self.counted = {kind: self._interfaces(kind) for kind in self.kinds}
        self.boxed = len({frozenset(v) for v in self.counted.values()}) > 1
        self.told: dict[str, float] = defaultdict(lambda: 1.0 - told)  # the hardest of its checks
        for (who, _, at), c in ((c["id"].partition(".i"), c) for c in data["checks"]):
            if told and {x["id"] for x in self.loads} & set(who.split("+")):
                self.told[at[:1]] = max(self.told[at[:1]], min(1.0, c["utilisation"]))

    def _interfaces(self, kind: Kind) -> tuple[int, ...]:
        """The last only where the point is deep enough beyond it (8.3.1.2, 8.7.1; NDS 12.1.6.4)."""
        own, crossed = self.data["fastener_types"][kind.spec], map(min, pairwise(kind.plies))
        least = 8 if own.get("surface") == "smooth" and not self.nds else 6
        deep = kind.out or own["kind"] == "bolt" or kind.point >= least * own["d"] - 1e-3
        return tuple(crossed) if deep else tuple(crossed)[:-1]

    def objections(self) -> Iterator[str]:
        """Every interface of every combination, each face alone too, that carries too little."""
        for pair in product([*cases(self.data), None], repeat=2):
            faces = {face: c for face, c in zip(("front", "back"), pair, strict=True) if c}
            turned = {"uplift" in c.factors for c in faces.values()}
            if not faces or (None not in pair and pair[0] is not pair[1] and len(turned) == 1):
                continue
            case = max(faces.values(), key=lambda c: (c.modification, "uplift" in c.factors))
            for kept in self._kept(case.code, faces):
                places = list(self._places(faces, kept))
                for k in range(1, self.n) if places else ():
                    yield from self._windows(case, k, places)

    def _kept(self, code: str, faces: dict[str, Case]) -> list[dict[str, list[float]]]:
        """Part of every load that each ply keeps: equal, or in each state that the file tells."""
        if self.basis.get("design_by") != COMPUTED or not self.data["shares"]:
            return [{x["id"]: [1 / self.n] * self.n for x in self.loads}]
        name = code if len(faces) > 1 else f"{code}.{next(iter(faces))}"
        return [s["kept"] for s in self.data["shares"]["by_load"]
                if not s["combinations"] or name in s["combinations"]]  # fmt: skip

    def _places(self, faces: dict[str, Case], kept: dict[str, list[float]]) -> Iterator[Place]:
        groups: list[list[Plain]] = []
        for load in (x for x in self.loads if x["face"] in faces):
            if not groups or load["station_mm"] - groups[-1][0]["station_mm"] > SAME_PLACE:
                groups.append([])
            groups[-1].append(load)
        for group in groups:
            into = [0.0] * self.n  # less what it keeps
            for load in group:
                value = faces[load["face"]].value(load)
                reached = min(load["plies_reached"], self.n)
                parts = [1 / reached] * reached + [0.0] * (self.n - reached)
                parts = parts if load["face"] == "front" else parts[::-1]
                each = zip(into, parts, kept[load["id"]], strict=True)
                into = [a + value * (part - keeps) for a, part, keeps in each]
            shears = tuple(sum(into[:k]) for k in range(1, self.n))
            if any(abs(v) > 1e-3 for v in shears):
                at = sum(x["station_mm"] for x in group) / len(group)
                yield *self._window(at), shears

    def _window(self, at: float) -> tuple[float, float]:
        reach, frame = self.basis["reach_mm"], self.frame
        low, high = max(0.0, at - reach), min(frame.length, at + reach)
        if frame.role == "bottom chord" and abs(frame.c) > 1e-9:
            stops = [(b["x_mm"] - frame.x) / frame.c for b in self.data["girder"]["bearings"]]
            low = max([low, *(s for s in stops if s < at - SAME_PLACE)])
            high = min([high, *(s for s in stops if s > at + SAME_PLACE)])
        return low, high

    def value(self, kind: Kind, k: int, shears: Floats, case: Case) -> float:
        """Design resistance of one fastener at an interface under the pattern of a place, N."""
        counted, last = self.counted[kind], self.t if kind.out else min(kind.point, self.t)
        plies = ((self.t,) * (len(kind.plies) - 1) + (last,))[: len(counted) + 1]
        size = max(abs(shears[j - 1]) for j in counted)
        pattern = tuple(round(shears[j - 1] / size, 9) if size else 0.0 for j in counted)
        i, girder, alpha = counted.index(k), self.data["girder"], self.frame.alpha
        own: Plain = self.data["fastener_types"][kind.spec] | {"ply": self.t}
        if not pattern[i]:
            return 0.0
        if self.nds:
            dowel, factor = nds(own, girder["timber_values"], alpha), case.modification
            factor *= C_M[girder["moisture"]][own["d"] >= INCH / 4]
            inside = len(counted) == len(kind.plies) - 1 and not kind.out
            if own["kind"] == "nail" and inside and last < 10 * own["d"]:
                plies = (*plies[:-1], last - own["d"])  # half of the tapered point, 12.3.5.3
        else:
            drilled = kind.drilled or girder["predrilled"]
            dowel = ec5(own, girder["timber_values"], (alpha, drilled, plies[-1]), case.lasting)
            factor = case.modification / self.basis["gamma_connection"]
        pair = plies[i], plies[i + 1]
        own_mode = dowel.credited(*pair) if len(counted) > 1 else dowel
        whole = stack_limit(own_mode, plies, pattern, self.boxed) * abs(pattern[i])
        return dowel.single(*pair) * min(1.0, whole / dowel.single(*pair, rope=False)) * factor

    def _windows(self, case: Case, k: int, places: list[Place]) -> Iterator[str]:
        supply = [
            (where, [self.value(kind, k, shears, case) for _, _, shears in places])
            for kind, where in self.kinds.items() if k in self.counted[kind]]  # fmt: skip
        for low, high in {(p[0], q[1]) for p, q in product(places, repeat=2) if q[1] > p[0]}:
            inside = [i for i, (a, b, _) in enumerate(places) if low <= a and b <= high]
            asked = sum(abs(places[i][2][k - 1]) for i in inside)
            carried = sum(
                self._number([x for x in where if low - 1e-3 <= x[0] <= high + 1e-3])
                * max((v[i] for i in inside), default=0.0) for where, v in supply)  # fmt: skip
            told = self.told[str(k)]
            if asked > carried * told * (1 + TOLERANCE) + 1.0:
                where = f"{self.name}, interface {k}, {low:.0f} to {high:.0f} mm, {case.name}"
                yield f"{where}: {asked:.0f} N must pass, {carried:.0f} N carry, checks: {told:.3f}"
                return

    def _number(self, where: list[tuple[float, float]]) -> float:
        """How many count: all across the grain, n^k_ef of each row along it (8.3.1.1(8))."""
        along = abs(cos(self.frame.alpha))
        if along < 1e-6 or self.nds:
            return float(len(where))
        rows: dict[float, list[float]] = defaultdict(list)
        for s, o in sorted(where):
            rows[round(o, 2)].append(s)
        d = min(self.data["fastener_types"][k.spec]["d"] for k in self.kinds)
        total = sum(len(row) ** _k_ef(row, d) for row in rows.values())
        return float(min(len(where), total / along))


def _k_ef(row: list[float], d: float) -> float:
    gap = min((b - a for a, b in pairwise(row)), default=14 * d) / d
    for (x, y), (u, v) in pairwise(K_EF):
        if gap <= u:
            return float(y + (max(gap, x) - x) * (v - y) / (u - x))
    return 1.0


def combined(data: Plain) -> Iterator[str]:
    """Both parts act together once, with their whole factors, where loads have parts."""
    basis, given = data["basis"], data["combinations"]
    parts = [p for p in ("permanent", "variable") if any(x[f"{p}_N"] for x in data["loads"])]
    whole = {p: basis.get(f"gamma_{p}", 1.0) - TOLERANCE for p in parts}
    there = any(all(c["factors"].get(p, 0.0) >= g for p, g in whole.items()) for c in given)
    if parts and not data["cases"] and "gamma_permanent" in basis and not there:
        yield f"no combination has {' and '.join(parts)} with their whole factors"
