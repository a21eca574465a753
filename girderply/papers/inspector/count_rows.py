"""What an inspector counts: one line for each row of each member, with the run behind it.

Webs that are alike share a line, which says that its count is that of each.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing.runs_shown import ShownRun, runs_of
from girderply.model.girder import Member
from girderply.papers.page.twins import twins
from girderply.papers.yard.runs_told import edge_words, what_words
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import Voice, joined
from girderply.wording.words import kind_words

MOST_NAMED = 4  # marks left out that are told one by one; the drawing shows them all


@dataclass(frozen=True, slots=True)
class CountRow:
    """One line: `due` fasteners of a kind in one row of a member, all in words.

    `plain`: the row alone says what is counted.
    """

    member: str
    row: str
    what: str
    runs: str
    due: str
    plain: bool = False


def count_rows(voice: Voice, schedule: Schedule, stage: Stage) -> list[CountRow]:
    """Lines of one stage: member by member, row by row, bolts last."""
    f = schedule.fasteners
    used = set(f.member[f.stage == stage.number].tolist())
    runs = runs_of(voice, schedule, stage.number)
    found: list[CountRow] = []
    for group in twins(schedule, stage.number):
        if group[0].id in used:
            name = ", ".join(m.id for m in group)
            mine = [r for r in runs if r.member == group[0].id]
            found += _rows(voice, schedule, group[0], (name, len(group)), mine, stage.face_up)
    return found


def _rows(
    voice: Voice,
    schedule: Schedule,
    member: Member,
    whose: tuple[str, int],
    runs: Sequence[ShownRun],
    face: str,
) -> Iterator[CountRow]:
    show, (name, alike) = Printed(schedule.job.info.units, voice), whose
    nails = [r for r in runs if r.kind != FastenerKind.BOLT]
    for height in sorted({h for r in nails for h in r.heights}):
        parts = [p for r in nails for p in row_parts(r, height)]
        due = sum(p.count for p in parts)
        what = kind_words(nails[0].kind, due)
        said = "; ".join(part_words(voice, p, show) for p in parts)
        row = edge_words(voice, member, (height,), face, show.value(height, "small"))
        plain = nails[0].kind == schedule.driven
        yield CountRow(name, row, voice.told(what), said, _due(voice, due, alike), plain)
    bolts = [r for r in runs if r.kind == FastenerKind.BOLT]
    if bolts:
        due = sum(r.count for r in bolts)
        marks = [_bolts(voice, schedule, r, show) for r in bolts]
        what, row = kind_words(FastenerKind.BOLT, due), voice.phrase("sheet.all_bolts")
        yield CountRow(name, row, voice.told(what), "; ".join(marks), _due(voice, due, alike), True)


def _bolts(voice: Voice, schedule: Schedule, run: ShownRun, show: Printed) -> str:
    """B2 1 655; B4, B7, B9: 1 585 + 3 × 1 200, not 2 785."""
    names = what_words(voice, schedule, run)
    if run.marks == 1:
        return f"{names}\u00a0{show.station(run.first)}"
    parts = joined(
        ", ", [part_words(voice, p, show) for h in run.heights for p in row_parts(run, h)]
    )
    return voice.phrase("runs.named", names=names, run=parts)


def _due(voice: Voice, count: int, alike: int) -> str:
    return voice.phrase("runs.each", count=count) if alike > 1 else f"{count}"


@dataclass(frozen=True, slots=True)
class RowPart:
    """What one run puts into one row: first mark, step, marks, and those that stay empty."""

    first: float
    step: float
    marks: int
    out: tuple[float, ...]

    @property
    def count(self) -> int:
        """Fasteners of the part."""
        return self.marks - len(self.out)


def row_parts(run: ShownRun, height: float) -> list[RowPart]:
    """The marks of a run that are in the row so high above the lower edge; one part or none."""
    if height not in run.heights:
        return []
    turns = len(run.groups)
    turn = next(k for k, group in enumerate(run.groups) if height in group)
    marks = list(range(turn, run.marks, turns))
    if not marks:
        return []
    empty = tuple(
        run.first + x.mark * run.step
        for x in run.left_out
        if x.mark in marks and x.height in (None, height)
    )
    step = run.step * turns if len(marks) > 1 else 0.0
    return [RowPart(run.first + marks[0] * run.step, step, len(marks), empty)]


def part_words(voice: Voice, part: RowPart, show: Printed) -> str:
    """150 + 22 × 150, not 900."""
    said = show.station(part.first)
    if part.marks > 1:
        said = voice.phrase("runs.first_steps", first=said, count=part.marks - 1,
                      step=show.length(part.step))  # fmt: skip
    if len(part.out) > MOST_NAMED:
        said = voice.phrase("runs.without_many", run=said, count=len(part.out))
    elif part.out:
        out = joined(", ", [show.station(s) for s in part.out])
        said = voice.phrase("runs.without", run=said, marks=out)
    return said
