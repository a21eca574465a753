"""How large the drawings of a stage can be so that the whole of it stands on one lying sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style
from girderply.drawing.elevation import ABOVE_STAGE, BELOW_STAGE
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.run_tiers import rows_seen
from girderply.drawing.runs_shown import ShownRun, runs_of
from girderply.drawing.scales import FINE, scale_words
from girderply.drawing.seen import bolt_size
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
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words

# mm of lying paper for the drawing, usually and where steps are long; for the steps beside it
_LEAST_LEFT, _NARROW, _LEAST_RIGHT = 190.0, (175.0, 160.0, 145.0), 112.0
_STRIP_SCALES = (20, 25, 30, 40, 50)
# mm left of the strips, for the heights of the rows: at least, and clear of the strip
_CAPTION, _CAPTION_GAP = 14.0, 8.0
# What the page template takes, mm: a row of the table of runs and what is around the rows; a line
# of the large and of the plain lettering; a box around its lines, with its head.
_ROW, _MORE, _INSET, _TABLE = 4.9, 4.5, 2.6, 3.0
_LARGE_LINE, _LINE, _BOX = 8.2, 6.3, 13.0
# mm between two drawings, over the legend at the foot, and left free at the foot
_BETWEEN, _UNDER, _SPARE = 3.0, 2.0, 1.5


@dataclass(frozen=True, slots=True)
class Around:
    """What stands on a sheet: steps, title (mm); section and legend, by their width in mm."""

    steps: Sequence[Block]
    section: Callable[[float], Drawing]
    title: float
    signs: Callable[[float], Drawing]


@dataclass(frozen=True, slots=True)
class Chosen:
    """Scales; width in mm of what stands beside the steps, and what is under the section there."""

    view: int
    scale: int
    left: float
    signs_beside: bool = False
    rows_beside: bool = False


class Plan:
    """What the parts of a stage's sheet take on lying paper, by the scales of its drawings."""

    def __init__(
        self, voice: Voice, schedule: Schedule, stage: Stage, free: Room, around: Around
    ) -> None:
        self.voice = voice
        self.schedule, self.stage, self.free, self.around = schedule, stage, free, around
        self._strips: dict[int, float] = {}
        self._rows: dict[float, tuple[list[Block], float]] = {}

    def chosen(self) -> Chosen:
        """What is large in both drawings and fits, else the least."""
        every = [c for least in (_LEAST_LEFT, *_NARROW) for c in self._every(least)]
        fitting = next((c for c in every if self.height(c) <= self.free.height), None)
        return fitting or min(every, key=self.height)

    def _every(self, least: float) -> list[Chosen]:
        """What may be chosen, the largest drawings first; the legend is moved before the rows."""
        lefts = {n: self.left(n, least) for n in FINE}
        views = [n for n in FINE if lefts[n] <= self.free.width - _LEAST_RIGHT][:4]
        both = [(v, s) for v in views for s in _STRIP_SCALES]
        both.sort(key=lambda p: (max(p), sum(p)))
        beside = ((False, False), (True, False), (False, True), (True, True))
        return [Chosen(v, s, lefts[v], *moved) for v, s in both for moved in beside]

    def height(self, c: Chosen) -> float:
        """About what all of it takes, mm."""
        said = steps_height(self.around.steps, self.free.width - c.left - 4.0)
        seen = self.elevation_height(c.view) + self.section(c).height + 2 * _BETWEEN
        seen += self.rows(c.left)[1] if c.rows_beside else 0.0
        seen += self.around.signs(c.left).height + _BETWEEN if c.signs_beside else 0.0
        high = self.around.title + max(said, seen) + _SPARE
        high += 0.0 if c.rows_beside else self.rows(self.free.width)[1]
        high += 0.0 if c.signs_beside else self.around.signs(self.free.width).height + _UNDER
        return high + self._strips_height(c.scale)

    def section(self, c: Chosen) -> Drawing:
        """The section through the plies, as wide as it may be."""
        return self.around.section(min(c.left, _LEAST_LEFT))

    def rows(self, width: float) -> tuple[list[Block], float]:
        """The runs of the webs in so much room, and about how high they are, mm."""
        if width not in self._rows:
            self._rows[width] = web_rows(self.voice, self.schedule, self.stage, width)
        return self._rows[width]

    def left(self, view: int, least: float) -> float:
        """Width of the drawing beside the steps, mm."""
        return max(least, self.schedule.girder.length / view + 2 * SIDE)

    def elevation_height(self, view: int) -> float:
        """What the elevation takes, mm."""
        return self.schedule.girder.height / view + ABOVE_STAGE + BELOW_STAGE

    def strips(self, scale: int) -> list[Drawing]:
        """The chords at a scale."""
        return strips_of(self.voice, self.schedule, self.stage, self.free.width, scale)

    def _strips_height(self, scale: int) -> float:
        """What the chords take at a scale, mm; measured once."""
        if scale not in self._strips:
            measured = strips_of(
                self.voice, self.schedule, self.stage, self.free.width, scale, measured=True
            )
            self._strips[scale] = sum(d.height + _BETWEEN for d in measured)
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


