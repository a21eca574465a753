"""How large the drawings of a stage can be so that the whole of it stands on one lying sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from girderply.drawing import style
from girderply.drawing.elevation import ABOVE_STAGE, BELOW_STAGE
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.run_tiers import rows_words
from girderply.drawing.runs_shown import ShownRun, runs_of
from girderply.drawing.scales import FINE, scale_words
from girderply.drawing.strip_plan import StripPlan
from girderply.drawing.strips import shelves, strip_blocks
from girderply.drawing.view import SIDE
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.paper import Room
from girderply.papers.page.sheet_words import clauses
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
from girderply.wording.words import kind_words

_LEAST_LEFT, _LEAST_RIGHT = 190.0, 112.0  # mm of lying paper for drawing, and for steps beside
_STRIP_SCALES = (20, 25, 30, 40, 50)
# mm left of the strips, for the heights of the rows: at least, and clear of the strip
_CAPTION, _CAPTION_GAP = 14.0, 8.0
# What the page template takes, mm: a row of the table of runs and what is around the rows; a line
# of the large and of the plain lettering; a box around its lines, with its head.
_ROW, _MORE, _INSET, _TABLE = 4.9, 4.5, 2.6, 3.0
_LARGE_LINE, _LINE, _BOX = 8.2, 6.3, 13.0
_BETWEEN, _SPARE = 3.0, 1.5  # mm between two drawings, and left free at the foot


@dataclass(frozen=True, slots=True)
class Around:
    """What stands on a sheet whatever the scales are: steps, section, title and legend; mm."""

    steps: Sequence[Block]
    section: float
    rest: float


class Plan:
    """What the parts of a stage's sheet take on lying paper, by the scales of its drawings."""

    def __init__(self, schedule: Schedule, stage: Stage, free: Room, around: Around) -> None:
        self.schedule, self.stage, self.free, self.around = schedule, stage, free, around
        self.rows = web_rows(schedule, stage, free.width)
        self._strips: dict[int, list[Drawing]] = {}

    def scales(self) -> tuple[int, int]:
        """Scales of elevation and strips: those that are large in both and fit, else the least."""
        views = [n for n in FINE if self.left(n) <= self.free.width - _LEAST_RIGHT][:4]
        both = [(v, s) for v in views for s in _STRIP_SCALES]
        both.sort(key=lambda p: (max(p), sum(p)))
        return next((p for p in both if self.fits(*p)), both[-1])

    def fits(self, view: int, scale: int) -> bool:
        """Whether all of it stands on one sheet."""
        said = steps_height(self.around.steps, self.free.width - self.left(view) - 4.0)
        beside = max(said, self.elevation_height(view) + self.around.section + 2 * _BETWEEN)
        below = sum(d.height + _BETWEEN for d in self.strips(scale)) + self.rows[1]
        return self.around.rest + beside + below + _SPARE <= self.free.height

    def left(self, view: int) -> float:
        """Width of the drawing beside the steps, mm."""
        return max(_LEAST_LEFT, self.schedule.girder.length / view + 2 * SIDE)

    def elevation_height(self, view: int) -> float:
        """What the elevation takes, mm."""
        return self.schedule.girder.height / view + ABOVE_STAGE + BELOW_STAGE

    def strips(self, scale: int) -> list[Drawing]:
        """The chords at a scale; drawn once."""
        if scale not in self._strips:
            drawn = strips_of(self.schedule, self.stage, self.free.width, scale)
            self._strips[scale] = drawn
        return self._strips[scale]


def steps_height(steps: Sequence[Block], width: float) -> float:
    """About what the steps take at the large lettering, mm."""
    high = 0.0
    for block in steps:
        texts = [line if isinstance(line, str) else str(line[1]) for line in block["lines"]]  # type: ignore[attr-defined]
        if block["kind"] == "words":
            high += sum(len(wrap(t, width - 1.0, style.NORMAL)) for t in texts) * _LINE
            continue
        inside = width - (6.0 if block["kind"] == "callout" else 10.5)
        high += sum(len(wrap(t, inside, style.LARGE)) for t in texts) * _LARGE_LINE
        high += _BOX if block["kind"] == "callout" else 0.0
    return high


