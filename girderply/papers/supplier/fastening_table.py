"""The fastening schedule: pattern of each member, fasteners used, counts per stage."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import counts_by_member, member_order, stage_kinds
from girderply.papers.page.sheet_words import heads
from girderply.schedule.types import Schedule, Strengthening
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import kind_pair, kind_words, spec_words


def fastening_schedule(schedule: Schedule) -> Sheet:
    """Per member: rows, pitch, gauge, gauge stick, nails; then counts per stage."""
    name = phrase("schedule.title")
    sheet = Sheet("schedule", name, "A4")
    show = Show(schedule.job.info.units)
    sheet.blocks += [
        b.title(name, phrase("sheet.girder", mark=schedule.girder.mark)),
        b.words(unit_words(show), phrase("schedule.stick", **kind_pair(schedule.driven))),
        b.heading(phrase("schedule.pattern")),
        _patterns(schedule, show),
        *_strengthened(schedule, show),
        b.heading(phrase("schedule.used")),
        _used(schedule, show),
        b.heading(phrase("schedule.counts")),
        _stage_counts(schedule, show),
    ]
    return sheet


def unit_words(show: Show) -> str:
    """In which unit the lengths of a sheet are."""
    if show.imperial:
        return phrase("sheet.lengths_ft")
    return phrase("sheet.lengths_mm")


def _patterns(schedule: Schedule, show: Show) -> Block:
    names = heads(
        "member", "length", "depth", "rows", "pitch", "centres", "gauge", "stick", "asked",
        "placed",
    )  # fmt: skip
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
    return b.table(names, rows, ("auto",) * 10, ("left", *["right"] * 9))


def _strengthened(schedule: Schedule, show: Show) -> Iterator[Block]:
    """Where loads ask for more than the pattern, from station to station."""
    if not schedule.strengthened:
        return
    rows: list[list[b.Cell]] = []
    for z in schedule.strengthened:
        place = phrase("sheet.range", first=show.station(z.start), last=show.station(z.end))
        load = (z.load, show.force(z.demand))
        rows.append([b.strong(z.member), place, f"{z.stage}", _more_words(z, show), *load])
    yield b.heading(phrase("schedule.strengthened"))
    names = heads("member", "stations", "stage", "what", "load", "to_pass")
    align = ("left", "right", "right", "left", "left", "right")
    yield b.table(names, rows, ("auto", "auto", "auto", "1fr", "auto", "auto"), align)


def _more_words(z: Strengthening, show: Show) -> str:
    usual = show.length(z.usual) if z.usual else ""
    if z.count:
        if usual:
            return phrase("schedule.bolts_beside_usual", count=z.count, usual=usual)
        return phrase("schedule.bolts_beside", count=z.count)
    centres = show.length(z.centres)
    if usual:
        return phrase("schedule.centres_usual", centres=centres, usual=usual)
    return phrase("schedule.centres", centres=centres)


def _used(schedule: Schedule, show: Show) -> Block:
    rows: list[list[b.Cell]] = []
    f = schedule.fasteners
    for key, nail in sorted(schedule.nails.items()):
        n = int((f.spec == key).sum())
        sizes = {"shank": show.diameter(nail.d), "length": show.small(nail.length)}
        size: str = phrase(f"schedule.{nail.kind}_size", **sizes)
        rows.append([kind_words(nail.kind, 1), b.strong(key), size, show.number(n)])
    for spec, choice in sorted(schedule.bolts.items()):
        n = int((f.spec == spec).sum())
        hole = f.drilled[f.spec == spec]
        grip = show.small(choice.grip)
        said: list[str] = [phrase("schedule.bolt_size", grip=grip, washer=choice.washer.key)]
        if len(hole):
            said.append(phrase("schedule.hole", hole=show.diameter(float(hole[0]))))
        if choice.threaded_rod:
            said.append(phrase("schedule.rod"))
        size = ", ".join(said)
        rows.append([kind_words("bolt", 1), b.strong(spec_words(spec)), size, show.number(n)])
    return b.table(heads("", "name", "size", "one_girder"), rows, ("auto", "auto", "1fr", "auto"),
                   ("left", "left", "left", "right"))  # fmt: skip


def _stage_counts(schedule: Schedule, show: Show) -> Block:
    columns = [(s.number, kind) for s in schedule.stages for kind in stage_kinds(schedule, s)]
    kinds = [phrase("schedule.stage_kind", stage=n, kind=kind_words(k, 2)) for n, k in columns]
    names = [*heads("member"), *kinds, *heads("in_all")]
    counts = counts_by_member(schedule)
    rows: list[list[b.Cell]] = []
    for name in member_order(schedule):
        cells = [counts.get((name, n, k), 0) for n, k in columns]
        rows.append([b.strong(name), *(show.number(c) if c else "\u2013" for c in cells),
                     show.number(sum(cells))])  # fmt: skip
    sums = [sum(counts.get((m, n, k), 0) for m in member_order(schedule)) for n, k in columns]
    total: list[b.Cell] = [b.strong(show.number(s)) for s in sums]
    rows.append([b.strong(phrase("schedule.all")), *total, b.strong(show.number(sum(sums)))])
    widths = ("auto",) * (len(columns) + 2)
    return b.table(names, rows, widths, ("left", *["right"] * (len(columns) + 1)))
