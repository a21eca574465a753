"""The runs of a stage in words: first mark, steps, last mark, rows, what is left out.

A run is told as the tape is read: the first mark from the hook end, so many steps of so much, and
the last mark to check it by.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing.run_tiers import rows_words
from girderply.drawing.runs_shown import ShownRun, edge_of, runs_of
from girderply.drawing.seen import bolt_size
from girderply.model.girder import Member
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.sheet_words import heads, hook_words
from girderply.papers.page.twins import twins
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import Voice, joined
from girderply.wording.words import kind_words

NO_MATTER = 0.5  # mm from the middle: it is as far from either edge
DASH = "\u2013"


@dataclass(frozen=True, slots=True)
class RunLine:
    """One line of a set-out table, every cell in words; `plain`: nothing but the usual kind."""

    members: str
    hook: str
    what: str
    rows: str
    first: str
    steps: str
    last: str
    out: str
    count: str
    plain: bool = False


def stage_groups(schedule: Schedule, stage: Stage) -> list[list[Member]]:
    """Members with fasteners of this stage; webs that are alike share a group."""
    f = schedule.fasteners
    used = set(f.member[f.stage == stage.number].tolist())
    return [g for g in twins(schedule, stage.number) if g[0].id in used]


def run_lines(voice: Voice, schedule: Schedule, stage: Stage) -> Iterator[RunLine]:
    """The runs of a stage, member by member, in the order of the tape."""
    runs = runs_of(voice, schedule, stage.number)
    for group in stage_groups(schedule, stage):
        for run in (r for r in runs if r.member == group[0].id):
            yield _line(voice, schedule, stage, group, run)


def _line(
    voice: Voice, schedule: Schedule, stage: Stage, group: Sequence[Member], run: ShownRun
) -> RunLine:
    show = Printed(schedule.job.info.units, voice)
    each = voice.phrase("runs.each", count=run.count) if len(group) > 1 else f"{run.count}"
    return RunLine(
        members=", ".join(m.id for m in group),
        hook=voice.told(
            joined(
                ", ",
                dict.fromkeys(hook_seen(voice, schedule, m.id, stage.face_up) for m in group),
            )
        ),
        what=what_words(voice, schedule, run),
        rows=edge_words(voice, group[0], run.heights, stage.face_up, rows_words(voice, run, show)),
        first=show.station(run.first),
        steps=steps_words(voice, run, show),
        last=show.station(run.last) if run.marks > 1 else DASH,
        out=out_words(voice, run, show),
        count=each,
        plain=run.kind == schedule.driven,
    )


def edge_words(voice: Voice, member: Member, heights: Sequence[float], face: str, said: str) -> str:
    """How far rows are from the edge that is named: 65 lower; 33.5 right; 47.5 middle."""
    edge = edge_of(member, face)
    if all(abs(h - member.depth / 2) < NO_MATTER for h in heights):
        edge = "middle"
    return voice.phrase(f"runs.edge_{edge}", heights=said)


def hook_seen(voice: Voice, schedule: Schedule, member: str, face: str) -> str:
    """Where the hook end of a member is, as seen on the face that is up."""
    return hook_words(voice, schedule, member, mirrored=face == "back")


def what_words(voice: Voice, schedule: Schedule, run: ShownRun) -> str:
    """Nails; bolt B2; two bolts B2 and B3 of another size than the others."""
    if run.kind != FastenerKind.BOLT:
        return voice.told(kind_words(run.kind, run.count))
    size = bolt_size(voice, schedule, run.spec)
    names = joined(", ", [i.rpartition("-")[2] for i in run.ids])
    return f"{voice.told(names)} {size}".strip()


def steps_words(voice: Voice, run: ShownRun, show: Printed) -> str:
    """22 × 150 = 3 300."""
    n = run.marks - 1
    if n < 1:
        return DASH
    return voice.phrase(
        "runs.steps", n=n, count=n, step=show.length(run.step), length=show.length(n * run.step)
    )


def out_words(voice: Voice, run: ShownRun, show: Printed) -> str:
    """Marks that stay empty, and what the hand sees there."""
    parts = [
        voice.phrase("runs.out_row", mark=show.station(run.first + x.mark * run.step),
               height=show.value(x.height, "small"), what=x.words)
        if x.height is not None else
        voice.phrase("runs.out", mark=show.station(run.first + x.mark * run.step), what=x.words)
        for x in run.left_out
    ]  # fmt: skip
    return ", ".join(parts) or run.why or DASH


def run_table(voice: Voice, lines: Sequence[RunLine], large: bool = False) -> Block:
    """The lines as one table; columns that say nothing are left away."""
    names = ("member", "hook_end", "what", "from_edge", "first_mark", "then", "last_mark",
             "leave_out", "count")  # fmt: skip
    align = ("left", "left", "left", "right", "right", "right", "right", "left", "right")
    cells = [
        [n.members, n.hook, n.what, n.rows, n.first, n.steps, n.last, n.out, n.count] for n in lines
    ]
    kept = [k for k in range(len(names)) if any(row[k] != DASH for row in cells)]
    if all(n.plain for n in lines):
        kept.remove(names.index("what"))
    rows: list[list[b.Cell]] = []
    before = ""
    for row in cells:
        shown: list[b.Cell] = [*row]
        shown[0] = b.strong(row[0]) if row[0] != before else ""
        shown[4] = b.strong(row[4])
        before = row[0]
        rows.append([shown[k] for k in kept])
    wide = ["auto"] * len(kept)
    return b.table(
        heads(voice, *(names[k] for k in kept)), rows, wide, [align[k] for k in kept], large=large
    )