def strips_of(
    voice: Voice, schedule: Schedule, stage: Stage, width: float, scale: int, measured: bool = False
) -> list[Drawing]:
    """Chords that get fasteners in this stage, as strips with their runs; or only their room."""
    runs, show = runs_of(voice, schedule, stage.number), Printed(schedule.job.info.units, voice)
    chords = {m.id for m in schedule.girder.members if m.role.is_chord}
    rows = [text_width(rows_seen(voice, r, show), style.SMALL) for r in runs
            if r.member in chords and (r.kind != FastenerKind.BOLT or r.marks > 1)]  # fmt: skip
    caption = max(_CAPTION, *rows, 0.0) + _CAPTION_GAP
    plan = StripPlan(scale, stage.face_up, width, caption=caption, measured=measured)
    blocks = []
    for group in stage_groups(schedule, stage):
        if group[0].role.is_chord:
            mine = [r for r in runs if r.member == group[0].id]
            title = (
                ", ".join(m.id for m in group),
                _strip_words(voice, schedule, stage, mine, scale),
            )
            alone = replace(plan, joints=len(group) == 1)
            blocks += strip_blocks(voice, schedule, group[0], alone, title, mine)
    return shelves(blocks, f"stage-{stage.number}-strips", width)


def _strip_words(
    voice: Voice, schedule: Schedule, stage: Stage, runs: Sequence[ShownRun], scale: int
) -> str:
    """How many of each kind, where the tape is hooked, the scale, what the rows are."""
    counts: dict[str, int] = {}
    for run in runs:
        counts[run.kind] = counts.get(run.kind, 0) + run.count
    parts = [f"{n} {voice.told(kind_words(k, n))}" for k, n in counts.items()]
    hook = hook_seen(voice, schedule, runs[0].member, stage.face_up)
    sizes = _bolt_sizes(voice, schedule, runs)
    nailed = any(run.kind != FastenerKind.BOLT for run in runs)
    rows = [voice.phrase("runs.heights_how")] if nailed else []
    bolts = {run.heights for run in runs if run.kind == FastenerKind.BOLT}
    if len(bolts) == 1:
        height = Printed(schedule.job.info.units, voice).value(bolts.pop()[0], "small")
        rows.append(voice.phrase("runs.bolts_at", height=height))
    said = voice.phrase("members.hook_end", hook=hook)
    return clauses(voice, ", ".join(parts), *sizes, said, scale_words(scale), *rows)


def _bolt_sizes(voice: Voice, schedule: Schedule, runs: Sequence[ShownRun]) -> Iterator[str]:
    """Which bolts are of which size, where a girder has several; the most of them last."""
    sizes: dict[str, list[str]] = {}
    for run in runs:
        if run.kind == FastenerKind.BOLT and (size := bolt_size(voice, schedule, run.spec)):
            sizes.setdefault(size, []).extend(i.rpartition("-")[2] for i in run.ids)
    fewest = sorted(sizes.items(), key=lambda item: len(item[1]))
    for size, names in fewest[:-1]:
        yield voice.phrase("runs.bolts_of", size=size, names=", ".join(names))
    if fewest:
        yield voice.phrase("runs.bolts_rest", size=fewest[-1][0]) if fewest[1:] else fewest[-1][0]


def web_rows(
    voice: Voice, schedule: Schedule, stage: Stage, width: float
) -> tuple[list[Block], float]:
    """Runs of the webs as tables side by side, and about how high they are, mm."""
    chords = {m.id for m in schedule.girder.members if m.role.is_chord}
    lines = [n for n in run_lines(voice, schedule, stage) if n.members.split(", ")[0] not in chords]
    if not lines:
        return [], 0.0
    half = width > 300.0 and len(lines) > 2
    parts = _halves(lines) if half else [lines]
    tables = [run_table(voice, part) for part in parts]
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
