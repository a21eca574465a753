"""Splitting of a chord by what hangs on it, EN 1995-1-1, 8.1.4: the least that it comes to; N, mm.

Whatever the frame does, the shear on one side of a bracket is at least half of what enters the ply
across its grain there. Kinder than the first engine: every fixing is taken to be at the bracket's
upper edge, gamma_M to be 1.2, and one bracket at a time, downward, is looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import Any

from girderply.verify.measure import Frame
from girderply.verify.passing import TOLERANCE, cases

FULL, GAMMA_M = 0.99, 1.2


def splitting(data: dict[str, Any]) -> Iterator[str]:
    """Every bracket under which a loaded ply splits in some combination."""
    basis, girder = data["basis"], data["girder"]
    if not data["for_assembly"] or not basis.get("split_clause"):
        return
    members = {m["id"]: m for m in data["members"]}
    brackets = {b["load"]: b for b in data["brackets"] if not b["assumed"]}
    for load in data["loads"]:
        bracket, member = brackets.get(load["id"]), members[load["chord"]]
        if bracket is None or load["face"] == "top" or not bracket["height"]:
            continue
        h, across = member["depth_mm"], abs(Frame(member).c)
        h_e = h / 2 + bracket["flush_offset"] + bracket["height"]
        if not 0 < h_e < FULL * h:
            continue
        F_90_Rk = 14 * girder["ply_thickness_mm"] * sqrt(h_e / (1 - h_e / h))
        for case in cases(data):
            least = case.value(load) * across / min(load["plies_reached"], girder["plies"]) / 2
            resists = F_90_Rk * case.modification / GAMMA_M
            if least > resists * (1 + TOLERANCE) + 1:
                yield f"{load['id']}, {case.name}: {least:.0f} N at least, {resists:.0f} N at most"
