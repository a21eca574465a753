"""Faults of a rule set that need more than one key: does it hang together?"""

from __future__ import annotations

from collections.abc import Iterator

from girderply.catalogue import bolt, nail, washer
from girderply.errors import CatalogueError
from girderply.rules.rule_set import BoltRule, PlyRule, RuleSet


def problems(rules: RuleSet) -> Iterator[str]:
    """Faults that keep a rule set from being used, as whole sentences."""
    yield from _range_problems(rules)
    yield from _fastener_problems(rules)
    for rule in rules.ply_rules:
        yield from (f"assembly of {rule.plies} plies: {p}" for p in _stage_problems(rule))
    if rules.bolts is None and any(r.joint_bolts or r.through_bolt_rows for r in rules.ply_rules):
        yield "assembly: bolts are asked for, so a table [bolts] is needed"


def _range_problems(rules: RuleSet) -> Iterator[str]:
    pairs = [("plies", rules.plies), ("thickness", rules.thickness)]
    if rules.clench_protrusion is not None:
        pairs.append(("clench", rules.clench_protrusion))
    holders = [("limits", rules.limits), *([("bolts", rules.bolts)] if rules.bolts else [])]
    for where, table in holders:
        for what in ("gauge", "edge", "end"):
            least, most = (getattr(table, f"{what}_{m}_d", None) for m in ("min", "max"))
            if least is not None and most is not None:
                pairs.append((f"{where}.{what}_min_d and {what}_max_d", (least, most)))
    yield from (f"{n}: {a:g} is more than {b:g}" for n, (a, b) in pairs if a > b)
    asked = list(range(rules.plies[0], rules.plies[1] + 1))
    given = [r.plies for r in rules.ply_rules]
    if given != asked:
        yield f"assembly: plies {asked} each need one entry, not {given}"


def _fastener_problems(rules: RuleSet) -> Iterator[str]:
    named = {r.nail for r in rules.ply_rules} | {s.nail for r in rules.ply_rules for s in r.stages}
    for key in sorted(n for n in named if n):
        try:
            nail(key)
        except CatalogueError as error:
            yield f"nail: {error}"
    if rules.bolts is not None:
        yield from bolt_problems(rules.bolts)


def bolt_problems(rule: BoltRule) -> Iterator[str]:
    """Bolt and washer must be known and fit each other, and the hole must fit the bolt."""
    try:
        chosen, plate = bolt(rule.bolt), washer(rule.washer)
    except CatalogueError as error:
        yield f"bolts: {error}"
        return
    if plate.bolt != chosen.key:
        yield f"washer: {plate.key} is for {plate.bolt}, not for {chosen.key}"
    if not chosen.d < rule.hole <= chosen.hole_max + 1e-6:
        yield (
            f"hole: {rule.hole:g} mm for {chosen.key} must be more than {chosen.d:g} mm and at "
            f"most {chosen.hole_max:g} mm"
        )


def _stage_problems(rule: PlyRule) -> Iterator[str]:
    n, nailed = rule.plies, set()
    present: set[int] = set()
    if not rule.stages:
        yield "give build_up = true or stages"
    for i, stage in enumerate(rule.stages):
        added = {p if p > 0 else n + 1 + p for p in stage.add}
        if not added <= set(range(1, n + 1)) or added & present or len(added) < len(stage.add):
            yield f"stage {i + 1}: add {list(stage.add)} names a ply twice or one that is not there"
        present |= added
        if present and max(present) - min(present) + 1 != len(present):
            yield f"stage {i + 1}: plies {sorted(present)} do not lie on each other"
        fastened = {k if k > 0 else n + k for k in stage.fastens}
        if not all({k, k + 1} <= present for k in fastened):
            yield f"stage {i + 1}: fastens {list(stage.fastens)} where the plies are not there yet"
        if fastened and not (stage.nail or rule.nail):
            yield f"stage {i + 1}: no nail is given"
        nailed |= fastened
    if rule.stages and len(present) != n:
        yield f"plies {sorted(set(range(1, n + 1)) - present)} are never laid on"
    if not rule.through_bolt_rows and rule.stages and len(nailed) != n - 1:
        yield f"interfaces {sorted(set(range(1, n)) - nailed)} are never fastened"
    if rule.through_bolt_rows and rule.through_bolt_pitch is None:
        yield "through_bolt_rows needs through_bolt_pitch"
