"""Counts that the sheets print, taken from the fasteners and from nowhere else."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.schedule.types import Schedule, Stage
from girderply.wording import phrase


def stage_kinds(schedule: Schedule, stage: Stage) -> dict[str, int]:
    """Kind -> count of one stage, kinds in alphabetical order reversed (nails before bolts)."""
    f = schedule.fasteners
    kinds = f.kind[f.stage == stage.number].tolist()
    return {k: kinds.count(k) for k in sorted(set(kinds), reverse=True)}


@dataclass(frozen=True, slots=True)
class DueRow:
    """One line of the tick-off sheet: `due` fasteners of a kind in one row of one member."""

    member: str
    where: str
    kind: str
    face: str
    due: int


def due_rows(schedule: Schedule, stage: Stage) -> list[DueRow]:
    """Lines of one stage: member by member, nails row by row, bolts together."""
    f = schedule.fasteners
    chosen = f.select(f.stage == stage.number)
    rank = {m.id: i for i, m in enumerate(schedule.girder.members)}
    counts: dict[tuple[int, str, str, int, str], int] = {}
    for i in range(len(chosen)):
        kind, member = str(chosen.kind[i]), str(chosen.member[i])
        row = 0 if kind == FastenerKind.BOLT else int(chosen.row[i])
        key = (rank.get(member, 0), member, kind, row, str(chosen.face[i]))
        counts[key] = counts.get(key, 0) + 1
    ordered = sorted(counts, key=lambda k: (k[0], k[2] == FastenerKind.BOLT, k[3], k[4]))
    return [DueRow(k[1], row_words(schedule, k[1], k[3]), k[2], k[4], counts[k]) for k in ordered]


def row_words(schedule: Schedule, member: str, row: int) -> str:
    """What a row is called on every sheet, whatever part of it a stage nails; 0: the bolts."""
    if row == 0:
        return phrase("sheet.all_bolts")
    rows = max((p.rows for p in schedule.patterns if p.member == member), default=1)
    return phrase("sheet.one_row") if rows == 1 else phrase("sheet.row", number=row)
