"""The first sheet of the yard's document: what to know before anything is laid on the trestles."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing.lifting import lifting_elevation
from girderply.drawing.seen import points_to_clench
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.fastener_counts import stage_kinds
from girderply.papers.page.paper import Paper, lying, room
from girderply.papers.page.ranked import to_be_seen, top_blocks
from girderply.papers.page.sheet_words import heads
from girderply.papers.page.timber_words import timber_words
from girderply.papers.yard.bracket_runs import bracket_blocks, bracket_pictures
from girderply.papers.yard.lift_words import (
    lift_notes,
    long_words,
    people_words,
    slings,
    stage_handling,
    standing_words,
    team_words,
)
from girderply.schedule.balance import balance
from girderply.schedule.estimate import estimate
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import phrase, told
from girderply.wording.words import face_up_words, kind_words, spec_words

_THIRD, _WIDER = 134.0, 152.0  # mm of lying paper for what it is and for lifting


def know_sheet(schedule: Schedule, paper: Paper) -> Sheet:
    """What it is, what is wrong with it, stages, fasteners and tools, lifting, brackets."""
    sheet = Sheet("know", phrase("know.document"), paper)
    width = room(paper).width
    head = b.title(
        phrase("sheet.girder_head", mark=schedule.girder.mark),
        phrase("know.under", n=schedule.girder.plies, title=schedule.job.info.title),
        huge=lying(paper),
    )
    sheet.blocks += [head, b.contents(phrase("sheet.contents"))]
    sheet.blocks += _lying(schedule, width) if lying(paper) else _upright(schedule, width)
    return sheet


def _lying(schedule: Schedule, width: float) -> list[Block]:
    """Two columns; the pictures of the brackets or the notes on lifting go where there is room."""
    left = [*_what(schedule), *_lifting(schedule, _THIRD)]
    right = [*top_blocks(schedule), *_order(schedule), *_tools(schedule), *to_be_seen(schedule)]
    notes, brackets = _lift_notes(schedule), list(bracket_blocks(schedule))
    beside = bracket_pictures(schedule, width - _THIRD - 4.0)
    under = bracket_pictures(schedule, _WIDER)
    below = bracket_pictures(schedule, width)

    def columns(left: list[Block], right: list[Block], third: float = _THIRD) -> Block:
        return b.columns((f"{third:g}mm", "1fr"), left, right)

    if not brackets:
        return [b.choice([columns([*left, *notes], right)], [columns(left, [*right, *notes])])]
    return [
        b.choice(
            [columns([*left, *notes], [*right, *brackets, *beside])],
            [columns(left, [*right, *notes, *brackets, *beside])],
            [columns([*left, *notes, *under], [*right, *brackets], _WIDER)],
            [columns(left, [*right, *notes, *brackets]), *below],
            [columns([*left, *notes], [*right, *brackets]), *below],
            [columns([*left, *notes], [*right, *brackets], _WIDER), *below],
        )
    ]


def _upright(schedule: Schedule, width: float) -> list[Block]:
    """The words on lifting fill the first sheet, before its picture."""
    heading, picture, *words = _lifting(schedule, width)
    return [
        *top_blocks(schedule), *_what(schedule), *_order(schedule), *_tools(schedule),
        *to_be_seen(schedule), heading, *words, *_lift_notes(schedule), picture,
        *bracket_blocks(schedule), *bracket_pictures(schedule, width),
    ]  # fmt: skip


def _what(schedule: Schedule) -> list[Block]:
    girder, show = schedule.girder, Printed(schedule.job.info.units)
    thickness = show.small(girder.ply_thickness)
    minutes = round(estimate(schedule).minutes / 5) * 5
    size = f"{show.span(girder.length)} \u00d7 {show.span(girder.height)}"
    pairs = [
        (phrase("sheet.girders_to_make"), f"{girder.quantity}"),
        (phrase("cover.plies"), phrase("cover.plies_of", plies=girder.plies, thickness=thickness)),
        (phrase("cover.timber"), timber_words(girder, show)),
        (phrase("know.size"), size),
        (phrase("cover.work"), phrase("cover.minutes", minutes=show.number(minutes))),
        *_due(schedule, show),
        (phrase("cover.ply_mass"), show.mass(schedule.masses.ply)),
        (phrase("cover.girder_mass"), show.mass(schedule.masses.total)),
    ]
    return [b.facts(pairs)]


def _due(schedule: Schedule, show: Printed) -> Iterator[tuple[str, str]]:
    """What the pattern asks for between two plies, by which length, and the least placed."""
    due, placed = (sum(getattr(p, x) for p in schedule.patterns) for x in ("required", "placed"))
    if due:
        by = phrase(f"cover.due_{schedule.patterns[0].due_by}")
        values = {"due": show.number(due), "placed": show.number(placed), "by": by}
        yield phrase("cover.due"), phrase("cover.due_words", **values)


def _order(schedule: Schedule) -> Iterator[Block]:
    """The stages in order: what is done, which face is up, what is lifted and by whom, counts."""
    show = Printed(schedule.job.info.units)
    rows = [_stage_row(schedule, stage, show) for stage in schedule.stages]
    face = "face_seen" if schedule.job.assembly.upright else "face_up"
    names = heads("stage", "what", face, "lifted", "by", "count")
    align = ("right", "left", "left", "right", "left", "left")
    yield b.heading(phrase("know.order"))
    yield b.table(names, rows, ("auto", "1.5fr", "auto", "auto", "auto", "1fr"), align)
    if schedule.job.assembly.upright:
        yield b.callout(phrase("handling.upright"), standing_words(schedule), heavy=True)
    elif balance(schedule.girder).long:
        head, *rest = long_words(show)
        yield b.callout(phrase("handling.long"), [head, *rest], heavy=True)


def _stage_row(schedule: Schedule, stage: Stage, show: Printed) -> list[b.Cell]:
    counts = [
        f"{show.number(n)} {told(kind_words(k, n))}"
        for k, n in stage_kinds(schedule, stage).items()
    ]
    points = int(points_to_clench(schedule, stage).sum())
    if points:
        counts.insert(0, phrase("stage.points", n=points, points=show.number(points)))
    moves = [m for m in stage_handling(schedule, stage).moves if m.kind != "lift off"]
    heaviest = max(moves, key=lambda m: m.mass, default=None)
    mass = show.mass(heaviest.mass) if heaviest else "\u2013"
    people = people_words(heaviest, show) if heaviest else "\u2013"
    face = face_up_words(stage.face_up, stage.upright)
    return [
        b.strong(f"{stage.number}"),
        told(stage.title),
        told(face),
        mass,
        people,
        ", ".join(counts) or "\u2013",
    ]


def _tools(schedule: Schedule) -> Iterator[Block]:
    """Fasteners with what they are for, and what to have at hand."""
    show, f = Printed(schedule.job.info.units), schedule.fasteners
    rows: list[list[b.Cell]] = []
    for key, nail in sorted(schedule.nails.items()):
        n = int((f.spec == key).sum())
        sizes = {"shank": show.diameter(nail.d), "length": show.small(nail.length)}
        said = phrase(f"schedule.{nail.kind}_size", **sizes)
        rows.append([b.strong(show.number(n)), told(kind_words(nail.kind, n)), b.strong(key), said])
    for spec, choice in sorted(schedule.bolts.items()):
        mine = f.spec == spec
        n, hole = int(mine.sum()), float(f.drilled[mine].max()) if mine.any() else 0.0
        washer = phrase(f"know.washer_{choice.washer.shape}", washer=choice.washer.key)
        said = phrase("know.bolt", hole=show.diameter(hole), washer=washer)
        rows.append(
            [
                b.strong(show.number(n)),
                told(kind_words(FastenerKind.BOLT, n)),
                b.strong(told(spec_words(spec))),
                said,
            ]
        )
    finishes = dict.fromkeys(line.finish for line in schedule.order if line.finish)
    yield b.heading(phrase("know.tools"))
    align = ("right", "left", "left", "left")
    yield b.table((), rows, ("auto", "auto", "auto", "1fr"), align)
    yield b.words(". ".join([*map(told, finishes), *_tool_words(schedule)]))


def _tool_words(schedule: Schedule) -> list[str]:
    f = schedule.fasteners
    drilled = bool((f.drilled[f.driven] > 0).any())
    kind = schedule.driven
    bolts = bool(f.bolted.any())
    upright = schedule.job.assembly.upright
    said = [phrase(f"know.tools_{kind}_upright" if upright else f"know.tools_{kind}")]
    if drilled:
        said.append(phrase("know.tools_predrill"))
    if bolts:
        said.append(phrase("know.tools_bolts"))
    if bool(f.clench.any()):
        said.append(phrase("know.tools_clench"))
    return [" ".join(said)]


def _lifting(schedule: Schedule, width: float) -> Iterator[Block]:
    show, found = Printed(schedule.job.info.units), balance(schedule.girder)
    drawing = lifting_elevation(schedule, width, 62.0)
    side = phrase("handling.centre_at", x=show.span(found.x), y=show.span(found.y))
    yield b.heading(phrase("know.lifting"))
    yield b.picture(drawing)
    yield b.facts([(phrase("handling.centre"), side), *slings(found, show)])
    if found.slings is None:
        yield b.words(phrase("handling.no_slings"))


def _lift_notes(schedule: Schedule) -> list[Block]:
    show = Printed(schedule.job.info.units)
    teams = () if schedule.job.assembly.upright else (team_words(show),)
    return [b.words(*lift_notes(schedule), *teams)]
