"""One sheet per assembly stage: all that the yard hand needs to do it, and nothing else.

On lying paper it is one page: the girder as it lies, the steps in lettering that is read from 2 m,
a section through the plies, counts, the hold point, and every run. Upright paper takes two.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from girderply.drawing import style
from girderply.drawing.elevation import stage_elevation
from girderply.drawing.legend import Shown, legend
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.run_tiers import rows_words
from girderply.drawing.runs_shown import ShownRun, runs_of
from girderply.drawing.scales import SCALES, scale_words
from girderply.drawing.section import stack_section
from girderply.drawing.seen import points_to_clench
from girderply.drawing.strip_plan import StripPlan
from girderply.drawing.strips import shelves, strip_blocks
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import stage_kinds
from girderply.papers.page.paper import Paper, lying, room
from girderply.papers.page.sheet_words import clauses
from girderply.papers.yard.lift_words import moves_line
from girderply.papers.yard.runs_told import (
    RunLine,
    hook_seen,
    run_lines,
    run_table,
    stage_groups,
)
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import face_up_words, kind_words

_LEFT = (190.0, 250.0)  # mm of lying paper for the drawing beside the steps: least, most
_BESIDE = 29.0  # mm that an elevation keeps free at its sides
# mm left of the strips, for the heights of the rows: at least, and clear of the strip
_CAPTION, _CAPTION_GAP = 14.0, 8.0
_ROW = 5.6  # mm of a row of the table of runs
_TITLE, _LEGEND = 14.0, 14.0
_STEP_LINE, _STEP_GAP = 7.4, 3.4  # mm of a line of the steps, and between two steps


def stage_sheet(schedule: Schedule, stage: Stage, paper: Paper) -> Sheet:
    """All that the yard hand needs for one stage."""
    of = {"number": stage.number, "all": len(schedule.stages)}
    title = phrase("sheet.stage_of", **of)
    sheet = Sheet(f"stage-{stage.number}", title, paper, face=stage.face_up)
    make = _lying_blocks if lying(paper) else _upright_blocks
    blocks, scales = make(schedule, stage, paper)
    under = face_up_words(stage.face_up, stage.upright)
    if stage.face_up == "back":
        under = phrase("stage.mirrored", face_up=under)
    head = b.title(phrase("stage.title", title=stage.title, **of), under, huge=lying(paper))
    sheet.blocks += [head, *blocks, b.picture(_legend(schedule, stage, room(paper).width))]
    sheet.scale = ", ".join(scale_words(s) for s in sorted(scales, reverse=True))
    return sheet


def _lying_blocks(schedule: Schedule, stage: Stage, paper: Paper) -> tuple[list[Block], set[int]]:
    free = room(paper)
    left = _left(schedule)
    right = free.width - left - 4.0
    steps = _steps(schedule, stage)
    said = _steps_height(steps, right)
    rows = _web_rows(schedule, stage, free.width)
    section = stack_section(schedule, stage, min(left, 190.0), _section_height(schedule, stage))
    for scale in (20, 50):
        strips = _strips(schedule, stage, free.width, scale)
        below = sum(d.height + 3.0 for d in strips) + rows[1]
        if free.height - _TITLE - _LEGEND - below >= said:
            break
    most = max(60.0, max(said, free.height - _TITLE - _LEGEND - below) - section.height - 4.0)
    drawing = stage_elevation(schedule, stage, left, min(most, 140.0))
    seen = [b.picture(drawing), b.picture(section)]
    columns = b.columns((f"{left:g}mm", "1fr"), seen, steps)
    scales = {drawing.scale, *([scale] if strips else [])}
    return [columns, *(b.picture(d) for d in strips), *rows[0]], scales


def _left(schedule: Schedule) -> float:
    """Width of the drawing beside the steps: so that the girder is as large as it can be, mm."""
    sizes = (schedule.girder.length / n + _BESIDE for n in SCALES)
    return max(_LEFT[0], next((s for s in sizes if s <= _LEFT[1]), _LEFT[1]))


def _section_height(schedule: Schedule, stage: Stage) -> float:
    """Room for a section at 1:10 at least, so that every ply can be lettered, mm."""
    return max(40.0, 21.0 + len(stage.plies) * schedule.girder.ply_thickness / 10)


def _upright_blocks(schedule: Schedule, stage: Stage, paper: Paper) -> tuple[list[Block], set[int]]:
    width = room(paper).width
    drawing = stage_elevation(schedule, stage, width, 80.0)
    section = stack_section(schedule, stage, width, _section_height(schedule, stage))
    strips = _strips(schedule, stage, width, 50)
    blocks = [
        *_steps(schedule, stage, huge=False),
        b.picture(drawing),
        b.picture(section),
        *(b.picture(d) for d in strips),
        *_web_rows(schedule, stage, width)[0],
    ]
    return blocks, {drawing.scale, *([50] if strips else [])}


def _steps(schedule: Schedule, stage: Stage, huge: bool = True) -> list[Block]:
    """Steps, what is lifted, counts, and the point where work stops."""
    show = Show(schedule.job.info.units)
    found = [
        b.steps(stage.action, huge),
        b.words(*filter(None, (moves_line(schedule, stage, show),)), large=True),
        b.words(_count_words(schedule, stage), large=True),
    ]
    if stage.hold_point:
        found.append(b.callout(phrase("stage.stop"), [stage.hold_point], heavy=True, large=huge))
    return found


def _steps_height(steps: Sequence[Block], width: float) -> float:
    """About what the steps take at the large lettering, mm."""
    high = 0.0
    for block in steps:
        lines: list[object] = list(block["lines"])  # type: ignore[call-overload]
        if block["kind"] == "steps":
            texts = [str(pair[1]) for pair in lines]  # type: ignore[index]
            high += sum(len(wrap(t, width - 12.0, style.LARGE)) for t in texts) * _STEP_LINE
            high += _STEP_GAP * len(texts)
        else:
            size = style.LARGE if block["kind"] == "callout" else style.NORMAL
            texts = [str(line) for line in lines]
            high += sum(len(wrap(t, width - 6.0, size)) for t in texts) * (size * 1.6) + 3.0
            high += 14.0 if block["kind"] == "callout" else 0.0
    return high


def _count_words(schedule: Schedule, stage: Stage) -> str:
    """How many of each kind go in, and how many points are bent over."""
    parts = [f"{n} {kind_words(k, n)}" for k, n in stage_kinds(schedule, stage).items()]
    points = int(points_to_clench(schedule, stage).sum())
    if points:
        parts.insert(0, phrase("stage.points", n=points, points=points))
    return phrase("stage.count", counts=", ".join(parts)) if parts else phrase("stage.no_count")


def _strips(schedule: Schedule, stage: Stage, width: float, scale: int) -> list[Drawing]:
    """Chords that get fasteners in this stage, as strips with their runs."""
    runs, show = runs_of(schedule, stage.number), Show(schedule.job.info.units)
    chords = {m.id for m in schedule.girder.members if m.role.is_chord}
    rows = [text_width(rows_words(r, show), style.SMALL) for r in runs
            if r.member in chords and r.kind != "bolt"]  # fmt: skip
    caption = max(_CAPTION, *rows, 0.0) + _CAPTION_GAP
    plan = StripPlan(scale, stage.face_up, width, caption=caption)
    blocks = []
    for group in stage_groups(schedule, stage):
        if group[0].role.is_chord:
            mine = [r for r in runs if r.member == group[0].id]
            title = (", ".join(m.id for m in group), _strip_words(schedule, stage, mine))
            alone = replace(plan, joints=len(group) == 1)
            blocks += strip_blocks(schedule, group[0], alone, title, mine)
    return shelves(blocks, f"stage-{stage.number}-strips", width)


def _strip_words(schedule: Schedule, stage: Stage, runs: Sequence[ShownRun]) -> str:
    """How many of each kind, where the tape is hooked, what the figures at the left are."""
    counts: dict[str, int] = {}
    for run in runs:
        counts[run.kind] = counts.get(run.kind, 0) + run.count
    parts = [f"{n} {kind_words(k, n)}" for k, n in counts.items()]
    hook = hook_seen(schedule, runs[0].member, stage.face_up)
    nailed = any(run.kind != "bolt" for run in runs)
    rows = [phrase("runs.heights_how")] if nailed else []
    return clauses(", ".join(parts), phrase("members.hook_end", hook=hook), *rows)


def _web_rows(schedule: Schedule, stage: Stage, width: float) -> tuple[list[Block], float]:
    """Runs of the webs as tables side by side, and about how high they are, mm."""
    chords = {m.id for m in schedule.girder.members if m.role.is_chord}
    lines = [n for n in run_lines(schedule, stage) if n.members.split(", ")[0] not in chords]
    if not lines:
        return [], 0.0
    half = width > 300.0 and len(lines) > 2
    parts = _halves(lines) if half else [lines]
    tables = [[run_table(part)] for part in parts]
    high = (max(len(part) for part in parts) + 1) * _ROW + 4.0
    if half:
        return [b.columns(("1fr", "1fr"), *tables)], high
    return [*tables[0]], high


def _halves(lines: Sequence[RunLine]) -> list[Sequence[RunLine]]:
    """Two parts about alike, no member divided between them."""
    middle = (len(lines) + 1) // 2
    while middle < len(lines) and lines[middle].members == lines[middle - 1].members:
        middle += 1
    return [part for part in (lines[:middle], lines[middle:]) if part]


def _legend(schedule: Schedule, stage: Stage, width: float) -> Drawing:
    f, bent = schedule.fasteners, points_to_clench(schedule, stage)
    now = (f.stage == stage.number) | bent
    runs = runs_of(schedule, stage.number)
    shown = Shown(
        now=f.select(now),
        before=f.select((f.stage < stage.number) & ~now),
        face=stage.face_up,
        clench=bool(bent.any()),
        empty=any(run.left_out for run in runs),
    )
    return legend(schedule, width, shown)


def stage_sheets(schedule: Schedule, paper: Paper) -> Iterator[Sheet]:
    """One per stage."""
    for stage in schedule.stages:
        yield stage_sheet(schedule, stage, paper)
