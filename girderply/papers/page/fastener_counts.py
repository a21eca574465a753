"""Counts that the sheets print, taken from the fasteners and from nowhere else."""

from __future__ import annotations

from girderply.schedule.types import Schedule, Stage
from girderply.wording import Voice


def stage_kinds(schedule: Schedule, stage: Stage) -> dict[str, int]:
    """Kind -> count of one stage, kinds in alphabetical order reversed (nails before bolts)."""
    f = schedule.fasteners
    kinds = f.kind[f.stage == stage.number].tolist()
    return {k: kinds.count(k) for k in sorted(set(kinds), reverse=True)}


def row_words(voice: Voice, schedule: Schedule, member: str, row: int) -> str:
    """What a row is called on every sheet, whatever part of it a stage nails; 0: the bolts."""
    if row == 0:
        return voice.phrase("sheet.all_bolts")
    rows = max((p.rows for p in schedule.patterns if p.member == member), default=1)
    return voice.phrase("sheet.one_row") if rows == 1 else voice.phrase("sheet.row", number=row)
