"""The inspector's document: counts of every stage with the run behind each, boxes, signatures.

Each stage is counted and signed on one page where it fits.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from girderply.drawing import style
from girderply.drawing.elevation import overall_elevation
from girderply.drawing.legend import Shown, legend
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.seen import points_to_clench
from girderply.papers.inspector.count_rows import CountRow, count_rows
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.furniture import first_room
from girderply.papers.page.heading import heading_of
from girderply.papers.page.paper import Paper, room
from girderply.papers.page.ranked import lines_to_be_seen, to_be_seen, top_blocks
from girderply.papers.page.sheet_words import near_marks, signature_labels, stage_heading
from girderply.schedule.types import Schedule, Stage
from girderply.wording import Voice, joined
from girderply.wording.words import kind_words

RULES = ("count", "marks", "heads", "points", "bolts", "gaps")


def check_sheet(voice: Voice, schedule: Schedule, paper: Paper) -> Sheet:
    """Rules of acceptance, what is to be seen, and every stage with its counts."""
    sheet = Sheet("inspection", voice.phrase("tick_off.title"), paper)
    girder = schedule.girder
    sheet.blocks += [
        b.title(
            voice.phrase("tick_off.head", mark=girder.mark),
            voice.phrase("tick_off.piece", n=girder.quantity),
        ),
        *_beside(voice, schedule, room(paper).width),
        *to_be_seen(voice, schedule),
    ]
    every = [list(_stage_blocks(voice, schedule, stage)) for stage in schedule.stages]
    stages = [b.keep(*blocks) for blocks in every]
    spare = first_room(voice, heading_of(schedule), sheet).height - _head_height(
        voice, schedule, room(paper).width
    )
    high = _stage_height(every[0], room(paper).width) if every else 0.0
    if high + _DOUBT > spare > _LEAST_DRAWING:
        # the first stage stands here whole, or it goes to the next sheet and its names are here
        whole = _whole_girder(voice, schedule, room(paper).width, spare)
        stages[0] = b.choice([stages[0]], [*whole, stages[0]])
    sheet.blocks += stages
    return sheet


def _whole_girder(voice: Voice, schedule: Schedule, width: float, high: float) -> list[Block]:
    """The girder with the names of its members, and what its signs mean."""
    f = schedule.fasteners
    signs = legend(voice, schedule, width, Shown(f, f.select(f.stage < 0), "front", loads=True))
    drawing = overall_elevation(voice, schedule, width, max(high - signs.height - _AIR, _LOWEST))
    return [b.picture(drawing), b.picture(signs)]


def _beside(voice: Voice, schedule: Schedule, width: float) -> Iterator[Block]:
    """Boxes with the rules beside them; what is wrong stands over the whole width."""
    rules = b.words(*(f"{i}  {line}" for i, line in enumerate(_rules(voice, schedule), 1)))
    boxes = top_blocks(voice, schedule)
    if schedule.failed or not boxes:
        yield from (*boxes, rules)
    else:
        share = min(_SHARES, key=lambda s: _beside_height(voice, schedule, width, s))
        yield b.columns((f"{share:g}fr", "1fr"), boxes, [rules])


# About what stands on the first sheet, mm: title and the air around the rest, a line, a box around
# its lines.
_TITLE, _LINE, _BOX = 14.0, 4.3, 13.0
_LEAST_DRAWING = 90.0  # with its legend
_LOWEST = 80.0  # without it, whatever the legend has to say: dimensions and loads are in it
# Of a stage: what is around its rows, a row, each further line of one; how sure that is.
_AROUND, _ROW, _MORE, _DOUBT = 38.5, 5.7, 3.6, 8.0
_AIR = 4.0  # mm between a drawing and its legend
_SHARES = (1.3, 1.0, 0.8, 0.6, 0.45, 0.35)  # how wide the boxes may be to the rules beside them


def _beside_height(voice: Voice, schedule: Schedule, width: float, share: float) -> float:
    """About what boxes and rules side by side take, mm."""
    left, right = ((width - 4.0) * part / (share + 1.0) - 6.0 for part in (share, 1.0))
    rules = sum(len(wrap(line, right)) for line in _rules(voice, schedule)) * _LINE
    boxes = 0.0
    for block in top_blocks(voice, schedule):
        lines: list[str] = block["lines"]  # type: ignore[assignment]
        boxes += _BOX + sum(len(wrap(line, left)) for line in lines) * _LINE
    return max(rules, boxes)


def _head_height(voice: Voice, schedule: Schedule, width: float) -> float:
    """About what stands over the first stage, mm."""
    beside = min(_beside_height(voice, schedule, width, share) for share in _SHARES)
    return _TITLE + beside + lines_to_be_seen(schedule) * _LINE


def _stage_height(blocks: Sequence[Block], width: float) -> float:
    """About what a stage takes, mm: where that fits by far, no drawing is made for another way."""
    rows: list[list[Block]] = next((t["rows"] for t in blocks if t["kind"] == "table"), [])  # type: ignore[misc]
    runs = (str(row[2].get("text", "")) for row in rows if len(row) > 2)
    more = sum(len(wrap(run, 0.33 * width)) - 1 for run in runs if run)
    for block in blocks:
        if block["kind"] == "heading":
            title, under = str(block["text"]), str(block["under"])
            wide = text_width(title, style.NORMAL, bold=True) + 2.5 + text_width(under, style.SMALL)
            more += int(wide // width)
        elif block["kind"] == "hold":
            more += len(wrap(f"{block['head']}  {block['line']}", width - 4.0)) - 1
    return _AROUND + len(rows) * _ROW + more * _MORE


def _rules(voice: Voice, schedule: Schedule) -> Iterator[str]:
    """What is right, in six lines at most."""
    f = schedule.fasteners
    there = {
        "count": True,
        "marks": bool(f.driven.any()),
        "heads": bool(f.driven.any()),
        "points": bool(f.clench.any()),
        "bolts": bool(f.bolted.any()),
        "gaps": True,
    }
    values = {"many": kind_words(schedule.driven, 2), "marks": near_marks(voice, schedule)}
    return (voice.phrase(f"tick_off.rule_{name}", **values) for name in RULES if there[name])


def _stage_blocks(voice: Voice, schedule: Schedule, stage: Stage) -> Iterator[Block]:
    yield b.heading(*stage_heading(voice, stage))
    rows = count_rows(voice, schedule, stage)
    cells = [_cells(voice, row) for row in rows]
    points = int(points_to_clench(schedule, stage).sum())
    if points:
        cells.insert(0, _points_cells(voice, points))
    if not cells:
        done = (voice.phrase("tick_off.what"), voice.phrase("tick_off.done"))
        lines: list[list[b.Cell]] = [[voice.told(line), b.BOX] for line in stage.action]
        yield b.table(done, lines, ("1fr", "auto"), ("left", "center"), tall=True)
    else:
        heads = tuple(voice.phrase(f"tick_off.{name}") for name, _, _ in _COLUMNS)
        widths = [_name_width(voice, rows), *(w for _, w, _ in _COLUMNS[1:])]
        yield b.table(heads, cells, widths, [a for _, _, a in _COLUMNS], fold=True)
    if stage.hold_point:
        yield b.hold(
            voice.phrase("stage.stop"), voice.told(stage.hold_point), signature_labels(voice)
        )
    elif cells:
        yield b.hold("", "", signature_labels(voice))


def _name_width(voice: Voice, rows: Sequence[CountRow]) -> str:
    """As wide as the longest list of members, but not so wide that runs find no room."""
    names = [voice.phrase("tick_off.member"), *(row.member for row in rows)]
    longest = max(text_width(name, style.SMALL, bold=True) for name in names)
    return f"{min(longest + 2.6, _MOST_NAMES):.1f}mm"


_MOST_NAMES = 28.0
# Name, width and alignment of each column; what is due stands at the edge, to be folded back.
_COLUMNS = (
    ("member", "auto", "left"), ("row", "auto", "left"), ("run", "1fr", "left"),
    ("found", "auto", "center"), ("right", "auto", "center"), ("missing", "20mm", "left"),
    ("due", "auto", "right"),
)  # fmt: skip


def _points_cells(voice: Voice, points: int) -> list[b.Cell]:
    return [
        b.strong(voice.phrase("tick_off.all")), voice.phrase("tick_off.points_clenched"), "",
        b.FILL, b.TICK, "", b.strong(f"{points}"),
    ]  # fmt: skip


def _cells(voice: Voice, row: CountRow) -> list[b.Cell]:
    name = row.row if row.plain else joined(" ", [row.what, row.row])
    return [b.strong(row.member), voice.told(name), row.runs, b.FILL, b.TICK, "", b.strong(row.due)]
