"""A girder as it stands by its record, told again: plain data, and the second engine measures it.

Nothing here calls what judges records. Of what a record leaves open (where the missing ones of a
count are, which way a fastener is off) one possible girder is drawn by dice: a world.
"""

from __future__ import annotations

import copy
import random
import re
from collections import defaultdict
from math import hypot, inf

from girderply.verify import measure, verify
from girderply.verify.dowel import ec5, nds

GONE = ("missing", "overdriven", "split", "wrong-size")  # does not count: the record's own words
NAMED = re.compile(r"^(\S+?)(?: and (\S+?))?: ")


def world(data, record, dice, tolerance):
    """A copy of a contract with the fasteners that stand and count in one girder of this record.

    Args:
        data: contract, with what was added.
        record: the record's own data.
        dice: what is open is drawn from it.
        tolerance: up to which a misplaced one counts, mm.
    """
    made = copy.deepcopy(data)
    frames = {m["id"]: measure.Frame(m) for m in made["members"]}
    marks = {m["id"]: m for m in record["marks"]}
    out = {f["id"] for f in made["fasteners"] if _lost(f, marks.get(f["id"]), tolerance)}
    for count in record["counts"]:
        out |= _somewhere(made, count, marks, dice)
    made["fasteners"] = [f for f in made["fasteners"] if f["id"] not in out]
    for f in made["fasteners"]:
        mark = marks.get(f["id"])
        if mark and mark["state"] == "misplaced":
            _move(f, frames, *_any_way(dice, mark["by_mm"]))
        for s in record["shifts"]:
            if (f["member"], f["stage"]) == (s["member"], s["stage"]) and s["row"] in (
                None,
                f["row"],
            ):
                _move(f, frames, s["along_mm"], s["across_mm"])
    return made


def _lost(f, mark, tolerance):
    if mark is None:
        return False
    if mark["state"] == "misplaced":
        return mark["by_mm"] is None or mark["by_mm"] > tolerance
    return mark["state"] in GONE or (mark["state"] == "loose" and f["kind"] != "bolt")


def _somewhere(made, count, marks, dice):
    """As many of a counted row as are missing and nobody named: side by side, or anywhere."""
    row = [
        f
        for f in made["fasteners"]
        if all(f[k] == count[k] for k in ("member", "stage", "kind"))
        and count["row"] in (None, f["row"])
    ]
    named = sum(marks[f["id"]]["state"] == "missing" for f in row if f["id"] in marks)
    rest = sorted((f for f in row if f["id"] not in marks), key=lambda f: f["station_mm"])
    n = max(0, min(count["due"] - count["found"] - named, len(rest)))
    if dice.random() < 0.5:
        first = dice.randint(0, len(rest) - n)
        return {f["id"] for f in rest[first : first + n]}
    return {f["id"] for f in dice.sample(rest, n)}


def _any_way(dice, by):
    along, across = dice.uniform(-1, 1), dice.uniform(-1, 1)
    size = hypot(along, across) or 1.0
    return by * along / size, by * across / size


def _move(f, frames, along, across):
    frame = frames[f["member"]]
    f["station_mm"] += along
    f["offset_mm"] += across
    f["x_mm"] += along * frame.c - across * frame.s
    f["y_mm"] += along * frame.s + across * frame.c


def away(made, load, by):
    """The same with every unmarked fastener of a load's chord `by` mm farther away from it."""
    made = copy.deepcopy(made)
    frames = {m["id"]: measure.Frame(m) for m in made["members"]}
    for f in made["fasteners"]:
        if f["member"] == load["chord"]:
            _move(f, frames, by if f["station_mm"] > load["station_mm"] else -by, 0.0)
    return made


def without_those_too_near(made, moved):
    """Of fasteners that stand off their marks as a row, those that keep every distance."""
    made = copy.deepcopy(made)
    for look in (measure.places, measure.spacing):
        named = set()
        for text in look(made):
            named |= set(filter(None, NAMED.match(text).groups()))
        made["fasteners"] = [f for f in made["fasteners"] if f["id"] not in named & moved]
    return made


def over_a_gap(made, gap):
    """The same with loads as much more as the kindest of its fasteners loses over the gap."""
    if not gap:
        return made
    made, kept = copy.deepcopy(made), max(_kept(made, gap), default=1.0)
    for load in made["loads"]:
        for name in ("design_N", "permanent_N", "variable_N", "uplift_N"):
            load[name] = load[name] / kept if load[name] else load[name]
        load["cases_N"] = {k: v / kept for k, v in load["cases_N"].items()}
    return made


