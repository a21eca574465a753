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
from girderply.wording import Voice
from girderply.wording.words import face_up_words, kind_words, spec_words

_THIRD, _WIDER = 134.0, 152.0  # mm of lying paper for what it is and for lifting


def know_sheet(voice: Voice, schedule: Schedule, paper: Paper) -> Sheet:
    """What it is, what is wrong with it, stages, fasteners and tools, lifting, brackets."""
    sheet = Sheet("know", voice.phrase("know.document"), paper)
    width = room(paper).width
    head = b.title(
        voice.phrase("sheet.girder_head", mark=schedule.girder.mark),
        voice.phrase("know.under", n=schedule.girder.plies, title=schedule.job.info.title),
        huge=lying(paper),
    )
    sheet.blocks += [head, b.contents(voice.phrase("sheet.contents"))]
    sheet.blocks += (
        _lying(voice, schedule, width) if lying(paper) else _upright(voice, schedule, width)
    )
    return sheet


def _lying(voice: Voice, schedule: Schedule, width: float) -> list[Block]:
    """Two columns; the pictures of the brackets or the notes on lifting go where there is room."""
    left = [*_what(voice, schedule), *_lifting(voice, schedule, _THIRD)]
    right = [
        *top_blocks(voice, schedule),
        *_order(voice, schedule),
        *_tools(voice, schedule),
        *to_be_seen(voice, schedule),
    ]
    notes, brackets = _lift_notes(voice, schedule), list(bracket_blocks(voice, schedule))
    beside = bracket_pictures(voice, schedule, width - _THIRD - 4.0)
    under = bracket_pictures(voice, schedule, _WIDER)
    below = bracket_pictures(voice, schedule, width)

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


def _upright(voice: Voice, schedule: Schedule, width: float) -> list[Block]:
    """The words on lifting fill the first sheet, before its picture."""
    heading, picture, *words = _lifting(voice, schedule, width)
    return [
        *top_blocks(voice, schedule), *_what(voice, schedule), *_order(voice, schedule),
        *_tools(voice, schedule),
        *to_be_seen(voice, schedule), heading, *words, *_lift_notes(voice, schedule), picture,
        *bracket_blocks(voice, schedule), *bracket_pictures(voice, schedule, width),
    ]  # fmt: skip


def _what(voice: Voice, schedule: Schedule) -> list[Block]:
    girder, show = schedule.girder, Printed(schedule.job.info.units, voice)
    thickness = show.small(girder.ply_thickness)
    minutes = round(estimate(schedule).minutes / 5) * 5
    size = f"{show.span(girder.length)} \u00d7 {show.span(girder.height)}"
    pairs = [
        (voice.phrase("sheet.girders_to_make"), f"{girder.quantity}"),
        (
            voice.phrase("cover.plies"),
            voice.phrase("cover.plies_of", plies=girder.plies, thickness=thickness),
        ),
        (voice.phrase("cover.timber"), timber_words(voice, girder, show)),
        (voice.phrase("know.size"), size),
        (voice.phrase("cover.work"), voice.phrase("cover.minutes", minutes=show.number(minutes))),
        *_due(voice, schedule, show),
        (voice.phrase("cover.ply_mass"), show.mass(schedule.masses.ply)),
        (voice.phrase("cover.girder_mass"), show.mass(schedule.masses.total)),
    ]
    return [b.facts(pairs)]


def _due(voice: Voice, schedule: Schedule, show: Printed) -> Iterator[tuple[str, str]]:
    """What the pattern asks for between two plies, by which length, and the least placed."""
    due, placed = (sum(getattr(p, x) for p in schedule.patterns) for x in ("required", "placed"))
    if due:
        by = voice.phrase(f"cover.due_{schedule.patterns[0].due_by}")
        values = {"due": show.number(due), "placed": show.number(placed), "by": by}
        yield voice.phrase("cover.due"), voice.phrase("cover.due_words", **values)


