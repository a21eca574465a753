"""Tables for spreadsheets: the fasteners, and the order list.

Units stand in the headings, in the job's own system: mm and kg, or inches and pounds. A cell
of words that a spreadsheet could take for a formula gets an apostrophe in front.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from girderply.jobfile.job import UnitSystem
from girderply.layout.bending import side_of
from girderply.schedule.types import Schedule
from girderply.units.exact import KG_PER_LB, MM_PER_IN, N_PER_LB
from girderply.units.short_text import inert
from girderply.wording import english

Cell = str | int | float


@dataclass(frozen=True, slots=True)
class _Units:
    length: str
    mass: str
    to_length: Callable[[float], float]
    to_mass: Callable[[float], float]


_UNITS = {
    UnitSystem.METRIC: _Units("mm", "kg", lambda v: _tidy(v, 1), lambda v: _tidy(v, 3)),
    UnitSystem.IMPERIAL: _Units(
        "in", "lb", lambda v: _tidy(v / MM_PER_IN, 4), lambda v: _tidy(v / KG_PER_LB, 3)
    ),
}


def fasteners_csv(schedule: Schedule) -> str:
    """One row per fastener of one girder, in the order of the schedule."""
    units = _UNITS[schedule.job.info.units]
    unit, size = units.length, units.to_length
    heading = (
        *("id", "kind", "spec", "member", "joint", f"station ({unit})", f"offset ({unit})"),
        *("row", "stage", "head on face", "from ply", "to ply", "purpose", "load"),
        *(f"x ({unit})", f"y ({unit})", "clench", "bent to", f"hole ({unit})"),
    )
    rows = (
        (
            *(r["id"], r["kind"], r["spec"], r["member"], r["joint"]),
            *(size(r["station"]), size(r["offset"]), r["row"], r["stage"], r["face"]),
            *(r["from_ply"], r["to_ply"], r["purpose"], r["load"], size(r["x"]), size(r["y"])),
            *("yes" if r["clench"] else "no", _bent_to(schedule, r), size(r["drilled"])),
        )
        for r in _records(schedule)
    )
    return table_text(heading, rows)


def _bent_to(schedule: Schedule, r: dict[str, Any]) -> str:
    """Up, down, left or right as seen on the front face; nothing for a point that is not bent."""
    return side_of(schedule.girder.member(r["member"]), r["bend"]) if r["bend"] else ""


def order_csv(schedule: Schedule) -> str:
    """What to order for one girder and for all of the job's girders."""
    units, girder = _UNITS[schedule.job.info.units], schedule.girder
    heading = (
        *("job", "revision", "girder", "kind", "spec", "needed for one", "to order for one"),
        *("girders", "to order for all", f"mass for one ({units.mass})", "note"),
    )
    head = (schedule.job.info.number, schedule.job.info.revision, girder.mark)
    count = girder.quantity
    rows = (
        (
            *(*head, line.kind, line.spec, line.needed, line.ordered),
            *(count, line.ordered * count, units.to_mass(line.mass), english(line.note)),
        )
        for line in schedule.order
    )
    return table_text(heading, rows)


def forces_csv(schedule: Schedule) -> str:
    """Forces of every member and ply and reactions of every ply, for the truss designer.

    From the hung loads alone; moments in force unit times length unit. Each line has what the plies
    really carry, by the spring model, beside the equal share.
    """
    units = _UNITS[schedule.job.info.units]
    unit, size = units.length, units.to_length
    force, newton = ("lbf", N_PER_LB) if unit == "in" else ("N", 1.0)
    heading = (
        *("place", "ply", "combination", f"N ({force})", f"V ({force})", f"M ({force} {unit})"),
        *(f"equal N ({force})", f"equal V ({force})", f"equal M ({force} {unit})"),
        *(f"reaction most ({force})", f"reaction least ({force})", f"equal reaction ({force})"),
    )

    def plain(value: float) -> float:
        return _tidy(value / newton, 1)

    rows: list[tuple[Cell, ...]] = []
    for f in schedule.forces:
        own, even = ((*v[:2], size(v[2])) for v in ((f.N, f.V, f.M), f.equal))
        both = (*map(plain, own), *map(plain, even))
        rows.append((f.member, f.ply, f.combination, *both, "", "", ""))
    for r in schedule.reactions:
        place = f"bearing {r.bearing} at {size(r.x)} {unit}"
        values = map(plain, (r.most, r.least, r.equal))
        rows.append((place, r.ply, r.combination, *[""] * 6, *values))
    return table_text(heading, rows)


def table_text(heading: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """CSV text, lines ended as spreadsheets expect [RFC 4180, 2], words made inert."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(heading)
    writer.writerows(
        [inert(cell) if isinstance(cell, str) else cell for cell in row] for row in rows
    )
    return out.getvalue()


def _tidy(value: float, digits: int) -> float:
    return round(value, digits) + 0.0


def _records(schedule: Schedule) -> Iterator[dict[str, Any]]:
    return schedule.fasteners.records()