def strips_of(schedule: Schedule, stage: Stage, width: float, scale: int) -> list[Drawing]:
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
            title = (", ".join(m.id for m in group), _strip_words(schedule, stage, mine, scale))
            alone = replace(plan, joints=len(group) == 1)
            blocks += strip_blocks(schedule, group[0], alone, title, mine)
    return shelves(blocks, f"stage-{stage.number}-strips", width)


def _strip_words(schedule: Schedule, stage: Stage, runs: Sequence[ShownRun], scale: int) -> str:
    """How many of each kind, where the tape is hooked, the scale, what the rows are."""
    counts: dict[str, int] = {}
    for run in runs:
        counts[run.kind] = counts.get(run.kind, 0) + run.count
    parts = [f"{n} {kind_words(k, n)}" for k, n in counts.items()]
    hook = hook_seen(schedule, runs[0].member, stage.face_up)
    nailed = any(run.kind != "bolt" for run in runs)
    rows = [phrase("runs.heights_how")] if nailed else []
    bolts = {run.heights for run in runs if run.kind == "bolt"}
    if len(bolts) == 1:
        height = Show(schedule.job.info.units).value(bolts.pop()[0], "small")
        rows.append(phrase("runs.bolts_at", height=height))
    said = phrase("members.hook_end", hook=hook)
    return clauses(", ".join(parts), said, scale_words(scale), *rows)


def web_rows(schedule: Schedule, stage: Stage, width: float) -> tuple[list[Block], float]:
    """Runs of the webs as tables side by side, and about how high they are, mm."""
    chords = {m.id for m in schedule.girder.members if m.role.is_chord}
    lines = [n for n in run_lines(schedule, stage) if n.members.split(", ")[0] not in chords]
    if not lines:
        return [], 0.0
    half = width > 300.0 and len(lines) > 2
    parts = _halves(lines) if half else [lines]
    tables = [run_table(part) for part in parts]
    each = (width - 4.0 * (len(parts) - 1)) / len(parts)
    high = max(table_height(table, each) for table in tables) + _TABLE
    if half:
        return [b.columns(("1fr", "1fr"), *([table] for table in tables))], high
    return tables, high


def _halves(lines: Sequence[RunLine]) -> list[Sequence[RunLine]]:
    """Two parts about alike, no member divided between them."""
    cuts = [k for k in range(1, len(lines)) if lines[k].members != lines[k - 1].members]
    if not cuts:
        return [lines]
    middle = min(cuts, key=lambda k: (abs(2 * k - len(lines)), -k))
    return [lines[:middle], lines[middle:]]


def table_height(table: Block, width: float) -> float:
    """About what a table takes whose columns are as wide as their words, where there is room."""
    heads: list[str] = table["heads"]  # type: ignore[assignment]
    rows: list[list[Block]] = table["rows"]  # type: ignore[assignment]
    lines = [[(head, True) for head in heads]]
    lines += [[(str(c.get("text", "")), c["kind"] == "strong") for c in row] for row in rows]
    natural = [
        max(text_width(line[k][0], style.SMALL, line[k][1]) for line in lines) + _INSET
        for k in range(len(heads))
    ]
    wide = _columns(natural, width)
    most = [
        max(
            len(wrap(t, w - _INSET + 0.2, style.SMALL, bold))
            for (t, bold), w in zip(line, wide, strict=True)
        )
        for line in lines
    ]
    return sum(_ROW + _MORE * (max(n, 1) - 1) for n in most)


def _columns(natural: Sequence[float], width: float) -> list[float]:
    """Widths of columns: their own, or where that is too much a fair share for the widest."""
    left, share = width, 0.0
    for k, own in enumerate(sorted(natural)):
        share = left / (len(natural) - k)
        if own > share:
            break
        left -= own
    else:
        return list(natural)
    return [min(own, share) for own in natural]