def _order(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """The stages in order: what is done, which face is up, what is lifted and by whom, counts."""
    show = Printed(schedule.job.info.units, voice)
    rows = [_stage_row(voice, schedule, stage, show) for stage in schedule.stages]
    face = "face_seen" if schedule.job.assembly.upright else "face_up"
    names = heads(voice, "stage", "what", face, "lifted", "by", "count")
    align = ("right", "left", "left", "right", "left", "left")
    yield b.heading(voice.phrase("know.order"))
    yield b.table(names, rows, ("auto", "1.5fr", "auto", "auto", "auto", "1fr"), align)
    if schedule.job.assembly.upright:
        yield b.callout(
            voice.phrase("handling.upright"), standing_words(voice, schedule), heavy=True
        )
    elif balance(schedule.girder).long:
        head, *rest = long_words(voice, show)
        yield b.callout(voice.phrase("handling.long"), [head, *rest], heavy=True)


def _stage_row(voice: Voice, schedule: Schedule, stage: Stage, show: Printed) -> list[b.Cell]:
    counts = [
        f"{show.number(n)} {voice.told(kind_words(k, n))}"
        for k, n in stage_kinds(schedule, stage).items()
    ]
    points = int(points_to_clench(schedule, stage).sum())
    if points:
        counts.insert(0, voice.phrase("stage.points", n=points, points=show.number(points)))
    moves = [m for m in stage_handling(schedule, stage).moves if m.kind != "lift off"]
    heaviest = max(moves, key=lambda m: m.mass, default=None)
    mass = show.mass(heaviest.mass) if heaviest else "\u2013"
    people = people_words(voice, heaviest, show) if heaviest else "\u2013"
    face = face_up_words(stage.face_up, stage.upright)
    return [
        b.strong(f"{stage.number}"),
        voice.told(stage.title),
        voice.told(face),
        mass,
        people,
        ", ".join(counts) or "\u2013",
    ]


def _tools(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """Fasteners with what they are for, and what to have at hand."""
    show, f = Printed(schedule.job.info.units, voice), schedule.fasteners
    rows: list[list[b.Cell]] = []
    for key, nail in sorted(schedule.nails.items()):
        n = int((f.spec == key).sum())
        sizes = {"shank": show.diameter(nail.d), "length": show.small(nail.length)}
        said = voice.phrase(f"schedule.{nail.kind}_size", **sizes)
        rows.append(
            [b.strong(show.number(n)), voice.told(kind_words(nail.kind, n)), b.strong(key), said]
        )
    for spec, choice in sorted(schedule.bolts.items()):
        mine = f.spec == spec
        n, hole = int(mine.sum()), float(f.drilled[mine].max()) if mine.any() else 0.0
        washer = voice.phrase(f"know.washer_{choice.washer.shape}", washer=choice.washer.key)
        said = voice.phrase("know.bolt", hole=show.diameter(hole), washer=washer)
        rows.append(
            [
                b.strong(show.number(n)),
                voice.told(kind_words(FastenerKind.BOLT, n)),
                b.strong(voice.told(spec_words(spec))),
                said,
            ]
        )
    told = (voice.told(line.finish) for line in schedule.order if line.finish)
    finishes = dict.fromkeys(f"{text[:1].upper()}{text[1:]}" for text in told)
    yield b.heading(voice.phrase("know.tools"))
    align = ("right", "left", "left", "left")
    yield b.table((), rows, ("auto", "auto", "auto", "1fr"), align)
    yield b.words(". ".join([*finishes, *_tool_words(voice, schedule)]))


def _tool_words(voice: Voice, schedule: Schedule) -> list[str]:
    f = schedule.fasteners
    drilled = bool((f.drilled[f.driven] > 0).any())
    kind = schedule.driven
    bolts = bool(f.bolted.any())
    upright = schedule.job.assembly.upright
    said = [voice.phrase(f"know.tools_{kind}_upright" if upright else f"know.tools_{kind}")]
    if drilled:
        said.append(voice.phrase("know.tools_predrill"))
    if bolts:
        said.append(voice.phrase("know.tools_bolts"))
    if bool(f.clench.any()):
        said.append(voice.phrase("know.tools_clench"))
    return [" ".join(said)]


def _lifting(voice: Voice, schedule: Schedule, width: float) -> Iterator[Block]:
    show, found = Printed(schedule.job.info.units, voice), balance(schedule.girder)
    drawing = lifting_elevation(voice, schedule, width, 62.0)
    side = voice.phrase("handling.centre_at", x=show.span(found.x), y=show.span(found.y))
    yield b.heading(voice.phrase("know.lifting"))
    yield b.picture(drawing)
    yield b.facts([(voice.phrase("handling.centre"), side), *slings(voice, found, show)])
    if found.slings is None:
        yield b.words(voice.phrase("handling.no_slings"))


def _lift_notes(voice: Voice, schedule: Schedule) -> list[Block]:
    show = Printed(schedule.job.info.units, voice)
    teams = () if schedule.job.assembly.upright else (team_words(voice, show),)
    return [b.words(*lift_notes(voice, schedule), *teams)]
