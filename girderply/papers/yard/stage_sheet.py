"""One sheet per assembly stage: all that the yard hand needs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from girderply.drawing.elevation import stage_elevation
from girderply.drawing.page import Drawing
from girderply.drawing.scales import scale_words
from girderply.drawing.section import stack_section
from girderply.drawing.seen import points_to_clench
from girderply.drawing.strip_plan import StripPlan
from girderply.drawing.strips import shelves, strip_blocks
from girderply.model.girder import Member
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import (
    counts_by_member,
    member_order,
    shared_between_stages,
    stage_kinds,
)
from girderply.papers.page.furniture import room
from girderply.papers.page.sheet_words import clauses, heads
from girderply.papers.page.twins import twins
from girderply.papers.yard.lift_words import moves_line
from girderply.papers.yard.member_sheet import in_each, rows_words
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import face_up_words, kind_words

STAGE_SCALE = 20


_LEFT_COLUMN = 236.0


def stage_sheet(schedule: Schedule, stage: Stage) -> Sheet:
    """All that the yard hand needs for one stage."""
    free = room("A3")
    show = Show(schedule.job.info.units)
    of = {"number": stage.number, "all": len(schedule.stages)}
    sheet = Sheet(f"stage-{stage.number}", phrase("sheet.stage_of", **of), "A3", stage=True)
    seen = face_up_words(stage.face_up)
    if stage.face_up == "back":
        seen = phrase("stage.mirrored", face_up=seen)
    sheet.blocks.append(b.title(phrase("stage.title", title=stage.title, **of), seen))
    wide = schedule.girder.length / 50 + 28.0 > _LEFT_COLUMN
    width = free.width if wide else _LEFT_COLUMN
    drawing = stage_elevation(schedule, stage, width, 125.0)
    steps = [b.steps(stage.action), b.words(moves_line(schedule, stage, show), large=True)]
    section = b.picture(stack_section(schedule, stage, 118.0, 58.0))
    counts = [*_counts(schedule, stage, 18), *_hold(stage)]
    if wide:
        sheet.blocks += [b.picture(drawing), b.columns(("1fr", "118mm"), steps, [section]), *counts]
    else:
        columns = (f"{_LEFT_COLUMN:g}mm", "1fr")
        sheet.blocks.append(b.columns(columns, [b.picture(drawing)], steps))
        sheet.blocks.append(b.columns(columns, counts, [section]))
    strips = _stage_strips(schedule, stage, free.width)
    sheet.blocks += [b.picture(d) for d in strips]
    scales = sorted({drawing.scale, *([STAGE_SCALE] if strips else [])}, reverse=True)
    sheet.scale = ", ".join(scale_words(s) for s in scales)
    return sheet


def _hold(stage: Stage) -> list[Block]:
    found: list[Block] = []
    if stage.hold_point:
        found.append(b.callout(phrase("stage.hold_point"), [stage.hold_point], heavy=True))
    return found


def _counts(schedule: Schedule, stage: Stage, most: int) -> list[Block]:
    """Counts per member, members across, in as many tables as it takes."""
    kinds = stage_kinds(schedule, stage)
    counts = counts_by_member(schedule)
    names = [
        m for m in member_order(schedule) if any((m, stage.number, k) in counts for k in kinds)
    ]
    found: list[Block] = []
    points = int(points_to_clench(schedule, stage).sum())
    if points:
        found.append(b.words(phrase("stage.points", points=points), large=True))
    for part in _parts(names, most):
        last = part[-1:] == names[-1:]
        rows: list[list[b.Cell]] = []
        for kind in kinds:
            cells: list[b.Cell] = [b.strong(kind_words(kind, 2))]
            cells += [f"{counts.get((m, stage.number, kind), 0) or ''}" for m in part]
            rows.append([*cells, *([b.strong(f"{kinds[kind]}")] if last else [])])
        columns = (*heads("due"), *part, *(heads("all") if last else ()))
        width = ("auto",) * len(columns)
        found.append(b.table(columns, rows, width, ("left", *["right"] * (len(columns) - 1))))
    return found


def _parts(names: Sequence[str], most: int) -> list[Sequence[str]]:
    if not names:
        return []
    size = math.ceil(len(names) / math.ceil(len(names) / most))
    return [names[i : i + size] for i in range(0, len(names), size)]


def _stage_strips(schedule: Schedule, stage: Stage, width: float) -> list[Drawing]:
    """Members that get fasteners in this stage, as strips with their stations."""
    f = schedule.fasteners
    here = set(f.member[f.stage == stage.number].tolist())
    plan = StripPlan(STAGE_SCALE, stage.face_up, width, (stage.number,), named=False)
    strips = []
    for group in twins(schedule, stage.number):
        if group[0].id in here:
            title = (", ".join(m.id for m in group), _due(schedule, stage, group))
            alone = replace(plan, joints=len(group) == 1)
            strips += strip_blocks(schedule, group[0], alone, title)
    return shelves(strips, f"stage-{stage.number}-strips", width)


def _due(schedule: Schedule, stage: Stage, group: Sequence[Member]) -> str:
    counts = counts_by_member(schedule)
    member = group[0].id
    found = [
        f"{n} {kind_words(k, n)}"
        for k in stage_kinds(schedule, stage)
        if (n := counts.get((member, stage.number, k), 0))
    ]
    words = [in_each(", ".join(found), group)]
    show = Show(schedule.job.info.units)
    if schedule.driven in stage_kinds(schedule, stage):
        nails = counts.get((member, stage.number, schedule.driven), 0)
        for p in schedule.patterns:
            if p.member == member:
                words += rows_words(p, show, shared=shared_between_stages(p, nails))
    kinds = set(stage_kinds(schedule, stage))
    if any(z.member == member and z.kind in kinds for z in schedule.strengthened):
        words.append(phrase("stage.more"))
    return clauses(*words)
