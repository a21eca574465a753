"""How each group of overrides changes a rule set; values are checked and in mm already."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, cast

from girderply.catalogue import bolt, washer, washers
from girderply.errors import CatalogueError, RuleSetError
from girderply.rules.coherence import bolt_problems
from girderply.rules.from_file import build_up
from girderply.rules.rule_set import BoltRule, Drive, PlyRule, RowRule, RuleSet, StageRule

Values = Mapping[str, Any]


def change_rows(rules: RuleSet, values: Values) -> RuleSet:
    """Rows, pitch or centres, stagger and gauge of chords and webs."""
    return replace(
        rules,
        chord=_changed_rows(rules.chord, "chord", values),
        web=_changed_rows(rules.web, "web", values),
    )


def change_clench(rules: RuleSet, values: Values) -> RuleSet:
    """Least and greatest protrusion that is clenched."""
    if "clench_min" not in values and "clench_max" not in values:
        return rules
    old = rules.clench_protrusion or (0.0, 0.0)
    least, most = values.get("clench_min", old[0]), values.get("clench_max", old[1])
    if least > most:
        raise RuleSetError(f"override clench_min: {least:g} mm is more than clench_max {most:g} mm")
    return replace(rules, clench_protrusion=(least, most))


def change_bolts(rules: RuleSet, values: Values) -> RuleSet:
    """Bolt, washer, hole, reach, number per joint; joint bolts on or off."""
    names = {"bolt_reach": "reach", "bolts_per_joint": "per_joint", "hole": "hole"}
    names |= {n: n for n in ("bolt", "washer", "mid_compression")}
    asked = {names[n]: v for n, v in values.items() if n in names}
    if "joint_bolts" in values:
        on = values["joint_bolts"]
        plies = tuple(replace(r, joint_bolts=on) for r in rules.ply_rules)
        rules = replace(rules, ply_rules=plies)
    if not asked and not (values.get("joint_bolts") and rules.bolts is None):
        return rules
    if rules.bolts is None:
        raise RuleSetError(f"rule set {rules.name} has no bolts that an override could change")
    if "bolt" in asked:
        asked = _hole_for(asked["bolt"]) | asked
        if "washer" not in asked:
            asked["washer"] = _washer_for(rules.bolts, asked["bolt"])
    changed = replace(rules.bolts, **asked)
    faults = list(bolt_problems(changed))
    if faults:
        raise RuleSetError("override " + "; ".join(faults))
    return replace(
        rules,
        bolts=replace(changed, bolt=bolt(changed.bolt).key, washer=washer(changed.washer).key),
    )


def change_through_bolts(rules: RuleSet, values: Values) -> RuleSet:
    """Rows and pitch of through bolts along chords."""
    names = ("through_bolt_rows", "through_bolt_pitch")
    asked = {n: values[n] for n in names if n in values}
    if not asked:
        return rules
    plies = tuple(replace(r, **asked) for r in rules.ply_rules)
    if rules.bolts is None or any(
        r.through_bolt_rows and r.through_bolt_pitch is None for r in plies
    ):
        raise RuleSetError(
            f"override through_bolt_rows: rule set {rules.name} gives no pitch or no bolt for "
            "through bolts; give through_bolt_pitch too, in a rule set with bolts"
        )
    return replace(rules, ply_rules=plies)


def change_drive(rules: RuleSet, values: Values) -> RuleSet:
    """Face that nails are driven from; assemblies that cannot follow keep theirs, with a note."""
    if "driving_face" not in values:
        return rules
    face = cast(Drive, values["driving_face"])
    made = [(r, _driven(r, face)) for r in rules.ply_rules]
    kept = [str(r.plies) for r, new in made if new is None]
    note = f"driving_face {face} does not fit the assembly of {', '.join(kept)} plies: kept as is"
    return replace(
        rules,
        ply_rules=tuple(new or old for old, new in made),
        notes=rules.notes + ((note,) if kept else ()),
    )


def mirrored(stages: tuple[StageRule, ...], plies: int) -> tuple[StageRule, ...]:
    """The same assembly seen from the other face: ply 1 and ply n change places."""

    def ply(p: int) -> int:
        return plies + 1 - p if p > 0 else -p

    def interface(k: int) -> int:
        return plies - k if k > 0 else -k

    faces: dict[Drive, Drive] = {"front": "back", "back": "front", "alternate": "alternate"}
    return tuple(
        StageRule(
            tuple(ply(p) for p in s.add),
            faces[s.drive],
            tuple(interface(k) for k in s.fastens),
            s.nail,
        )
        for s in stages
    )


def from_one_face(rule: PlyRule, face: Drive) -> PlyRule:
    """The assembly where people can reach one face only: everything is driven from there.

    Plies that the rule adds at both faces are added one by one at this one instead, each nailed to
    the one before it.
    """
    return _driven(rule, face) or replace(rule, stages=_one_by_one(rule, face))


def _one_by_one(rule: PlyRule, face: Drive) -> tuple[StageRule, ...]:
    nail = next((s.nail for s in rule.stages if s.nail), None)
    stages = tuple(replace(s, nail=nail) for s in build_up(rule.plies))
    return mirrored(stages, rule.plies) if face == "back" else stages


def _driven(rule: PlyRule, face: Drive) -> PlyRule | None:
    """The assembly with its nails driven from this face, or None where that cannot be."""
    drives = {s.drive for s in rule.stages}
    if len(drives) != 1:
        return None
    if drives == {face}:
        return rule
    if face == "alternate":
        return _through_alternate(rule)
    stages = rule.stages
    if drives == {"alternate"}:
        stages = tuple(replace(s, drive="front") for s in stages)
    if {s.drive for s in stages} != {face}:
        stages = mirrored(stages, rule.plies)
    return replace(rule, stages=stages)


def _through_alternate(rule: PlyRule) -> PlyRule | None:
    """All plies at once, nails through the whole stack in turn from both faces."""
    if rule.plies > 3:
        return None  # no usual nail goes through more than three plies
    plies = tuple(range(rule.plies, 0, -1))
    stage = StageRule(plies, "alternate", tuple(range(1, rule.plies)), rule.stages[0].nail)
    return replace(rule, stages=(stage,))


def _changed_rows(rows: tuple[RowRule, ...], role: str, values: Values) -> tuple[RowRule, ...]:
    pitch: float | None = values.get(f"{role}_pitch")
    centres: float | None = values.get(f"{role}_centres")
    if pitch is not None and centres is not None:
        raise RuleSetError(f"override {role}_centres: give either {role}_pitch or {role}_centres")
    count, deepest = values.get(f"{role}_rows"), rows[-1]
    if count is not None:
        rows = (replace(deepest, depth_up_to=math.inf, rows=count),)
    names = (("stagger", f"{role}_stagger"), ("gauge", f"{role}_gauge"))
    given = {field: values[name] for field, name in names if name in values}
    rows = tuple(replace(r, **given) for r in rows)
    if centres is not None:
        return tuple(replace(r, pitch=centres * _rows_in_turn(r)) for r in rows)
    share = 1.0 if pitch is None else pitch / deepest.pitch
    return tuple(replace(r, pitch=r.pitch * share) for r in rows)


def _rows_in_turn(row: RowRule) -> int:
    return 2 if row.stagger and row.rows > 1 else 1


def _hole_for(size: str) -> dict[str, Any]:
    """Hole that goes with another size of bolt."""
    try:
        return {"hole": bolt(size).hole}
    except CatalogueError as error:
        raise RuleSetError(f"override bolt: {error}") from error


def _washer_for(old: BoltRule, size: str) -> str:
    """The rule set's kind of washer in another size."""
    chosen = bolt(size)
    standard = washer(old.washer).key.removesuffix(bolt(old.bolt).key).strip()
    if chosen.imperial != bolt(old.bolt).imperial:
        standard = "cut" if chosen.imperial else "DIN 436"
    fitting = [w.key for w in washers() if w.bolt == chosen.key]
    if f"{standard} {chosen.key}" not in fitting:
        raise RuleSetError(
            f"override bolt: there is no washer {standard} {chosen.key}; give washer too: "
            + ", ".join(fitting)
        )
    return f"{standard} {chosen.key}"
