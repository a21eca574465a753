"""The cover: what it is, what is wrong with it, counts, stages at a glance."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.drawing.elevation import thumbnail
from girderply.drawing.seen import points_to_clench
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import stage_kinds
from girderply.papers.page.furniture import room
from girderply.papers.page.sheet_words import check_words, finding_words, heads
from girderply.schedule import cautions
from girderply.schedule.estimate import estimate
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import kind_words

FIRST = "ply-share"  # a finding that every reader of the first page must see


def cover(schedule: Schedule) -> Sheet:
    """What it is, what is wrong with it, how much of what, the stages, the cautions."""
    sheet = Sheet("cover", phrase("cover.title"), "A4")
    girder = schedule.girder
    sheet.blocks += [
        b.title(phrase("sheet.girder_head", mark=girder.mark), phrase("cover.fastening")),
        *_faults(schedule),
        # What is wrong comes first; the picture makes room for it.
        b.picture(thumbnail(schedule, room("A4").width, 32.0 if schedule.failed else 50.0)),
        b.columns(("1fr", "1fr"), [_what(schedule)], [_sizes(schedule)]),
        b.heading(phrase("cover.glance")),
        _glance(schedule),
        *_remarks(schedule),
    ]
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
        head = phrase("cover.wrong", stamp=cautions.not_for_assembly())
        found.append(b.callout(head, lines, heavy=True))
    info = schedule.job.info
    holds = [(info.demo, cautions.demo()), (schedule.plates_assumed, cautions.plates_assumed())]
    lines = [words for true, words in holds if true]
    lines += [finding_words(f) for f in schedule.findings if f.code == FIRST]
    if lines:
        found.append(b.callout(phrase("cover.mind"), lines))
    return found


def _what(schedule: Schedule) -> Block:
    info, girder = schedule.job.info, schedule.girder
    revision = phrase("cover.revision_of", revision=info.revision, date=info.date)
    return b.facts([
        (phrase("cover.job"), info.number),
        (phrase("sheet.title"), info.title),
        (phrase("cover.client"), info.client),
        (phrase("cover.site"), info.site),
        (phrase("cover.designer"), info.truss_designer),
        (phrase("sheet.revision"), revision),
        (phrase("cover.timber"), girder.timber),
        (phrase("cover.rule_set"), schedule.rules.title),
        (phrase("cover.standard"), schedule.job.basis.standard),
    ])  # fmt: skip


def _sizes(schedule: Schedule) -> Block:
    girder, f = schedule.girder, schedule.fasteners
    show = Show(schedule.job.info.units)
    nails, bolts = int((f.kind != "bolt").sum()), int((f.kind == "bolt").sum())
    thickness = show.small(girder.ply_thickness)
    minutes = round(estimate(schedule).minutes / 5) * 5
    plies = phrase("cover.plies_of", plies=girder.plies, thickness=thickness)
    return b.facts([
        (phrase("sheet.girders_to_make"), f"{girder.quantity}"),
        (phrase("cover.plies"), plies),
        (phrase("cover.length"), show.span(girder.length)),
        (phrase("cover.height"), show.span(girder.height)),
        (phrase(f"cover.{schedule.driven}s"), show.number(nails)),
        (phrase("cover.bolts"), show.number(bolts)),
        (phrase("cover.work"), phrase("cover.minutes", minutes=show.number(minutes))),
        (phrase("cover.ply_mass"), show.mass(schedule.masses.ply)),
        (phrase("cover.girder_mass"), show.mass(schedule.masses.total)),
    ])  # fmt: skip


def _glance(schedule: Schedule) -> Block:
    rows = []
    show = Show(schedule.job.info.units)
    for stage in schedule.stages:
        counts = stage_kinds(schedule, stage)
        due = ", ".join(f"{show.number(n)} {kind_words(k, n)}" for k, n in counts.items())
        points = int(points_to_clench(schedule, stage).sum())
        if points:
            clench = phrase("cover.points", points=show.number(points))
            due = ", ".join(w for w in (clench, due) if w)
        turn = phrase("cover.turn") if stage.turn_over_before else ""
        face = phrase(f"face.{stage.face_up}_short")
        rows.append([f"{stage.number}", stage.title, face, turn, due or "\u2013"])
    names = heads("stage", "what", "face", "", "due")
    return b.table(
        names, rows, ("auto", "1fr", "auto", "auto", "auto"), ("right", *["left"] * 3, "right")
    )


def _remarks(schedule: Schedule) -> Iterator[Block]:
    """Warnings and notes, and what the job itself has to say, each a row of its own."""
    rest = [f for f in schedule.findings if f.severity != "error" and f.code != FIRST]
    rows = [[phrase(f"sheet.severity_{f.severity}"), finding_words(f)] for f in rest]
    rows += [[phrase("cover.job_note"), note] for note in schedule.job.info.notes]
    if rows:
        yield b.heading(phrase("cover.else"))
        yield b.table((), rows, ("auto", "1fr"), ("left", "left"))
