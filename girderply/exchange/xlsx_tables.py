"""What stands in the workbook: tables of plain values, units in the headings, no layout.

Numbers are numbers, in the unit that the heading names, which is the job's own.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from girderply.jobfile.job import UnitSystem
from girderply.schedule import cautions
from girderply.schedule.total import total_order
from girderply.schedule.types import OrderLine, Schedule
from girderply.strength.records import Check
from girderply.units.exact import KG_PER_LB, MM_PER_IN, N_PER_LB

Form = Literal["text", "whole", "length", "mass", "force", "percent", "blank"]
Value = str | int | float
Row = tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading (with the unit) and what its cells are; width in characters."""

    head: str
    form: Form = "text"
    width: float = 0.0


@dataclass(frozen=True, slots=True)
class Table:
    """One worksheet: its name, columns and rows."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Units:
    """Names of the job's units, and how many internal units (mm, kg, N) one of them is."""

    length: str
    mass: str
    force: str
    mm: float
    kg: float
    newton: float


UNITS = {
    UnitSystem.METRIC: Units("mm", "kg", "kN", 1.0, 1.0, 1000.0),
    UnitSystem.IMPERIAL: Units("in", "lb", "lbf", MM_PER_IN, KG_PER_LB, N_PER_LB),
}


def tables(schedules: Sequence[Schedule], units: Units) -> list[Table]:
    """All worksheets in their order."""
    return [
        _about(schedules),
        _fasteners(schedules, units),
        _order(schedules, units),
        _order_per_girder(schedules, units),
        _tick_off(schedules),
        _checks(schedules, units),
        _findings(schedules),
    ]


def _each(
    schedules: Sequence[Schedule], rows: Callable[[Schedule], Iterator[Row]]
) -> tuple[Row, ...]:
    """Rows of every girder, with job, revision and mark in front."""
    return tuple(
        (s.job.info.number, s.job.info.revision, s.girder.mark, *row)
        for s in schedules
        for row in rows(s)
    )


_NAMES = (Column("job"), Column("revision"), Column("girder"))


def _about(schedules: Sequence[Schedule]) -> Table:
    rows: list[Row] = [("Caution", line) for line in cautions.scope()]
    for s in schedules:
        info, name = s.job.info, f"{s.job.info.number} {s.girder.mark}"
        if s.failed:
            rows.insert(
                0, (name, f"{cautions.not_for_assembly()}: see the sheets Checks and Notes")
            )
        rows += [
            (name, f"{info.title}, revision {info.revision} of {info.date}"),
            (name, f"{s.girder.quantity} to make, {s.girder.plies} plies each"),
            (name, f"content hash {s.content_hash}"),
        ]
        flags = ((info.demo, cautions.demo()), (s.plates_assumed, cautions.plates_assumed()))
        rows += [(name, words) for holds, words in flags if holds]
    return Table("About", (Column("what"), Column("says", width=100.0)), tuple(rows))


