"""Sheets that are read and written on: cover, fastening schedule, tick-off, brackets, order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.counts import counts_by_member, due_rows, member_order, stage_kinds
from girderply.documents.furniture import room
from girderply.documents.wording import (
    check_words,
    finding_words,
    kind_words,
    stage_heading,
)
from girderply.drawing.elevation import thumbnail
from girderply.drawing.seen import points_to_clench
from girderply.schedule import cautions
from girderply.schedule.types import BracketMark, OrderLine, Schedule, Stage
from girderply.units.show import Show


def cover(schedule: Schedule) -> Sheet:
    """What it is, what is wrong with it, how much of what, the stages, the cautions."""
    sheet = Sheet("cover", "Cover", "A4")
    girder, info = schedule.girder, schedule.job.info
    sheet.blocks += [
        b.title(f"Girder {girder.mark}", "Fastening of the plies"),
        *_faults(schedule),
        b.picture(thumbnail(schedule, room("A4").width, 50.0)),
        b.columns(("1fr", "1fr"), [_what(schedule)], [_sizes(schedule)]),
        b.heading("Stages at a glance"),
        _glance(schedule),
        *_remarks(schedule),
    ]
    if info.notes:
        sheet.blocks += [b.heading("Notes of the job"), b.words(*info.notes)]
    return sheet


def _faults(schedule: Schedule) -> list[Block]:
    """Failed checks and errors first, in words; then what holds for the whole job."""
    found: list[Block] = []
    if schedule.failed:
        show = Show(schedule.job.info.units)
        errors = [f for f in schedule.findings if f.severity == "error"]
        told = {f.where for f in errors}  # a finding that speaks of a check by its id
        lines = [check_words(c, show) for c in schedule.checks if not c.ok and c.id not in told]
        checks = {c.id for c in schedule.checks}
        lines += [finding_words(f, where=f.where not in checks) for f in errors]
        found.append(b.callout(f"{cautions.NOT_FOR_ASSEMBLY}. What is wrong:", lines, heavy=True))
    info = schedule.job.info
    holds = [(info.demo, cautions.DEMO), (schedule.plates_assumed, cautions.PLATES_ASSUMED)]
    lines = [words for true, words in holds if true]
    if lines:
        found.append(b.callout("Mind", lines))
    return found


def _what(schedule: Schedule) -> Block:
    info, girder = schedule.job.info, schedule.girder
    return b.facts([
        ("Job", info.number),
        ("Title", info.title),
        ("Client", info.client),
        ("Site", info.site),
        ("Truss designer", info.truss_designer),
        ("Revision", f"{info.revision} of {info.date}"),
        ("Timber", girder.timber),
        ("Rule set", schedule.rules.title),
        ("Standard", schedule.job.basis.standard),
    ])  # fmt: skip


def _sizes(schedule: Schedule) -> Block:
    girder, f = schedule.girder, schedule.fasteners
    show = Show(schedule.job.info.units)
    nails, bolts = int((f.kind == "nail").sum()), int((f.kind == "bolt").sum())
    return b.facts([
        ("Girders to make", f"{girder.quantity}"),
        ("Plies", f"{girder.plies} of {show.small(girder.ply_thickness)}"),
        ("Length", show.span(girder.length)),
        ("Height", show.span(girder.height)),
        ("Nails in one girder", show.number(nails)),
        ("Bolts in one girder", show.number(bolts)),
        ("Mass of one ply", show.mass(schedule.masses.ply)),
        ("Mass of one girder", show.mass(schedule.masses.total)),
    ])  # fmt: skip


def _glance(schedule: Schedule) -> Block:
    rows = []
    show = Show(schedule.job.info.units)
    for stage in schedule.stages:
        counts = stage_kinds(schedule, stage)
        due = ", ".join(f"{show.number(n)} {kind_words(k, n)}" for k, n in counts.items())
        points = int(points_to_clench(schedule, stage).sum())
        if points:
            due = ", ".join(w for w in (f"{show.number(points)} points to clench", due) if w)
        turn = "turn over first" if stage.turn_over_before else ""
        rows.append([f"{stage.number}", stage.title, f"{stage.face_up} up", turn, due or "\u2013"])
    heads = ("Stage", "What", "Face", "", "Due")
    return b.table(
        heads, rows, ("auto", "1fr", "auto", "auto", "auto"), ("right", *["left"] * 3, "right")
    )


def _remarks(schedule: Schedule) -> Iterator[Block]:
    """Warnings and notes, each a row of its own."""
    rest = [f for f in schedule.findings if f.severity != "error"]
    if rest:
        rows = [[str(f.severity), finding_words(f)] for f in rest]
        yield b.heading("What else to know")
        yield b.table(("", "What"), rows, ("auto", "1fr"), ("left", "left"))


def fastening_schedule(schedule: Schedule) -> Sheet:
    """Per member: rows, pitch, gauge, gauge stick, nails; then counts per stage."""
    sheet = Sheet("schedule", "Fastening schedule", "A4")
    show = Show(schedule.job.info.units)
    sheet.blocks += [
        b.title("Fastening schedule", f"girder {schedule.girder.mark}"),
        b.words(_unit_words(show), _stick_words()),
        b.heading("Pattern of each member"),
        _patterns(schedule, show),
        *_strengthened(schedule, show),
        b.heading("Fasteners used"),
        _used(schedule, show),
        b.heading("Counts per stage"),
        _stage_counts(schedule, show),
    ]
    return sheet


def _unit_words(show: Show) -> str:
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


def tick_off(schedule: Schedule) -> Sheet:
    """Boxes per member, row and stage, with hold points to sign."""
    sheet = Sheet("tick-off", "Tick-off sheet", "A4")
    sheet.blocks += [
        b.title("Tick-off sheet", f"girder {schedule.girder.mark}"),
        b.words(
            "Count each row of each member and write what you found. Tick the box when the count "
            "is right and every head is flush. Write down the id of each one that is missing.",
            "Girder no. _______ of "
            f"{schedule.girder.quantity}          Inspector: ______________________"
            "          Date: ______________",
        ),
    ]
    for stage in schedule.stages:
        sheet.blocks += _tick_stage(schedule, stage)
    return sheet


def _tick_stage(schedule: Schedule, stage: Stage) -> Iterator[Block]:
    yield b.heading(stage_heading(stage))
    points = int(points_to_clench(schedule, stage).sum())
    cells: list[list[b.Cell]] = []
    if points:
        words: list[b.Cell] = ["all", "", "points clenched", stage.face_up]
        cells.append([*words, b.strong(f"{points}"), b.BLANK, b.BOX, ""])
    cells += [
        [b.strong(r.member), r.where, r.kind, r.face, b.strong(f"{r.due}"), b.BLANK, b.BOX, ""]
        for r in due_rows(schedule, stage)
    ]
    if cells:
        yield b.table(
            ("Member", "Row", "What", "Face", "Due", "Found", "Right", "Missing (ids)"), cells,
            (*["auto"] * 7, "1fr"),
            ("left", "left", "left", "left", "right", "center", "center", "left"), tall=True,
        )  # fmt: skip
    else:
        yield b.table(("What", "Done"), [[line, b.BOX] for line in stage.action],
                      ("1fr", "auto"), ("left", "center"), tall=True)  # fmt: skip
    if stage.hold_point:
        yield b.keep(
            b.callout("Hold point", [stage.hold_point]),
            b.signatures(("Name", "Signature", "Date")),
        )


def brackets(schedule: Schedule) -> Sheet:
    """Where each bracket sits: chord, face, station, flush line, what to watch."""
    sheet = Sheet("brackets", "Bracket set-out", "A4")
    show = Show(schedule.job.info.units)
    sheet.blocks += [
        b.title("Bracket set-out", f"girder {schedule.girder.mark}"),
        b.words(
            _unit_words(show),
            "The station is that of the middle of the bracket. Seat: where the lower edge of the "
            "bracket lies. Fix the brackets before the girder is lifted.",
        ),
    ]
    notes = dict.fromkeys(m.note for m in schedule.brackets if m.note)
    numbers = {note: f"({i})" for i, note in enumerate(notes, 1)}
    sheet.blocks += [
        b.table(
            ("Mark", "What hangs here", "Chord", "Face", "Station", "Seat", "Size", "Watch"),
            [_bracket_row(m, show, numbers) for m in schedule.brackets],
            ("auto", "1fr", *["auto"] * 6),
            ("left", "left", "left", "left", "right", "left", "right", "left"),
        ),
        b.words(*(f"{number} {note}" for note, number in numbers.items())),
    ]
    return sheet


def _bracket_row(m: BracketMark, show: Show, numbers: Mapping[str, str]) -> list[b.Cell]:
    plate = f"plate {m.on_plate}" if m.on_plate else ""
    watch = " ".join(w for w in (plate, numbers.get(m.note, "")) if w)
    size = f"{show.length(m.width)} \u00d7 {show.length(m.height)}" if m.width else "\u2013"
    station = b.strong(show.station(m.station))
    return [b.strong(m.load), m.what, m.chord, m.face, station, m.flush_edge, size, watch]


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
