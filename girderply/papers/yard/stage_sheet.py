"""One sheet per assembly stage: all that the yard hand needs to do it, and nothing else.

On lying paper it is one page: the girder as it lies, the steps in lettering that is read from 2 m,
a section through the plies, counts, the hold point, and every run. Upright paper takes two.
"""

from __future__ import annotations

from functools import cache, partial

from girderply.drawing import style
from girderply.drawing.elevation import stage_elevation
from girderply.drawing.legend import Shown, legend
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Drawing
from girderply.drawing.runs_shown import runs_of
from girderply.drawing.scales import scale_words
from girderply.drawing.section import stack_section
from girderply.drawing.seen import points_to_clench
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import stage_kinds
from girderply.papers.page.paper import Paper, lying, room
from girderply.papers.yard.lift_words import moves_line
from girderply.papers.yard.stage_plan import Around, Chosen, Plan, strips_of, web_rows
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import face_up_words, kind_words

_TITLE, _TITLE_LINE = 11.5, 9.5  # mm of the title, and of a second line of it


def stage_sheet(voice: Voice, schedule: Schedule, stage: Stage, paper: Paper) -> Sheet:
    """All that the yard hand needs for one stage."""
    of = {"number": stage.number, "all": len(schedule.stages)}
    title = voice.phrase("sheet.stage_of", **of)
    words = _title_words(voice, schedule, stage)
    sheet = Sheet(f"stage-{stage.number}", title, paper, face=stage.face_up)
    make = _lying_blocks if lying(paper) else _upright_blocks
    blocks, scales = make(voice, schedule, stage, paper)
    head = b.title(*words, huge=lying(paper), short=title)
    sheet.blocks += [head, *blocks]
    sheet.scale = ", ".join(scale_words(s) for s in sorted(scales, reverse=True))
    return sheet


def _title_words(voice: Voice, schedule: Schedule, stage: Stage) -> tuple[str, str]:
    """What is done, and which face is up."""
    of = {"number": stage.number, "all": len(schedule.stages)}
    under = voice.told(face_up_words(stage.face_up, stage.upright))
    if stage.face_up == "back":
        under = voice.phrase("stage.mirrored", face_up=under)
    return voice.phrase("stage.title", title=stage.title, **of), under


def _title_height(voice: Voice, schedule: Schedule, stage: Stage, width: float) -> float:
    """What the title takes on lying paper, mm."""
    title, under = _title_words(voice, schedule, stage)
    wide = text_width(title, style.HUGE, bold=True) + 4.0 + text_width(under, style.LARGE)
    return _TITLE + _TITLE_LINE * (wide // width)


def _lying_blocks(
    voice: Voice, schedule: Schedule, stage: Stage, paper: Paper
) -> tuple[list[Block], set[int]]:
    steps = _steps(voice, schedule, stage)
    high = _section_height(schedule, stage)
    section = cache(lambda width: stack_section(voice, schedule, stage, width, high))
    free = room(paper)
    signs = cache(partial(_legend, voice, schedule, stage))
    around = Around(steps, section, _title_height(voice, schedule, stage, free.width), signs)
    plan = Plan(voice, schedule, stage, free, around)
    chosen = plan.chosen()
    strips = plan.strips(chosen.scale)
    drawing = stage_elevation(
        voice, schedule, stage, chosen.left, plan.elevation_height(chosen.view)
    )
    beside, below = _rows_and_signs(plan, chosen)
    seen = [b.picture(drawing), b.picture(plan.section(chosen)), *beside]
    scales = {drawing.scale, *([chosen.scale] if strips else [])}
    columns = b.columns((f"{chosen.left:g}mm", "1fr"), seen, steps)
    return [columns, *(b.picture(d) for d in strips), *below], scales


def _rows_and_signs(plan: Plan, chosen: Chosen) -> tuple[list[Block], list[Block]]:
    """Runs of the webs and legend: under the section, or at the foot."""
    left = chosen.left
    beside: list[Block] = []
    below: list[Block] = []
    rows = beside if chosen.rows_beside else below
    rows += plan.rows(left if chosen.rows_beside else plan.free.width)[0]
    signs = beside if chosen.signs_beside else below
    signs.append(b.picture(plan.around.signs(left if chosen.signs_beside else plan.free.width)))
    return beside, below


def _section_height(schedule: Schedule, stage: Stage) -> float:
    """Room for a section at 1:10 at least, so that every ply can be lettered, mm."""
    return max(40.0, 21.0 + len(stage.plies) * schedule.girder.ply_thickness / 10)


def _upright_blocks(
    voice: Voice, schedule: Schedule, stage: Stage, paper: Paper
) -> tuple[list[Block], set[int]]:
    width = room(paper).width
    drawing = stage_elevation(voice, schedule, stage, width, 80.0)
    section = stack_section(voice, schedule, stage, width, _section_height(schedule, stage))
    strips = strips_of(voice, schedule, stage, width, 50)
    blocks = [
        *_steps(voice, schedule, stage, huge=False),
        b.picture(drawing),
        b.picture(section),
        *(b.picture(d) for d in strips),
        *web_rows(voice, schedule, stage, width)[0],
        b.picture(_legend(voice, schedule, stage, width)),
    ]
    return blocks, {drawing.scale, *([50] if strips else [])}


def _steps(voice: Voice, schedule: Schedule, stage: Stage, huge: bool = True) -> list[Block]:
    """Steps, what is lifted, counts, and the point where work stops."""
    show = Printed(schedule.job.info.units, voice)
    found = [
        b.steps(map(voice.told, stage.action), huge),
        b.words(*filter(None, (moves_line(voice, schedule, stage, show),)), large=True),
        b.words(_count_words(voice, schedule, stage), large=True),
    ]
    if stage.hold_point:
        found.append(
            b.callout(
                voice.phrase("stage.stop"), [voice.told(stage.hold_point)], heavy=True, large=huge
            )
        )
    return found


def _count_words(voice: Voice, schedule: Schedule, stage: Stage) -> str:
    """How many of each kind go in, and how many points are bent over."""
    parts = [f"{n} {voice.told(kind_words(k, n))}" for k, n in stage_kinds(schedule, stage).items()]
    points = int(points_to_clench(schedule, stage).sum())
    if points:
        parts.insert(0, voice.phrase("stage.points", n=points, points=points))
    return (
        voice.phrase("stage.count", counts=", ".join(parts))
        if parts
        else voice.phrase("stage.no_count")
    )


def _legend(voice: Voice, schedule: Schedule, stage: Stage, width: float) -> Drawing:
    f, bent = schedule.fasteners, points_to_clench(schedule, stage)
    now = (f.stage == stage.number) | bent
    runs = runs_of(voice, schedule, stage.number)
    shown = Shown(
        now=f.select(now),
        before=f.select((f.stage < stage.number) & ~now),
        face=stage.face_up,
        clench=bool(bent.any()),
        empty=any(run.left_out for run in runs),
    )
    return legend(voice, schedule, width, shown)
