"""The fastening schedule: pattern of each member, fasteners used, counts per stage."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.counts import counts_by_member, member_order, stage_kinds
from girderply.documents.wording import (
    kind_words,
)
from girderply.schedule.types import Schedule
from girderply.units.show import Show


def fastening_schedule(schedule: Schedule) -> Sheet:
    """Per member: rows, pitch, gauge, gauge stick, nails; then counts per stage."""
    sheet = Sheet("schedule", "Fastening schedule", "A4")
    show = Show(schedule.job.info.units)
    sheet.blocks += [
        b.title("Fastening schedule", f"girder {schedule.girder.mark}"),
        b.words(unit_words(show), _stick_words()),
        b.heading("Pattern of each member"),
        _patterns(schedule, show),
        *_strengthened(schedule, show),
        b.heading("Fasteners used"),
        _used(schedule, show),
        b.heading("Counts per stage"),
        _stage_counts(schedule, show),
    ]
    return sheet


def unit_words(show: Show) -> str:
    """In which unit the lengths of a sheet are."""
    if show.imperial:
        return "Lengths in feet, inches and sixteenths; all along the member from its hook end."
    return "Lengths in mm; all along the member from its hook end."


def _stick_words() -> str:
    return (
        "Centres: along the member from one nail to the next, whichever row it is in. "
        "Stick: straight from one nail of a zigzag to the next, the length of a gauge stick. "
        "Asked and placed: nails that cross the least nailed interface."
    )


def _patterns(schedule: Schedule, show: Show) -> Block:
    heads = (
        "Member",
        "Length",
        "Depth",
        "Rows",
        "Pitch",
        "Centres",
        "Gauge",
        "Stick",
        "Asked",
        "Placed",
    )
    members = {m.id: m for m in schedule.girder.members}
    rows: list[list[b.Cell]] = []
    for p in schedule.patterns:
        m = members[p.member]
        numbers = [
            show.length(m.length), show.length(m.depth), f"{p.rows}", show.length(p.pitch),
            show.length(p.centres), show.length(p.gauge) if p.gauge else "\u2013",
            show.length(p.slant) if p.slant else "\u2013", f"{p.required}", f"{p.placed}",
        ]  # fmt: skip
        rows.append([b.strong(p.member), *numbers])
    return b.table(heads, rows, ("auto",) * 10, ("left", *["right"] * 9))


def _strengthened(schedule: Schedule, show: Show) -> Iterator[Block]:
    """Where loads ask for more than the pattern, from station to station."""
    if not schedule.strengthened:
        return
    rows: list[list[b.Cell]] = []
    for z in schedule.strengthened:
        usual = f" instead of {show.length(z.usual)}" if z.usual else ""
        more = f"{z.count} bolts beside it" if z.count else f"centres {show.length(z.centres)}"
        place = f"{show.station(z.start)} to {show.station(z.end)}"
        load = (z.load, show.force(z.demand))
        rows.append([b.strong(z.member), place, f"{z.stage}", more + usual, *load])
    yield b.heading("More than the pattern, for the loads")
    heads = ("Member", "Stations", "Stage", "What", "Load", "To pass")
    align = ("left", "right", "right", "left", "left", "right")
    yield b.table(heads, rows, ("auto", "auto", "auto", "1fr", "auto", "auto"), align)


def _used(schedule: Schedule, show: Show) -> Block:
    rows: list[list[b.Cell]] = []
    f = schedule.fasteners
    for key, nail in sorted(schedule.nails.items()):
        n = int((f.spec == key).sum())
        size = f"shank {show.diameter(nail.d)}, {show.small(nail.length)} long"
        rows.append(["nail", b.strong(key), size, show.number(n)])
    for spec, choice in sorted(schedule.bolts.items()):
        n = int((f.spec == spec).sum())
        hole = f.drilled[f.spec == spec]
        size = f"grip {show.small(choice.grip)}, washers {choice.washer.key}"
        if len(hole):
            size += f", hole {show.diameter(float(hole[0]))}"
        if choice.threaded_rod:
            size += ", threaded rod"
        rows.append(["bolt", b.strong(spec), size, show.number(n)])
    return b.table(("", "Name", "Size", "In one girder"), rows, ("auto", "auto", "1fr", "auto"),
                   ("left", "left", "left", "right"))  # fmt: skip


def _stage_counts(schedule: Schedule, show: Show) -> Block:
    columns = [(s.number, kind) for s in schedule.stages for kind in stage_kinds(schedule, s)]
    heads = ["Member", *(f"St. {n} {kind_words(k, 2)}" for n, k in columns), "In all"]
    counts = counts_by_member(schedule)
    rows: list[list[b.Cell]] = []
    for name in member_order(schedule):
        cells = [counts.get((name, n, k), 0) for n, k in columns]
        rows.append([b.strong(name), *(show.number(c) if c else "\u2013" for c in cells),
                     show.number(sum(cells))])  # fmt: skip
    sums = [sum(counts.get((m, n, k), 0) for m in member_order(schedule)) for n, k in columns]
    total: list[b.Cell] = [b.strong(show.number(s)) for s in sums]
    rows.append([b.strong("All"), *total, b.strong(show.number(sum(sums)))])
    widths = ("auto",) * (len(columns) + 2)
    return b.table(heads, rows, widths, ("left", *["right"] * (len(columns) + 1)))