def _fasteners(schedules: Sequence[Schedule], units: Units) -> Table:
    unit = units.length
    columns = (
        *_NAMES, Column("id"), Column("kind"), Column("spec"), Column("member"), Column("joint"),
        Column(f"station ({unit})", "length"), Column(f"offset ({unit})", "length"),
        Column("row", "whole"), Column("stage", "whole"), Column("head on face"),
        Column("from ply", "whole"), Column("to ply", "whole"), Column("purpose"), Column("load"),
        Column(f"x ({unit})", "length"), Column(f"y ({unit})", "length"),
        Column("clench"), Column(f"hole ({unit})", "length"),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        f = schedule.fasteners
        sizes = [(c / units.mm).tolist() for c in (f.station, f.offset, f.x, f.y, f.drilled)]
        words = [c.tolist() for c in (f.id, f.kind, f.spec, f.member, f.joint)]
        whole = [c.tolist() for c in (f.row, f.stage, f.face, f.from_ply, f.to_ply)]
        rest = [f.purpose.tolist(), f.load.tolist(), f.clench.tolist()]
        for i in range(len(f)):
            station, offset, x, y, hole = (column[i] for column in sizes)
            purpose, load, clench = (column[i] for column in rest)
            yield (
                *(c[i] for c in words), station, offset, *(c[i] for c in whole), purpose, load,
                x, y, "yes" if clench else "no", hole,
            )  # fmt: skip

    return Table("Schedule", columns, _each(schedules, rows))


def _order_columns(units: Units, for_what: str) -> tuple[Column, ...]:
    return (
        Column("kind"), Column("spec"), Column(f"needed for {for_what}", "whole"),
        Column(f"to order for {for_what}", "whole"),
        Column(f"mass of those to order ({units.mass})", "mass"), Column("note", width=50.0),
    )  # fmt: skip


def _order_row(line: OrderLine, units: Units) -> Row:
    mass = line.mass / units.kg if line.mass else ""
    return line.kind, line.spec, line.needed, line.ordered, mass, line.note


def _order(schedules: Sequence[Schedule], units: Units) -> Table:
    rows = tuple(_order_row(line, units) for line in total_order(schedules))
    return Table("Order list", _order_columns(units, "all girders"), rows)


def _order_per_girder(schedules: Sequence[Schedule], units: Units) -> Table:
    columns = (*_NAMES, *_order_columns(units, "one"), Column("girders to make", "whole"))

    def rows(schedule: Schedule) -> Iterator[Row]:
        for line in schedule.order:
            yield (*_order_row(line, units), schedule.girder.quantity)

    return Table("Order per girder", columns, _each(schedules, rows))


def _tick_off(schedules: Sequence[Schedule]) -> Table:
    columns = (
        *_NAMES, Column("piece", "whole"), Column("stage", "whole"), Column("member"),
        Column("row", "whole"), Column("kind"), Column("spec"), Column("head on face"),
        Column("due", "whole"), Column("found", "blank", 8.0),
        Column("missing (ids)", "blank", 24.0), Column("inspector", "blank", 16.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        due = list(due_counts(schedule))
        for piece in range(1, schedule.girder.quantity + 1):
            for row in due:
                yield (piece, *row, "", "", "")

    return Table("Tick-off", columns, _each(schedules, rows))


def due_counts(schedule: Schedule) -> Iterator[Row]:
    """Stage, member, row, kind, spec, face and how many are due, in the order of the work."""
    f = schedule.fasteners
    names = [c.tolist() for c in (f.stage, f.member, f.kind, f.row, f.face, f.spec)]
    counts = Counter(zip(*names, strict=True))
    rank = {m.id: i for i, m in enumerate(schedule.girder.members)}

    def order(key: tuple[int, str, str, int, str, str]) -> tuple[object, ...]:
        stage, member, kind, row, face, spec = key
        return stage, rank.get(member, len(rank)), kind == "bolt", row, face, spec

    for key in sorted(counts, key=order):
        stage, member, kind, row, face, spec = key
        yield stage, member, row, kind, spec, face, counts[key]


def _checks(schedules: Sequence[Schedule], units: Units) -> Table:
    forces = all(c.unit == "N" for s in schedules for c in s.checks)
    unit = units.force if forces else "see unit"
    columns = (
        *_NAMES, Column("check"), Column("subject", width=44.0),
        Column(f"demand ({unit})", "force"), Column(f"resistance ({unit})", "force"),
        Column("unit"), Column("used (%)", "percent"),
        Column("result"), Column("clause", width=28.0), Column("mode", width=30.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        for check in sorted(schedule.checks, key=lambda c: c.ok):
            yield _check_row(check, units)

    return Table("Checks", columns, _each(schedules, rows))


def _check_row(check: Check, units: Units) -> Row:
    sizes = {"N": (units.newton, units.force), "mm": (units.mm, units.length)}
    size, unit = sizes.get(check.unit, (1.0, check.unit))
    used = check.utilisation
    return (
        check.id, check.subject, check.demand / size, check.resistance / size, unit,
        100 * used if math.isfinite(used) else "nothing resists",
        "ok" if check.ok else "FAILS", check.clause, check.mode,
    )  # fmt: skip


def _findings(schedules: Sequence[Schedule]) -> Table:
    columns = (
        *_NAMES, Column("severity"), Column("where"), Column("what", width=60.0),
        Column("clause", width=22.0), Column("what to do", width=40.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        for f in schedule.findings:
            yield str(f.severity), f.where, f.message, f.clause, f.tip

    return Table("Notes", columns, _each(schedules, rows))
