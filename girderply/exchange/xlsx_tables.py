"""What stands in the workbook: tables of plain values, units in the headings, no layout.

Numbers are numbers, in the unit that the heading names, which is the job's own.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.jobfile.job import UnitSystem
from girderply.layout.bending import side_of
from girderply.schedule import cautions
from girderply.schedule.total import total_order
from girderply.schedule.types import OrderLine, Schedule
from girderply.strength.check_record import Check
from girderply.units.exact import KG_PER_LB, MM_PER_IN, N_PER_LB
from girderply.wording import phrase, told
from girderply.wording.words import spec_words

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


def _column(name: str, form: Form = "text", width: float = 0.0, **values: str) -> Column:
    """A column by the name of its heading in the table of messages."""
    return Column(phrase(f"workbook.{name}", **values), form, width)


def _names() -> tuple[Column, ...]:
    return _column("job"), _column("revision"), _column("girder")


def _about(schedules: Sequence[Schedule]) -> Table:
    said = dict.fromkeys(line for s in schedules for line in cautions.scope(s.job.assembly))
    rows: list[Row] = [(phrase("workbook.caution"), told(line)) for line in said]
    for s in schedules:
        info, name = s.job.info, f"{s.job.info.number} {s.girder.mark}"
        if s.failed:
            words = phrase("workbook.refused", words=cautions.not_for_assembly())
            rows.insert(0, (name, words))
        rows += [
            (name, _issue(s)),
            (name, _to_make(s)),
            (name, phrase("workbook.hash_line", hash=s.content_hash)),
        ]
        flags = ((info.demo, cautions.demo()), (s.plates_assumed, cautions.plates_assumed()))
        rows += [(name, told(words)) for holds, words in flags if holds]
    columns = _column("what"), _column("says", width=100.0)
    return Table(phrase("workbook.about"), columns, tuple(rows))


def _issue(s: Schedule) -> str:
    own = {"title": s.job.info.title, "revision": s.job.info.revision, "date": s.job.info.date}
    return phrase("workbook.title_line", **own)


def _to_make(s: Schedule) -> str:
    return phrase("workbook.make_line", quantity=s.girder.quantity, plies=s.girder.plies)


def _fasteners(schedules: Sequence[Schedule], units: Units) -> Table:
    unit = units.length
    columns = (
        *_names(), _column("id"), _column("kind"), _column("spec"), _column("member"),
        _column("joint"),
        _column("station", "length", unit=unit), _column("offset", "length", unit=unit),
        _column("row", "whole"), _column("stage", "whole"), _column("face"),
        _column("from_ply", "whole"), _column("to_ply", "whole"), _column("purpose"),
        _column("load"),
        _column("x", "length", unit=unit), _column("y", "length", unit=unit),
        _column("clench"), _column("bent_to"), _column("hole", "length", unit=unit),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        f = schedule.fasteners
        sizes = [(c / units.mm).tolist() for c in (f.station, f.offset, f.x, f.y, f.drilled)]
        kinds = [_kind(k) for k in f.kind.tolist()]
        faces = [phrase(f"face.{face}") for face in f.face.tolist()]
        purposes = [phrase(f"workbook.purpose_{purpose}") for purpose in f.purpose.tolist()]
        specs = [told(spec_words(s)) for s in f.spec.tolist()]
        words = [f.id.tolist(), kinds, specs, f.member.tolist(), f.joint.tolist()]
        whole = [f.row.tolist(), f.stage.tolist(), faces, f.from_ply.tolist(), f.to_ply.tolist()]
        sides = [
            phrase(f"workbook.side_{side_of(schedule.girder.member(name), way)}") if way else ""
            for name, way in zip(f.member.tolist(), f.bend.tolist(), strict=True)
        ]
        rest = [purposes, f.load.tolist(), f.clench.tolist(), sides]
        for i in range(len(f)):
            station, offset, x, y, hole = (column[i] for column in sizes)
            purpose, load, clench, side = (column[i] for column in rest)
            yield (
                *(c[i] for c in words), station, offset, *(c[i] for c in whole), purpose, load,
                x, y, phrase("workbook.yes" if clench else "workbook.no"), side, hole,
            )  # fmt: skip

    return Table(phrase("workbook.schedule"), columns, _each(schedules, rows))


def _order_columns(units: Units, *, one: bool) -> tuple[Column, ...]:
    needed = phrase("workbook.needed_one" if one else "workbook.needed_all")
    ordered = phrase("workbook.to_order_one" if one else "workbook.to_order_all")
    return (
        _column("kind"), _column("spec"), Column(needed, "whole"),
        Column(ordered, "whole"),
        _column("mass", "mass", unit=units.mass), _column("note", width=50.0),
    )  # fmt: skip


def _order_row(line: OrderLine, units: Units) -> Row:
    mass = line.mass / units.kg if line.mass else ""
    return (
        _kind(line.kind),
        told(spec_words(line.spec)),
        line.needed,
        line.ordered,
        mass,
        told(line.note),
    )


def _order(schedules: Sequence[Schedule], units: Units) -> Table:
    rows = tuple(_order_row(line, units) for line in total_order(schedules))
    return Table(phrase("workbook.order"), _order_columns(units, one=False), rows)


def _order_per_girder(schedules: Sequence[Schedule], units: Units) -> Table:
    columns = (
        *_names(),
        *_order_columns(units, one=True),
        _column("to_make", "whole"),
    )

    def rows(schedule: Schedule) -> Iterator[Row]:
        for line in schedule.order:
            yield (*_order_row(line, units), schedule.girder.quantity)

    return Table(phrase("workbook.order_each"), columns, _each(schedules, rows))


def _tick_off(schedules: Sequence[Schedule]) -> Table:
    columns = (
        *_names(), _column("piece", "whole"), _column("stage", "whole"), _column("member"),
        _column("row", "whole"), _column("kind"), _column("spec"), _column("face"),
        _column("due", "whole"), _column("found", "blank", 8.0),
        _column("missing", "blank", 24.0), _column("inspector", "blank", 16.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        due = list(due_counts(schedule))
        for piece in range(1, schedule.girder.quantity + 1):
            for row in due:
                yield (piece, *row, "", "", "")

    return Table(phrase("workbook.tick_off"), columns, _each(schedules, rows))


def due_counts(schedule: Schedule) -> Iterator[Row]:
    """Stage, member, row, kind, spec, face and how many are due, in the order of the work."""
    f = schedule.fasteners
    names = [c.tolist() for c in (f.stage, f.member, f.kind, f.row, f.face, f.spec)]
    counts = Counter(zip(*names, strict=True))
    rank = {m.id: i for i, m in enumerate(schedule.girder.members)}

    def order(key: tuple[int, str, str, int, str, str]) -> tuple[object, ...]:
        stage, member, kind, row, face, spec = key
        return stage, rank.get(member, len(rank)), kind == FastenerKind.BOLT, row, face, spec

    for key in sorted(counts, key=order):
        stage, member, kind, row, face, spec = key
        yield (
            stage,
            member,
            row,
            _kind(kind),
            told(spec_words(spec)),
            phrase(f"face.{face}"),
            counts[key],
        )


def _kind(kind: str) -> str:
    return phrase(f"kind.{kind}", n=1)


def _checks(schedules: Sequence[Schedule], units: Units) -> Table:
    forces = all(c.unit == "N" for s in schedules for c in s.checks)
    unit = units.force if forces else phrase("workbook.see_unit")
    columns = (
        *_names(), _column("check"), _column("subject", width=44.0),
        _column("demand", "force", unit=unit), _column("resistance", "force", unit=unit),
        _column("unit"), _column("used", "percent"),
        _column("result"), _column("clause", width=28.0), _column("mode", width=30.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        for check in sorted(schedule.checks, key=lambda c: c.ok):
            yield _check_row(check, units)

    return Table(phrase("workbook.checks"), columns, _each(schedules, rows))


def _check_row(check: Check, units: Units) -> Row:
    sizes = {"N": (units.newton, units.force), "mm": (units.mm, units.length)}
    size, unit = sizes.get(check.unit, (1.0, check.unit))
    used = check.utilisation
    return (
        check.id, told(check.subject), check.demand / size, check.resistance / size, unit,
        100 * used if math.isfinite(used) else phrase("workbook.nothing_resists"),
        phrase("workbook.ok" if check.ok else "workbook.fails"), check.clause, told(check.mode),
    )  # fmt: skip


def _findings(schedules: Sequence[Schedule]) -> Table:
    columns = (
        *_names(), _column("severity"), _column("where"), _column("finding", width=60.0),
        _column("clause", width=22.0), _column("to_do", width=40.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        for f in schedule.findings:
            yield (
                phrase(f"workbook.severity_{f.severity}"),
                told(f.where),
                told(f.message),
                f.clause,
                told(f.tip),
            )

    return Table(phrase("workbook.notes"), columns, _each(schedules, rows))
