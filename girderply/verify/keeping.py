"""What every ply keeps of every load, where the transfer was designed by computed shares; N.

How the springs come to these parts is not done again here. They must be whole and there for every
load, what they leave in the plies must lie within the reactions that the file tells, and a girder
that leans on them must stay within the limit that it tells.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import product

from girderply.verify.dowel import Plain
from girderply.verify.passing import COMPUTED, cases

WHOLE = 1e-5  # parts are rounded to a millionth
NEAR = 1e-3  # of what hangs on the girder
AWAY = {"": "", "back": ".front", "front": ".back"}  # the face left out, and how it is named


def keeping(data: Plain) -> Iterator[str]:
    """What is wrong with the parts."""
    told = data["shares"] or {}
    sets, leans = told.get("by_load", []), data["basis"].get("design_by") == COMPUTED
    hung = {x["id"] for x in data["loads"] if x["face"] != "top"}
    if bool(sets) != leans and (sets or (hung and data["for_assembly"])):
        yield f"by {COMPUTED if leans else 'equal shares'}, with {len(sets)} computed sets"
    if not sets:
        return
    n, ids = data["girder"]["plies"], {x["id"] for x in data["loads"]}
    for one in sets:
        kept = one["kept"]
        whole = {x for x, v in kept.items() if len(v) == n and abs(sum(v) - 1.0) <= n * WHOLE}
        for load in sorted((ids | set(kept)) - (ids & whole)):
            yield f"{one['state']}: the parts of {load} are not whole"
            return
    always = [s for s in sets if not s["combinations"]]
    if {s["state"][-7:] for s in always if "play" not in s["state"]} != {"initial", ", final"}:
        yield "no shares without play, at first and after creep"
    yield from _reactions(data, always)
    for row in told["worst"] if data["for_assembly"] else ():
        if row["bearing"] and row["share"] > 1.0 + told["limit"] + WHOLE:
            yield f"ply {row['ply']} keeps {row['share']} of its equal share, beyond the limit"


def _reactions(data: Plain, sets: list[Plain]) -> Iterator[str]:
    """What the parts leave in a ply lies within what its bearings carry over all states.

    A combination with one face pressed down and the other lifted is left out.
    """
    low: dict[tuple[str, int], float] = defaultdict(float)
    high = low.copy()
    for row in data["reactions"]:
        low[row["combination"], row["ply"]] += row["least"]
        high[row["combination"], row["ply"]] += row["most"]
    whole = {name for name, _ in low}
    for case, (away, end) in product((c for c in cases(data) if c.code in whole), AWAY.items()):
        worth = {x["id"]: case.value(x) * (x["face"] != away) for x in data["loads"]}
        off = 1.0 + NEAR * sum(map(abs, worth.values()))
        for one, at in product(sets, (a for a in low if a[0] == case.code + end)):
            kept = sum(v * one["kept"][load][at[1] - 1] for load, v in worth.items())
            if not low[at] - off <= kept <= high[at] + off:
                bears = f"it bears {low[at]:.0f} to {high[at]:.0f}"
                yield f"{at[0]}: ply {at[1]} keeps {kept:.0f} N, {bears}"
