"""A schedule as plain data: the stable contract that other programs read.

The keys, their meaning and units are fixed by `SCHEMA`; new keys may be added, none is renamed,
removed or given another meaning without a new number; README.md says what one changed. Lengths are
mm, forces N, masses kg, whatever the job's own units are.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections import Counter, defaultdict
from typing import Any

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding
from girderply.layout.bending import side_of
from girderply.layout.records import PatternNote
from girderply.model.girder import Member
from girderply.schedule import cautions
from girderply.schedule.balance import lifting_part
from girderply.schedule.case_list import cases_part, combinations_part
from girderply.schedule.estimate import estimate
from girderply.schedule.flows import flow_part
from girderply.schedule.generator import generator
from girderply.schedule.handling import handling, stage_part
from girderply.schedule.parts import (
    basis_part,
    girder_part,
    job_part,
    joint_part,
    load_part,
    member_part,
    plain_fields,
    plate_part,
    run_part,
    types_part,
)
from girderply.schedule.plies import force_part, reaction_part, shares_part, twist_part
from girderply.schedule.sums import sums_part
from girderply.schedule.types import Schedule, Stage
from girderply.strength.check_record import Check
from girderply.wording import Said, english

SCHEMA = "girderply.schedule/3"

Plain = dict[str, Any]


def to_contract(schedule: Schedule) -> Plain:
    """The schedule as dictionaries, lists, strings, numbers and None, ready for JSON.

    Floats are rounded (to 0.001) so that the same job gives the same
    bytes on any machine.

    Args:
        schedule: the finished schedule.

    Returns:
        The contract, keys in their documented order, `content_hash` filled in.
    """
    body = _body(schedule)
    digest = schedule.content_hash or _digest(body)
    head: Plain = {
        "schema": SCHEMA,
        "generator": generator(),
        "job": body["job"],
        "basis": body["basis"],
        "content_hash": digest,
    }
    return head | {key: value for key, value in body.items() if key not in head}


def content_hash(schedule: Schedule) -> str:
    """The sha256 (64 hex digits) of what the schedule says, whoever wrote it and when.

    The generator and the hash itself are left out; keys are sorted before hashing.
    """
    return _digest(_body(schedule))


def _digest(body: Plain) -> str:
    text = json.dumps(body, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _body(schedule: Schedule) -> Plain:
    """What programs read, in English: the hash rests on it."""
    body: Plain = {
        "schema": SCHEMA,
        "job": job_part(schedule),
        "basis": basis_part(schedule),
        "girder": girder_part(schedule),
        "members": [member_part(schedule.girder, m) for m in schedule.girder.members],
        "joints": [joint_part(j) for j in schedule.girder.joints],
        "plates": [plate_part(p) for p in schedule.girder.plates],
        "loads": [load_part(load, schedule.job.basis) for load in schedule.girder.loads],
        "runs": [run_part(r) for r in schedule.runs],
        "fasteners": _fasteners(schedule),
        "stages": _stages(schedule),
        "totals": _totals(schedule),
        "cases": cases_part(schedule.job.basis),
        "combinations": combinations_part(schedule.job, schedule.girder),
        "checks": [_check(c) for c in schedule.checks],
        "flow": flow_part(schedule),
        "findings": [_finding(f) for f in schedule.findings],
        "assumed": [plain_fields(one) for one in schedule.assumed],
        "brackets": [plain_fields(b) for b in schedule.brackets],
        "fastener_types": types_part(schedule),
        "shares": shares_part(schedule.shares, schedule.load_shares),
        "twist": twist_part(schedule.twist),
        "forces": [force_part(f) for f in schedule.forces],
        "reactions": [reaction_part(r) for r in schedule.reactions],
        "seats": [_seat(c) for c in schedule.seats],
        "patterns": [_pattern(p) for p in schedule.patterns],
        "work": plain_fields(estimate(schedule)),
        "order": [plain_fields(line) for line in schedule.order],
        "lifting": lifting_part(schedule.girder),
        "assembly": plain_fields(schedule.job.assembly),
        "for_assembly": not schedule.failed,
        "plates_assumed": schedule.plates_assumed,
        "sums": sums_part(schedule.sums) if schedule.sums else None,
        "values_assumed": bool(schedule.unconfirmed),
        "cautions": list(cautions.scope(schedule.job.assembly)),
    }
    rounded = tidy(body)
    if not isinstance(rounded, dict):
        raise TypeError("a contract is a dictionary")
    return rounded


def _fasteners(schedule: Schedule) -> list[Plain]:
    members = {m.id: m for m in schedule.girder.members}
    return [_fastener(r, members[str(r["member"])]) for r in schedule.fasteners.records()]


def _fastener(r: Plain, member: Member) -> Plain:
    low, high = sorted((r["from_ply"], r["to_ply"]))
    return {
        "id": r["id"],
        "kind": r["kind"],
        "spec": r["spec"],
        "member": r["member"],
        "joint": r["joint"] or None,
        "x_mm": r["x"],
        "y_mm": r["y"],
        "station_mm": r["station"],
        "offset_mm": r["offset"],
        "row": r["row"],
        "stage": r["stage"],
        "face": r["face"],
        "from_ply": r["from_ply"],
        "to_ply": r["to_ply"],
        "interfaces": list(range(low, high)),
        "purpose": r["purpose"],
        "load": r["load"] or None,
        "protrusion_mm": r["protrusion"],
        "point_depth_mm": r["point_depth"],
        "clench": r["clench"],
        "bend": side_of(member, r["bend"]) if r["bend"] else None,
        "drilled_mm": r["drilled"],
        "run": r["run"] or None,
    }


def _stages(schedule: Schedule) -> list[Plain]:
    counts: dict[int, dict[str, Counter[str]]] = defaultdict(lambda: defaultdict(Counter))
    f = schedule.fasteners
    for stage, member, kind in zip(
        f.stage.tolist(), f.member.tolist(), f.kind.tolist(), strict=True
    ):
        counts[stage][member][kind] += 1
    moves = {h.stage: stage_part(h) for h in handling(schedule)}
    return [_stage(s, counts[s.number]) | {"handling": moves[s.number]} for s in schedule.stages]


def _stage(stage: Stage, counts: dict[str, Counter[str]]) -> Plain:
    return {
        "number": stage.number,
        "title": stage.title,
        "action": list(stage.action),
        "counts": {member: dict(sorted(kinds.items())) for member, kinds in sorted(counts.items())},
        "plies": list(stage.plies),
        "face_up": stage.face_up,
        "turn_over_before": stage.turn_over_before,
        "hold_point": stage.hold_point or None,
    }


def _totals(schedule: Schedule) -> Plain:
    kinds = Counter(schedule.fasteners.kind.tolist())
    specs = Counter(schedule.fasteners.spec.tolist())
    bolts = kinds[FastenerKind.BOLT]
    rods = sum(count for spec, count in specs.items() if _is_rod(schedule, spec))
    return {
        "nails": kinds[FastenerKind.NAIL],
        "screws": kinds[FastenerKind.SCREW],
        "bolts": bolts,
        "washers": 2 * bolts,
        "nuts": bolts + rods,  # a threaded rod has a nut at both ends
        "by_spec": dict(sorted(specs.items())),
        "mass_kg": schedule.masses.fasteners,
    }


def _is_rod(schedule: Schedule, spec: str) -> bool:
    choice = schedule.bolts.get(spec)
    return choice is not None and choice.threaded_rod


def _check(check: Check) -> Plain:
    used = check.utilisation
    return {
        "id": check.id,
        "subject": check.subject,
        "demand": check.demand,
        "resistance": check.resistance,
        "unit": check.unit,
        "utilisation": used if math.isfinite(used) else None,
        "ok": check.ok,
        "clause": check.clause,
        "mode": check.mode,
        "inputs": {k: {"value": v, "unit": u} for k, (v, u) in check.inputs.items()},
    }


def _seat(check: Check) -> Plain:
    """A ply on its bearing: for the truss designer, no verdict on the fastening."""
    return {"ply": check.ply} | _check(check)


def _pattern(note: PatternNote) -> Plain:
    """What it was laid out by is the standard's and the rule set's, and not in the file."""
    return {k: v for k, v in plain_fields(note).items() if k != "least"}


def _finding(finding: Finding) -> Plain:
    return plain_fields(finding) | {"severity": str(finding.severity)}


def tidy(value: Any) -> Any:
    """Plain data: words in English, floats to 0.001 (below 1 to a millionth), -0 as 0.

    What is infinite or NaN becomes None.
    """
    kind = type(value)
    if kind in _AS_IT_IS:  # most values, so they are asked for first, and where they stand
        return value
    if kind is float:
        return _rounded(value)
    if kind is Said:
        return english(value)
    if isinstance(value, dict):
        return {
            (k if type(k) is str else str(k)): v if type(v) in _AS_IT_IS else tidy(v)
            for k, v in value.items()
        }
    if isinstance(value, (list, tuple)):
        return [v if type(v) in _AS_IT_IS else tidy(v) for v in value]
    return _rounded(float(value)) if isinstance(value, float) else value


_AS_IT_IS = frozenset({str, int, bool, type(None)})


def _rounded(value: float) -> float | None:
    if value.is_integer():
        return value + 0.0
    return round(value, 3 if abs(value) >= 1 else 6) + 0.0 if math.isfinite(value) else None
