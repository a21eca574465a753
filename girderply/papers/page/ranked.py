"""Findings ranked for the first page of a document: at most three on top, the rest in a table.

First what stops the work, then what the truss designer must know, then what was assumed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from math import ceil

from girderply.errors import Finding, alike_as_one
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.sheet_words import check_words, finding_words
from girderply.schedule import cautions
from girderply.schedule.assumed import Assumption, named_shortly
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice, joined

TOP = 3
BESIDE = 3  # usual values in a row, each with its box
LEDGER = "values-assumed"  # said by the ledger itself, in words instead of keys
FIRST = "ply-share"  # what the truss designer must see before anything else
_FOREMOST = 2  # warnings that the box for the designer says in full
_NAMED = 4  # failed checks that one line names


def top_blocks(voice: Voice, schedule: Schedule, designer: bool = False) -> list[Block]:
    """At most three boxes: what stops the work, what was assumed, what the designer must know.

    The last one is for those who can hand it on, who read clauses too: `designer`.
    """
    told = designer_box(voice, schedule) if designer else ()
    return [*foremost_boxes(voice, schedule, clauses=designer), *told][:TOP]


def foremost_boxes(voice: Voice, schedule: Schedule, *, clauses: bool) -> Iterator[Block]:
    """What stops the work, and what was assumed."""
    yield from _stops(voice, schedule, clauses)
    yield from _assumed(voice, schedule)


def _stops(voice: Voice, schedule: Schedule, clauses: bool) -> Iterator[Block]:
    if schedule.failed:
        show = Printed(schedule.job.info.units, voice)
        errors = [f for f in schedule.findings if f.severity == "error"]
        checks = {c.id: c for c in schedule.checks}
        told = {f.where for f in errors}  # a finding that speaks of a check by its id
        failed = [c for c in schedule.checks if not c.ok and c.id not in told]
        if not clauses:
            failed = [replace(c, clause="") for c in failed]
            errors = [replace(f, clause="") for f in errors]
        lines = [check_words(voice, c, show) for c in failed]
        lines += [finding_words(voice, f, where=f.where not in checks) for f in errors]
        if len(lines) > _NAMED:
            more = voice.phrase("cover.and_more", count=len(lines) - _NAMED)
            lines = [*lines[:_NAMED], more]
        head = voice.phrase("cover.wrong", stamp=cautions.not_for_assembly())
        yield b.callout(head, lines, heavy=True)


def _assumed(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    still = schedule.unconfirmed
    values = [f"{voice.told(a.what)} ({voice.told(a.value)})" for a in still]
    lines: list[str] = []
    if still:
        lines.append(
            voice.phrase("cover.assumed_are", names=joined("; ", named_shortly(still, values)))
        )
    elif schedule.plates_assumed:
        lines.append(voice.told(cautions.plates_assumed()))
    if schedule.job.info.demo:
        lines.append(voice.told(cautions.demo()))
    if lines:
        head = cautions.assumed_values() if still else voice.phrase("cover.note")
        yield b.callout(voice.told(head), lines, heavy=bool(still))


def designer_box(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """What the truss designer must know."""
    mine = _for_designer(schedule)
    if mine:
        lines = [finding_words(voice, f, where=f.code != FIRST) for f in mine[:_FOREMOST]]
        if len(mine) > _FOREMOST:
            lines.append(voice.phrase("cover.and_more", count=len(mine) - _FOREMOST))
        yield b.callout(voice.phrase("cover.for_designer"), lines)


def _for_designer(schedule: Schedule) -> list[Finding]:
    """What the truss designer must know, the gravest first."""
    warned = [f for f in schedule.findings if f.severity == "warning" and f.code != LEDGER]
    return sorted(warned, key=lambda f: f.code != FIRST)


def rest_blocks(voice: Voice, schedule: Schedule, notes: bool = True) -> Iterator[Block]:
    """What the boxes on top do not say, and what the job has to say: a row each.

    Args:
        voice: that tells it.
        schedule: of a document whose boxes are for those who can hand them on.
        notes: those too, besides warnings.
    """
    shown = ("warning", "note") if notes else ("warning",)
    told = _for_designer(schedule)[:_FOREMOST]
    rest = [f for f in schedule.findings
            if f.severity in shown and f.code != LEDGER and f not in told]  # fmt: skip
    rows = [
        [voice.phrase(f"sheet.severity_{f.severity}"), finding_words(voice, f)]
        for f in alike_as_one(rest)
    ]
    rows += [[voice.phrase("cover.job_note"), note] for note in schedule.job.info.notes]
    if rows:
        yield b.heading(voice.phrase("cover.else"))
        yield b.table((), rows, ("auto", "1fr"), ("left", "left"))


def lines_to_be_seen(schedule: Schedule) -> int:
    """About how many lines `to_be_seen` takes."""
    seen = _to_see(schedule)
    usual = [a for a in seen if a.usual]
    rows = len(seen) - len(usual) + ceil(len(usual) / BESIDE) + len({a.subject for a in usual})
    return 2 * (rows + 2) if seen else 0


def _to_see(schedule: Schedule) -> list[Assumption]:
    return [a for a in schedule.unconfirmed if a.on_girder]


def to_be_seen(voice: Voice, schedule: Schedule, boxes: bool = True) -> Iterator[Block]:
    """What was assumed and can be seen on the girder itself, each with a box."""
    seen = _to_see(schedule)
    if not seen:
        return
    yield b.heading(voice.told(cautions.see_on_girder()))
    box = b.BOX if boxes else ""
    rows: list[list[b.Cell]] = [
        [box, b.strong(voice.told(a.what)), voice.told(a.value), voice.told(a.where)]
        for a in seen
        if not a.usual
    ]
    names = (
        "",
        voice.phrase("cover.assumed"),
        voice.phrase("cover.as_value"),
        voice.phrase("cover.where"),
    )
    widths = ("auto", "0.7fr", "1.5fr", "1fr")
    if rows:
        yield b.table(names, rows, widths, ("center", "left", "left", "left"))
    yield from _usual(voice, seen, box)


def _usual(voice: Voice, seen: Sequence[Assumption], box: b.Cell) -> Iterator[Block]:
    """Usual values by what they belong to, some in a row, each with its box."""
    for subject, group in groupby((a for a in seen if a.usual), key=lambda a: a.subject):
        cells: list[b.Cell] = [c for a in group for c in (box, voice.told(a.named))]
        cells += [""] * (-len(cells) % (2 * BESIDE))
        rows = [cells[i : i + 2 * BESIDE] for i in range(0, len(cells), 2 * BESIDE)]
        name = voice.told(subject)
        yield b.words(f"{name[0].upper()}{name[1:]}:")
        yield b.table((), rows, ("auto", "1fr") * BESIDE, ("center", "left") * BESIDE)
