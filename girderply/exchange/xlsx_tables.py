"""What stands in the workbook: tables of plain values, units in the headings, no layout.

Numbers are numbers, in the unit that the heading names, which is the job's own.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.jobfile.job import UnitSystem
from girderply.layout.bending import side_of
from girderply.schedule import cautions
from girderply.schedule.total import total_order
from girderply.schedule.types import OrderLine, Schedule
from girderply.strength.check_record import Check
from girderply.units.exact import KG_PER_LB, MM_PER_IN, N_PER_LB
from girderply.wording import Voice
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


def tables(voice: Voice, schedules: Sequence[Schedule], units: Units) -> list[Table]:
    """All worksheets in their order."""
    return [
        _about(voice, schedules),
        _fasteners(voice, schedules, units),
        _order(voice, schedules, units),
        _order_per_girder(voice, schedules, units),
        _tick_off(voice, schedules),
        _checks(voice, schedules, units),
        _findings(voice, schedules),
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


def _column(
    voice: Voice, name: str, form: Form = "text", width: float = 0.0, **values: str
) -> Column:
    """A column by the name of its heading in the table of messages."""
    return Column(voice.phrase(f"workbook.{name}", **values), form, width)


def _names(voice: Voice) -> tuple[Column, ...]:
    column = partial(_column, voice)
    return column("job"), column("revision"), column("girder")


def _about(voice: Voice, schedules: Sequence[Schedule]) -> Table:
    column = partial(_column, voice)
    said = dict.fromkeys(line for s in schedules for line in cautions.scope(s.job.assembly))
    rows: list[Row] = [(voice.phrase("workbook.caution"), voice.told(line)) for line in said]
    for s in schedules:
        info, name = s.job.info, f"{s.job.info.number} {s.girder.mark}"
        if s.failed:
            words = voice.phrase("workbook.refused", words=cautions.not_for_assembly())
            rows.insert(0, (name, words))
        rows += [
            (name, _issue(voice, s)),
            (name, _to_make(voice, s)),
            (name, voice.phrase("workbook.hash_line", hash=s.content_hash)),
        ]
        flags = ((info.demo, cautions.demo()), (s.plates_assumed, cautions.plates_assumed()))
        rows += [(name, voice.told(words)) for holds, words in flags if holds]
    columns = column("what"), column("says", width=100.0)
    return Table(voice.phrase("workbook.about"), columns, tuple(rows))


def _issue(voice: Voice, s: Schedule) -> str:
    own = {"title": s.job.info.title, "revision": s.job.info.revision, "date": s.job.info.date}
    return voice.phrase("workbook.title_line", **own)


def _to_make(voice: Voice, s: Schedule) -> str:
    return voice.phrase("workbook.make_line", quantity=s.girder.quantity, plies=s.girder.plies)


def _fasteners(voice: Voice, schedules: Sequence[Schedule], units: Units) -> Table:
    column = partial(_column, voice)
    unit = units.length
    columns = (
        *_names(voice), column("id"), column("kind"), column("spec"), column("member"),
        column("joint"),
        column("station", "length", unit=unit), column("offset", "length", unit=unit),
        column("row", "whole"), column("stage", "whole"), column("face"),
        column("from_ply", "whole"), column("to_ply", "whole"), column("purpose"),
        column("load"),
        column("x", "length", unit=unit), column("y", "length", unit=unit),
        column("clench"), column("bent_to"), column("hole", "length", unit=unit),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        f = schedule.fasteners
        sizes = [(c / units.mm).tolist() for c in (f.station, f.offset, f.x, f.y, f.drilled)]
        kinds = [_kind(voice, k) for k in f.kind.tolist()]
        faces = [voice.phrase(f"face.{face}") for face in f.face.tolist()]
        purposes = [voice.phrase(f"workbook.purpose_{purpose}") for purpose in f.purpose.tolist()]
        specs = [voice.told(spec_words(s)) for s in f.spec.tolist()]
        words = [f.id.tolist(), kinds, specs, f.member.tolist(), f.joint.tolist()]
        whole = [f.row.tolist(), f.stage.tolist(), faces, f.from_ply.tolist(), f.to_ply.tolist()]
        sides = [
            voice.phrase(f"workbook.side_{side_of(schedule.girder.member(name), way)}")
            if way
            else ""
            for name, way in zip(f.member.tolist(), f.bend.tolist(), strict=True)
        ]
        rest = [purposes, f.load.tolist(), f.clench.tolist(), sides]
        for i in range(len(f)):
            station, offset, x, y, hole = (one[i] for one in sizes)
            purpose, load, clench, side = (one[i] for one in rest)
            yield (
                *(c[i] for c in words), station, offset, *(c[i] for c in whole), purpose, load,
                x, y, voice.phrase("workbook.yes" if clench else "workbook.no"), side, hole,
            )  # fmt: skip

    return Table(voice.phrase("workbook.schedule"), columns, _each(schedules, rows))


def _order_columns(voice: Voice, units: Units, *, one: bool) -> tuple[Column, ...]:
    column = partial(_column, voice)
    needed = voice.phrase("workbook.needed_one" if one else "workbook.needed_all")
    ordered = voice.phrase("workbook.to_order_one" if one else "workbook.to_order_all")
    return (
        column("kind"), column("spec"), Column(needed, "whole"),
        Column(ordered, "whole"),
        column("mass", "mass", unit=units.mass), column("note", width=50.0),
    )  # fmt: skip


def _order_row(voice: Voice, line: OrderLine, units: Units) -> Row:
    mass = line.mass / units.kg if line.mass else ""
    return (
        _kind(voice, line.kind),
        voice.told(spec_words(line.spec)),
        line.needed,
        line.ordered,
        mass,
        voice.told(line.note),
    )


def _order(voice: Voice, schedules: Sequence[Schedule], units: Units) -> Table:
    rows = tuple(_order_row(voice, line, units) for line in total_order(schedules))
    return Table(voice.phrase("workbook.order"), _order_columns(voice, units, one=False), rows)


def _order_per_girder(voice: Voice, schedules: Sequence[Schedule], units: Units) -> Table:
    column = partial(_column, voice)
    columns = (
        *_names(voice),
        *_order_columns(voice, units, one=True),
        column("to_make", "whole"),
    )

    def rows(schedule: Schedule) -> Iterator[Row]:
        for line in schedule.order:
            yield (*_order_row(voice, line, units), schedule.girder.quantity)

    return Table(voice.phrase("workbook.order_each"), columns, _each(schedules, rows))


def _tick_off(voice: Voice, schedules: Sequence[Schedule]) -> Table:
    column = partial(_column, voice)
    columns = (
        *_names(voice), column("piece", "whole"), column("stage", "whole"), column("member"),
        column("row", "whole"), column("kind"), column("spec"), column("face"),
        column("due", "whole"), column("found", "blank", 8.0),
        column("missing", "blank", 24.0), column("inspector", "blank", 16.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        due = list(due_counts(voice, schedule))
        for piece in range(1, schedule.girder.quantity + 1):
            for row in due:
                yield (piece, *row, "", "", "")

    return Table(voice.phrase("workbook.tick_off"), columns, _each(schedules, rows))


def due_counts(voice: Voice, schedule: Schedule) -> Iterator[Row]:
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
            _kind(voice, kind),
            voice.told(spec_words(spec)),
            voice.phrase(f"face.{face}"),
            counts[key],
        )


def _kind(voice: Voice, kind: str) -> str:
    return voice.phrase(f"kind.{kind}", n=1)


def _checks(voice: Voice, schedules: Sequence[Schedule], units: Units) -> Table:
    column = partial(_column, voice)
    forces = all(c.unit == "N" for s in schedules for c in s.checks)
    unit = units.force if forces else voice.phrase("workbook.see_unit")
    columns = (
        *_names(voice), column("check"), column("subject", width=44.0),
        column("demand", "force", unit=unit), column("resistance", "force", unit=unit),
        column("unit"), column("used", "percent"),
        column("result"), column("clause", width=28.0), column("mode", width=30.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        for check in sorted(schedule.checks, key=lambda c: c.ok):
            yield _check_row(voice, check, units)

    return Table(voice.phrase("workbook.checks"), columns, _each(schedules, rows))


def _check_row(voice: Voice, check: Check, units: Units) -> Row:
    sizes = {"N": (units.newton, units.force), "mm": (units.mm, units.length)}
    size, unit = sizes.get(check.unit, (1.0, check.unit))
    used = check.utilisation
    return (
        check.id, voice.told(check.subject), check.demand / size, check.resistance / size, unit,
        100 * used if math.isfinite(used) else voice.phrase("workbook.nothing_resists"),
        voice.phrase("workbook.ok" if check.ok else "workbook.fails"), check.clause,
        voice.told(check.mode),
    )  # fmt: skip


def _findings(voice: Voice, schedules: Sequence[Schedule]) -> Table:
    column = partial(_column, voice)
    columns = (
        *_names(voice), column("severity"), column("where"), column("finding", width=60.0),
        column("clause", width=22.0), column("to_do", width=40.0),
    )  # fmt: skip

    def rows(schedule: Schedule) -> Iterator[Row]:
        for f in schedule.findings:
            yield (
                voice.phrase(f"workbook.severity_{f.severity}"),
                voice.told(f.where),
                voice.told(f.message),
                f.clause,
                voice.told(f.tip),
            )

    return Table(voice.phrase("workbook.notes"), columns, _each(schedules, rows))
