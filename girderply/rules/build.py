"""From a checked rule set file to the rule set, and the faults that need more than one key."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from girderply.catalogue import bolt, nail, washer
from girderply.errors import CatalogueError
from girderply.rules.file_model import AssemblyTable, RowTable, RuleFile
from girderply.rules.types import (
    BoltRule,
    NailLimits,
    PlyRule,
    RowRule,
    RuleSet,
    StageRule,
)


def build(file: RuleFile) -> RuleSet:
    """Make the rule set; `problems` says whether it can be used."""
    return RuleSet(
        name=file.name,
        title=file.title,
        source=file.source,
        mark=file.mark,
        plies=file.plies,
        thickness=file.thickness,
        chord=tuple(_row_rule(r) for r in file.chord),
        web=tuple(_row_rule(r) for r in file.web),
        limits=NailLimits(**file.limits.model_dump()),
        ply_rules=_ply_rules(file.assembly),
        bolts=None if file.bolts is None else BoltRule(**file.bolts.model_dump()),
        plate_clearance=file.plate_clearance,
        washer_clearance=file.washer_clearance,
        bracket_clearance=file.bracket_clearance,
        clench_protrusion=file.clench,
        station_step=file.station_step,
        zone_reach=file.zone_reach,
        tolerance=file.tolerance,
        nail_surface=file.nail_surface,
        notes=tuple(file.notes),
        imperial=file.units == "imperial",
    )


def build_up(plies: int) -> tuple[StageRule, ...]:
    """The usual stages: ply n at the bottom, each further one on top, nailed from the front."""
    first = StageRule((plies, plies - 1), "front", (plies - 1,))
    return (first, *(StageRule((k,), "front", (k,)) for k in range(plies - 2, 0, -1)))


def row_problems(file: RuleFile) -> Iterator[str]:
    """Faults of the rows as the file writes them."""
    for name, rows in (("chord", file.chord), ("web", file.web)):
        depths = [r.depth_up_to for r in rows]
        if depths[-1] is not None or None in depths[:-1]:
            yield f"{name}: every entry but the last needs depth_up_to, the last must not have it"
        elif any(a >= b for a, b in pairwise(depths) if a and b):
            yield f"{name}: depth_up_to must rise from entry to entry"
        for i, row in enumerate(rows):
            if (row.pitch is None) == (row.centres is None):
                yield f"{name}.{i}: give either pitch or centres"


def problems(rules: RuleSet) -> Iterator[str]:
    """Faults that keep a rule set from being used, as whole sentences."""
    yield from _range_problems(rules)
    yield from _fastener_problems(rules)
    for rule in rules.ply_rules:
        yield from (f"assembly of {rule.plies} plies: {p}" for p in _stage_problems(rule))
    if rules.bolts is None and any(r.joint_bolts or r.through_bolt_rows for r in rules.ply_rules):
        yield "assembly: bolts are asked for, so a table [bolts] is needed"


def _row_rule(row: RowTable) -> RowRule:
    zigzag = row.stagger and row.rows > 1
    pitch = row.pitch if row.pitch is not None else (row.centres or 0.0) * (2 if zigzag else 1)
    depth = math.inf if row.depth_up_to is None else row.depth_up_to
    return RowRule(depth, row.rows, pitch, row.stagger, row.gauge)


def _ply_rules(tables: list[AssemblyTable]) -> tuple[PlyRule, ...]:
    made = []
    for t in tables:
        for count in t.plies if isinstance(t.plies, list) else [t.plies]:
            stages = tuple(
                StageRule(tuple(s.add), s.drive, tuple(s.fastens), s.nail) for s in t.stages
            )
            made.append(
                PlyRule(
                    plies=count,
                    nail=t.nail,
                    stages=build_up(count) if t.build_up and not stages else stages,
                    joint_bolts=t.joint_bolts,
                    through_bolt_rows=t.through_bolt_rows,
                    through_bolt_pitch=t.through_bolt_pitch,
                    note=t.note,
                )
            )
    return tuple(sorted(made, key=lambda r: r.plies))


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
