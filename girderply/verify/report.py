"""The second opinion as a whole: what is wrong with a schedule.json, in words."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from typing import Final

from girderply.verify import measure
from girderply.verify.dowel import Plain
from girderply.verify.keeping import keeping
from girderply.verify.passing import TOLERANCE, Chord, cases, combined

NOT_MEASURED: Final = (
    "how the plies share the load", "splitting beyond half of what hangs there", "bearings",
    "fixings of brackets", "the rule set's own limits")  # fmt: skip
NOT_BY_NDS: Final = ("group action", "shear at connections")
SPLIT_FULL, SPLIT_GAMMA_M = 0.99, 1.2  # of the depth beyond which nothing splits; gamma_M
READS: Final = "girderply.schedule/3"
MOST: Final = 20  # of one kind that are told; the rest are counted


@dataclass(frozen=True, slots=True)
class Disagreement:
    """One thing that the second engine finds otherwise: what was measured, and what was found."""

    what: str
    text: str


@dataclass(frozen=True, slots=True)
class Verification:
    """What came of it.

    Attributes:
        measured: what was looked at, with the number of things.
        disagreements: empty where the second engine agrees.
        for_assembly: what the file itself says.
        not_measured: what is taken from the first engine as it is.
    """

    measured: dict[str, int]
    disagreements: tuple[Disagreement, ...]
    for_assembly: bool
    not_measured: tuple[str, ...] = NOT_MEASURED

    @property
    def agrees(self) -> bool:
        """Nothing was found otherwise."""
        return not self.disagreements


def verify_file(path: Path) -> Verification:
    """Verify a pack's folder or its schedule.json.

    Raises:
        OSError: cannot be read. ValueError: is no schedule.json, or one of another contract.
    """
    path = path / "schedule.json" if path.is_dir() else path
    data = json.loads(path.read_text("utf-8"))
    schema = str(data.get("schema", "")) if isinstance(data, dict) else ""
    if not schema.startswith("girderply.schedule/"):
        raise ValueError(f"{path} is no schedule.json")
    return verify(data)


def verify(data: Plain) -> Verification:
    """Measure a schedule again.

    Args:
        data: schedule.json, read.

    Raises:
        ValueError: it is of another contract.
    """
    if data["schema"] != READS:
        raise ValueError(f"{data['schema']}, this version reads {READS}: use the one it is by")
    found: list[Disagreement] = []
    for what, look in LOOKS + LOOKS_IF_GOOD * bool(data.get("for_assembly")):
        try:
            said = list(look(data))
        except (KeyError, TypeError, ValueError, ZeroDivisionError, IndexError) as fault:
            said = [f"cannot be measured: {type(fault).__name__} {fault}"]
        found += [Disagreement(what, text) for text in said[:MOST]]
        found += [Disagreement(what, f"and {n} more") for n in (len(said) - MOST,) if n > 0]
    left = NOT_MEASURED + NOT_BY_NDS * ("NDS" in data.get("basis", {}).get("standard", ""))
    measured = {what: len(data.get(what, ())) for what in ("fasteners", "checks", "loads")}
    return Verification(measured, tuple(found), bool(data.get("for_assembly")), left)


def _transfer(data: Plain, told: bool = False) -> Iterator[str]:
    for member in data["members"]:
        yield from Chord(data, member["id"], measure.Frame(member), told).objections()


def _assembly(data: Plain) -> Iterator[str]:
    """What stands is not turned over."""
    for stage in data["stages"]:
        if stage["turn_over_before"] and (data.get("assembly") or {}).get("way") == "upright":
            yield f"stage {stage['number']}: turned over, though the plies stand"


def _reach(data: Plain) -> Iterator[str]:
    """What people cannot reach gets no nail, nut or bent point."""
    face = (data.get("assembly") or {}).get("faces", "both")
    for f in data["fasteners"]:
        if face != "both" and (f["face"] != face or f["kind"] == "bolt" or f["clench"]):
            yield f"{f['id']}: cannot be done from the {face} face alone"


def _checks(data: Plain) -> Iterator[str]:
    """Each check's own arithmetic, and the verdict that they make together."""
    for c in data["checks"]:
        used = c["demand"] / c["resistance"] if c["resistance"] else c["utilisation"]
        if abs(used - c["utilisation"]) > 2e-3 * max(1.0, used):
            yield f"{c['id']}: {used:.3f} of its resistance is used, it says {c['utilisation']}"
        if c["ok"] != (c["demand"] <= c["resistance"] * (1 + 2e-6) + 1e-3):
            yield f"{c['id']}: {c['demand']} against {c['resistance']} is not as it says"
    errors = [f for f in data["findings"] if f["severity"] == "error"]
    if (all(c["ok"] for c in data["checks"]) and not errors) != data["for_assembly"]:
        yield "a check or a finding says otherwise than the verdict"


def _splitting(data: Plain) -> Iterator[str]:
    """Every bracket under which a loaded ply splits, EN 1995-1-1, 8.1.4: the least it comes to.

    Whatever the frame does, the shear on one side of a bracket is at least half of what enters the
    ply across its grain there. Kinder than the first engine: every fixing is taken to be at the
    bracket's upper edge, gamma_M to be 1.2, and one bracket at a time, downward, is looked at.
    """
    if not data["basis"].get("split_clause"):
        return
    girder = data["girder"]
    members = {m["id"]: m for m in data["members"]}
    brackets = {b["load"]: b for b in data["brackets"] if b["height"] and not b["assumed"]}
    for load in data["loads"]:
        bracket, member = brackets.get(load["id"]), members[load["chord"]]
        if bracket is None or load["face"] == "top":
            continue
        h, across = member["depth_mm"], abs(measure.Frame(member).c)
        h_e = h / 2 + bracket["flush_offset"] + bracket["height"]
        if not 0 < h_e < SPLIT_FULL * h:
            continue
        F_90_Rk = 14 * girder["ply_thickness_mm"] * sqrt(h_e / (1 - h_e / h))
        for case in cases(data):
            least = case.value(load) * across / min(load["plies_reached"], girder["plies"]) / 2
            resists = F_90_Rk * case.modification / SPLIT_GAMMA_M
            if least > resists * (1 + TOLERANCE) + 1:
                yield f"{load['id']}, {case.name}: {least:.0f} N at least, {resists:.0f} N at most"


def _hash(data: Plain) -> Iterator[str]:
    """The content hash, made again from what the file says."""
    body = {k: v for k, v in data.items() if k not in ("generator", "content_hash")}
    text = json.dumps(body, sort_keys=True, separators=(",", ":"), allow_nan=False)
    if hashlib.sha256(text.encode("ascii")).hexdigest() != data["content_hash"]:
        yield "the file was changed after it was made: its content has another hash"


Looks = tuple[tuple[str, Callable[[Plain], Iterator[str]]], ...]
LOOKS: Final[Looks] = (
    ("content", _hash), ("counts", measure.counts), ("runs", measure.runs), ("rows", measure.rows),
    ("lengths", measure.lengths), ("limits", measure.places), ("limits", measure.spacing),
    ("assembly", _assembly), ("checks", _checks), ("shares", keeping), ("steel", measure.steel),
    ("loads", measure.loads), ("combinations", combined))  # fmt: skip
# A girder that is refused has said so already.
LOOKS_IF_GOOD: Final[Looks] = (("assembly", _reach), ("transfer", _transfer),
    ("checks", lambda data: _transfer(data, told=True)), ("splitting", _splitting))  # fmt: skip
