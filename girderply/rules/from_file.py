"""From a rule set file whose keys are checked to the rule set."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from girderply.rules.file_model import AssemblyTable, RowTable, RuleFile
from girderply.rules.rule_set import (
    IMPERIAL,
    METRIC,
    BoltRule,
    Minutes,
    NailLimits,
    PlyRule,
    RowRule,
    RuleSet,
    SettingOut,
    StageRule,
)


def build(file: RuleFile) -> RuleSet:
    """Make the rule set; `girderply.rules.coherence` says whether it can be used."""
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
        alignment_tolerance=file.alignment_tolerance,
        nail_surface=file.nail_surface,
        notes=tuple(file.notes),
        imperial=file.units == "imperial",
        setting_out=_setting_out(file),
        minutes=Minutes(**file.minutes.model_dump(exclude_none=True)),
    )


def _setting_out(file: RuleFile) -> SettingOut:
    """What the file gives, on top of what is usual in its units."""
    given = file.setting_out.model_dump(exclude_none=True)
    if "ladder" in given:
        given["ladder"] = tuple(sorted(set(given["ladder"]), reverse=True))
    return replace(IMPERIAL if file.units == "imperial" else METRIC, **given)


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
        for i, row in enumerate(rows, 1):
            if (row.pitch is None) == (row.centres is None):
                yield f"{name}[{i}]: give either pitch or centres"


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
