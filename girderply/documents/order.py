"""The order list, with allowance and masses."""

from __future__ import annotations

from collections.abc import Iterable

from girderply.documents import blocks as b
from girderply.documents.blocks import Sheet
from girderply.schedule.types import OrderLine, Schedule
from girderply.units.show import Show


def order(schedule: Schedule) -> Sheet:
    """What to order for one girder and for all of them, with masses."""
    sheet = Sheet("order", "Order list", "A4")
    show = Show(schedule.job.info.units)
    n, share = schedule.girder.quantity, schedule.job.fastening.order_allowance
    rows = [_order_row(line, n, show) for line in schedule.order]
    heads = ["", "Name", "Needed", "Order", *([f"Order for {n}"] if n > 1 else []), "Mass", "Note"]
    align = ("left", "left", *["right"] * (len(heads) - 3), "left")
    what = f"the mass is that of all {n} girders" if n > 1 else "the mass is that of the order"
    sheet.blocks += [
        b.title("Order list", f"girder {schedule.girder.mark}, {n} to make"),
        b.words(
            f"Needed: in one girder. Order: for one girder with an allowance of "
            f"{show.percent(share)}; {what}."
        ),
        b.table(heads, rows, (*["auto"] * (len(heads) - 1), "1fr"), align),
        b.heading("Masses"),
        b.facts(_masses(schedule, show)),
    ]  # fmt: skip
    return sheet


def _order_row(line: OrderLine, n: int, show: Show) -> list[b.Cell]:
    mass = show.mass(line.mass * n) if line.mass else "\u2013"
    one, every = show.number(line.ordered), b.strong(show.number(line.ordered * n))
    order: list[b.Cell] = [one, every] if n > 1 else [b.strong(one)]
    return [line.kind, b.strong(line.spec), show.number(line.needed), *order, mass, line.note]


def _masses(schedule: Schedule, show: Show) -> Iterable[tuple[str, str]]:
    m = schedule.masses
    return [
        ("Timber of one ply", show.mass(m.ply)),
        ("Timber of one girder", show.mass(m.plies)),
        ("Fasteners of one girder", show.mass(m.fasteners)),
        ("One girder, to turn over and lift", show.mass(m.total)),
    ]
