"""Tables for a terminal, and the same tables plain for a pipe."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.cli.talk import clean
from girderply.units.show import Printed
from girderply.wording import ENGLISH, english

if TYPE_CHECKING:
    from girderply.schedule.types import PatternNote, Schedule

PLAIN_WIDTH = 10_000  # a pipe has no edge to wrap at


@dataclass(frozen=True, slots=True)
class Column:
    """The head of a column; numbers stand to the right."""

    head: str
    right: bool = False


def table_text(
    title: str, columns: Sequence[Column], rows: Iterable[Sequence[str]], *, terminal: bool
) -> str:
    """A titled table: with rules and bold on a terminal, plain columns otherwise."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD if terminal else None, pad_edge=False, title=None)
    for column in columns:
        table.add_column(
            Text(column.head), justify="right" if column.right else "left", no_wrap=not terminal
        )
    for row in rows:
        table.add_row(*(Text(clean(cell)) for cell in row))
    sink = io.StringIO()
    width = None if terminal else PLAIN_WIDTH
    console = Console(file=sink, force_terminal=terminal, width=width, highlight=False)
    console.print(Text(clean(title), style="bold" if terminal else ""))
    console.print(table)
    return "\n".join(line.rstrip() for line in sink.getvalue().rstrip().splitlines()) + "\n"


def schedule_text(schedule: Schedule, *, terminal: bool) -> str:
    """Fasteners per member, per stage and to order, in the job's own units."""
    from girderply.schedule import cautions

    show, masses = Printed(schedule.job.info.units, ENGLISH), schedule.masses
    parts = [
        part(schedule, terminal=terminal) for part in (_member_table, _stage_table, _order_table)
    ]
    mass = f"Mass: one ply {show.mass(masses.ply)}, the girder {show.mass(masses.total)}"
    words = [f"{english(cautions.not_for_assembly())}: a check failed or a finding is an error."]
    lines = [
        mass,
        _work(schedule),
        "",
        *(words if schedule.failed else ()),
        *map(english, cautions.scope(schedule.job.assembly)),
    ]
    return "\n".join([*parts, *lines]) + "\n"


def _work(schedule: Schedule) -> str:
    """What it takes, by the rule set's minutes."""
    from girderply.schedule.estimate import estimate

    w = estimate(schedule)
    return (
        f"Work, an estimate by the rule set's minutes: about {w.minutes:.0f} min "
        f"({w.nails} {schedule.driven}s, {w.bolts} bolts, {w.numbers} numbers to read, "
        f"{w.steps} steps, {w.clenches} points to bend, {w.turns} turns)"
    )


def _member_table(schedule: Schedule, *, terminal: bool) -> str:
    info, girder = schedule.job.info, schedule.girder
    title = f"{info.number}  girder {girder.mark}  rev {info.revision}  {girder.plies} plies"
    show = Printed(info.units, ENGLISH)
    patterns = {p.member: p for p in schedule.patterns}
    counts = Counter(
        zip(schedule.fasteners.member.tolist(), schedule.fasteners.kind.tolist(), strict=True)
    )
    rows = (
        (
            *(m.id, str(m.role), show.small(m.depth), show.span(m.length)),
            *_pattern_cells(patterns.get(m.id), show),
            *(str(counts[m.id, schedule.driven]), str(counts[m.id, FastenerKind.BOLT])),
        )
        for m in girder.members
    )
    columns = (
        *(Column("member"), Column("role"), Column("depth", True), Column("length", True)),
        *(Column("rows", True), Column("centres", True), Column("gauge", True), Column("by")),
        *(Column(f"{schedule.driven}s", True), Column("bolts", True)),
    )
    return table_text(title, columns, rows, terminal=terminal)


def _pattern_cells(pattern: PatternNote | None, show: Printed) -> tuple[str, str, str, str]:
    if pattern is None:
        return ("-", "-", "-", "-")
    gauge = show.small(pattern.gauge) if pattern.gauge else "-"
    return (str(pattern.rows), show.small(pattern.centres), gauge, pattern.source)


def _stage_table(schedule: Schedule, *, terminal: bool) -> str:
    f = schedule.fasteners
    counts = Counter(zip(f.stage.tolist(), f.kind.tolist(), strict=True))
    rows = (
        (
            *(str(s.number), english(s.title), ", ".join(map(str, s.plies)), s.face_up),
            *(
                str(counts[s.number, schedule.driven]),
                str(counts[s.number, FastenerKind.BOLT]),
                english(s.hold_point),
            ),
        )
        for s in schedule.stages
    )
    columns = (
        *(Column("stage", True), Column("what"), Column("plies"), Column("face up")),
        *(Column(f"{schedule.driven}s", True), Column("bolts", True), Column("hold point")),
    )
    return table_text("Stages", columns, rows, terminal=terminal)


def _order_table(schedule: Schedule, *, terminal: bool) -> str:
    show = Printed(schedule.job.info.units, ENGLISH)
    rows = (
        (
            *(line.kind, line.spec, str(line.needed), str(line.ordered)),
            *(show.mass(line.mass) if line.mass else "-", english(line.note)),
        )
        for line in schedule.order
    )
    columns = (
        *(Column("kind"), Column("spec"), Column("needed", True), Column("to order", True)),
        *(Column("mass", True), Column("note")),
    )
    title = f"To order for one girder (of {schedule.girder.quantity})"
    return table_text(title, columns, rows, terminal=terminal)
