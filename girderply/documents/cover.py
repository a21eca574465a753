"""The cover: what it is, what is wrong with it, counts, stages at a glance."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.counts import stage_kinds
from girderply.documents.furniture import room
from girderply.documents.wording import (
    check_words,
    finding_words,
    kind_words,
)
from girderply.drawing.elevation import thumbnail
from girderply.drawing.seen import points_to_clench
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.show import Show


def cover(schedule: Schedule) -> Sheet:
    """What it is, what is wrong with it, how much of what, the stages, the cautions."""
    sheet = Sheet("cover", "Cover", "A4")
    girder, info = schedule.girder, schedule.job.info
    sheet.blocks += [
        b.title(f"Girder {girder.mark}", "Fastening of the plies"),
        *_faults(schedule),
        # What is wrong comes first; the picture makes room for it.
        b.picture(thumbnail(schedule, room("A4").width, 32.0 if schedule.failed else 50.0)),
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
        found.append(b.callout(f"{cautions.not_for_assembly()}. What is wrong:", lines, heavy=True))
    info = schedule.job.info
    holds = [(info.demo, cautions.demo()), (schedule.plates_assumed, cautions.plates_assumed())]
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
