"""Nails, screws and bolts of an IFC file: at their exact place, in the direction they go in."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from girderply.exchange.ifc.space import ORIGIN, RIGHT, TO_FRONT, Space, Triple
from girderply.exchange.ifc.step import Ref, Typed, Value, enum
from girderply.schedule.types import Schedule

TO_BACK: Triple = (0.0, 1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Sort:
    """One spec of fastener: its type in the file and what it looks like.

    Attributes:
        before: how far its shank begins outside the timber, mm (a bolt's washer).
    """

    type: Ref
    item: Ref
    kind: str
    diameter: float
    length: float
    before: float


def make_fasteners(space: Space, schedule: Schedule, under: Ref) -> dict[str, Ref]:
    """Every fastener of one girder by its id, and a type for each spec."""
    sorts: dict[tuple[str, str], Sort] = {}
    made: dict[str, Ref] = {}
    of_sort: dict[tuple[str, str], list[Ref]] = defaultdict(list)
    for record in schedule.fasteners.records():
        r: dict[str, Any] = dict(record)
        key = (r["kind"], r["spec"])
        if key not in sorts:
            sorts[key] = _sort(space, schedule, *key)
        made[r["id"]] = _fastener(space, schedule, r, sorts[key], under)
        of_sort[key].append(made[r["id"]])
    for key, refs in of_sort.items():
        guid = space.guid("typed", *key)
        space.step.add("IFCRELDEFINESBYTYPE", guid, None, None, None, tuple(refs), sorts[key].type)
    return made


def _sizes(schedule: Schedule, spec: str) -> tuple[float, float, float]:
    """Diameter, length and what stands before the timber, mm."""
    if spec in schedule.bolts:
        choice = schedule.bolts[spec]
        return choice.bolt.d, choice.length, choice.washer.thickness
    nail = schedule.nails[spec]
    return nail.d, nail.length, 0.0


def _sort(space: Space, schedule: Schedule, kind: str, spec: str) -> Sort:
    d, length, before = _sizes(schedule, spec)
    add = space.step.add
    mapped = add("IFCREPRESENTATIONMAP", space.at(ORIGIN), space.solids(space.shank(d, length)))
    made = add(
        *("IFCMECHANICALFASTENERTYPE", space.guid("type", kind, spec), None, spec, None, None),
        *(None, (mapped,), None, None, enum(kind.upper()), d, length),
    )
    origin = space.step.once("IFCCARTESIANPOINT", ORIGIN)
    turn = space.step.once("IFCCARTESIANTRANSFORMATIONOPERATOR3D", None, None, origin, None, None)
    return Sort(made, add("IFCMAPPEDITEM", mapped, turn), kind, d, length, before)


def _fastener(space: Space, schedule: Schedule, r: dict[str, Any], sort: Sort, under: Ref) -> Ref:
    front = r["face"] == "front"
    thick = schedule.girder.ply_thickness
    head = (
        (r["from_ply"] - 1) * thick - sort.before
        if front
        else (r["from_ply"] * thick + sort.before)
    )
    axes = space.at((r["x"], head, r["y"]), TO_BACK if front else TO_FRONT, RIGHT)
    body = space.step.add(
        "IFCSHAPEREPRESENTATION", space.body, "Body", "MappedRepresentation", (sort.item,)
    )
    made = space.step.add(
        *("IFCMECHANICALFASTENER", space.guid("fastener", r["id"]), None, r["id"], r["spec"]),
        *(None, space.placed(under, axes), space.shape(body), r["id"], sort.diameter),
        *(sort.length, enum(sort.kind.upper())),
    )
    space.properties(made, "Girderply_Fastener", _properties(r), r["id"])
    return made


def _properties(r: dict[str, Any]) -> dict[str, Typed]:
    values: dict[str, tuple[str, Value]] = {
        "Member": ("IFCIDENTIFIER", r["member"]),
        "Station": ("IFCLENGTHMEASURE", r["station"]),
        "Offset": ("IFCLENGTHMEASURE", r["offset"]),
        "Row": ("IFCINTEGER", r["row"]),
        "Stage": ("IFCINTEGER", r["stage"]),
        "Face": ("IFCLABEL", r["face"]),
        "FromPly": ("IFCINTEGER", r["from_ply"]),
        "ToPly": ("IFCINTEGER", r["to_ply"]),
        "Purpose": ("IFCLABEL", r["purpose"]),
        "Clenched": ("IFCBOOLEAN", r["clench"]),
        "Hole": ("IFCLENGTHMEASURE", r["drilled"]),
    }
    if r["joint"]:
        values["Joint"] = ("IFCIDENTIFIER", r["joint"])
    if r["load"]:
        values["Load"] = ("IFCIDENTIFIER", r["load"])
    return {key: Typed(name, value) for key, (name, value) in values.items()}