def _kept(made, gap):
    girder, basis = made["girder"], made["basis"]
    t = girder["ply_thickness_mm"]
    used = {
        (f["spec"], f["point_depth_mm"], f["drilled_mm"] > 0)
        for f in made["fasteners"]
        if (f["kind"] == "bolt") == (basis["transfer_by"] == "bolt")
    }
    for spec, point, drilled in used:
        kind = made["fastener_types"][spec] | {"ply": t}
        if basis["standard"].startswith("NDS"):
            dowel = nds(kind, girder["timber_values"], 0.0)
        else:
            dowel = ec5(kind, girder["timber_values"], (0.0, drilled, point), False)
        lengths = t, min(point or t, t)
        yield most_shear(dowel.p, dowel.M_y, lengths, gap) / most_shear(
            dowel.p, dowel.M_y, lengths, 0.0
        )


def most_shear(p, M_y, lengths, gap):
    """Largest shear through two plies by equilibrium alone, N: found by halving, no closed form.

    At an inner face a ply can hold a moment m(F): the dowel pushes one way over u and the other
    way over the rest, or bends at F / p. Over a gap the two moments together are F times the gap.
    """

    def moment(F, a):
        u = (a + F / p) / 2
        if u > a:
            return -inf
        stiff = p * (a - u) * (a + u) / 2 - p * u * u / 2
        return min(stiff, M_y - F * F / (2 * p))

    low, high = 0.0, p * min(lengths)
    for _ in range(60):
        F = (low + high) / 2
        holds = sum(moment(F, a) for a in lengths) >= F * gap - 1e-9
        low, high = (F, high) if holds else (low, F)
    return low


def objections(made, looks=("limits", "transfer", "lengths")):
    """What the second engine says against a world."""
    return [f"{d.what}: {d.text}" for d in verify(made).disagreements if d.what in looks]


def too_thick(made, added):
    """Make-good nails that would have to be drilled for and are not.

    EN 1995-1-1, 8.3.1.2(6), (8.18), from memory, to be checked: undrilled, a timber
    has at least max(7 d, (13 d - 30) rho_k / 400).
    """
    girder = made["girder"]
    if made["basis"]["standard"].startswith("NDS"):
        return []
    rho, t = girder["timber_values"]["rho_k"], girder["ply_thickness_mm"]
    return [
        f"{f['id']}: {f['spec']} undrilled in plies of {t} mm"
        for f in added
        if f["kind"] == "nail" and not f["drilled_mm"] and not girder["predrilled"]
        for d in (made["fastener_types"][f["spec"]]["d"],)
        if t < max(7 * d, (13 * d - 30) * rho / 400) - 1e-6 or d > 6.0
    ]


def lacks(data, record):
    """What a signature needs by the words of the inspector's sheet, and the record does not say."""
    found = []
    found += [] if record["inspector"].strip() else ["name"]
    found += [] if re.fullmatch(r"\d{4}-\d\d-\d\d", record["date"]) else ["date"]
    found += [] if record["plies"]["gap_mm"] is not None else ["gap"]
    found += [] if record["plies"]["alignment_mm"] is not None else ["alignment"]
    signed = {s["stage"]: s for s in record["signatures"] if s["name"].strip() and s["date"]}
    seen = {s["stage"]: s for s in record["stages"]}
    kinds = defaultdict(set)
    clenched = defaultdict(int)
    for f in data["fasteners"]:
        kinds[f["stage"]].add(f["kind"])
        clenched[f["stage"]] += f["clench"]
    for stage in data["stages"]:
        n = stage["number"]
        said = seen.get(n)
        found += [f"hold point {n}"] if stage["hold_point"] and n not in signed else []
        if not kinds[n]:
            continue
        if said is None:
            found.append(f"stage {n}")
            continue
        found += [f"nails {n}"] if kinds[n] - {"bolt"} and not said["nails"] else []
        found += [f"finish {n}"] if not said["finish"].strip() else []
        found += [f"washers {n}"] if "bolt" in kinds[n] and said["washers"] is None else []
        found += [f"points {n}"] if (said["clenched"] or 0) < clenched[n] else []
    return found


def draws(seed, n):
    """Dice of their own for each world of a case."""
    return [random.Random(f"{seed}/{i}") for i in range(n)]
