"""Where to add what an inspection asks for: members as strips, by the face that is worked on.

What is to be added is heavy, under its own name and with its station from the hook end; what
stands there is light and has no figures. A nail or bolt that was found missing is not drawn. Only
pieces of members that get something are shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np

from girderply.drawing import style, symbols
from girderply.drawing.dimension import Figure, Track, running_dimension
from girderply.drawing.elevation import stage_elevation
from girderply.drawing.lettering import wrap
from girderply.drawing.page import Drawing
from girderply.drawing.placement import Placement
from girderply.drawing.primitives import Shape, Text
from girderply.drawing.scales import scale_words
from girderply.drawing.strip_plan import RIGHT, Block, Piece, StripPlan, strip_placement
from girderply.drawing.strip_timber import joint_names, timber
from girderply.drawing.strips import cuts, shelves
from girderply.inspection.history import with_make_good
from girderply.inspection.result import Inspection
from girderply.layout.records import Fasteners
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.paper import room
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words

SCALE: Final = 10
_GAP: Final = 2.2  # mm between a strip or the figures of a line and the next line
_ON_LINE: Final = 0.05  # mm; nearer is on the centreline
_LEAST_WIDTH: Final = 150.0  # mm, so that the words over a short strip have room


def made_good(schedule: Schedule, result: Inspection) -> Schedule:
    """The schedule with what the result adds as its last stage; as it is where it has that."""
    known = set(schedule.fasteners.id.tolist())
    if known.issuperset(result.make_good.id.tolist()):
        return schedule
    return with_make_good(schedule, result)


def make_good_sheet(voice: Voice, schedule: Schedule, result: Inspection) -> Sheet:
    """The drawing of what is to be added; there must be something."""
    whole = _without_missing(made_good(schedule, result), result)
    free = room("A3")
    n, unit = len(result.make_good), Printed(schedule.job.info.units, voice).unit("length")
    piece = voice.phrase("inspection.piece", piece=result.piece, all=schedule.girder.quantity)
    stage = replace(whole.stages[-1], number=int(result.make_good.stage[0]))
    overview = stage_elevation(voice, whole, stage, free.width, 100.0)
    overview.title = voice.phrase("inspection.overview")
    sheet = Sheet(
        "make-good",
        voice.phrase("inspection.make_good_sheet", piece=piece),
        "A3",
        face=str(stage.face_up),
    )
    sheet.blocks += [
        b.title(
            voice.phrase("inspection.make_good_title", number=n),
            voice.phrase("inspection.girder_piece", mark=result.mark, piece=piece),
        ),
        b.words(voice.phrase("inspection.make_good_how", unit=unit)),
        b.picture(overview),
    ]
    for face in ("front", "back"):
        strips = list(_face_strips(voice, whole, result, face, free.width))
        if strips:
            sheet.blocks.append(b.heading(voice.phrase(f"inspection.strips_{face}")))
            shelf = shelves(strips, f"make-good-{face}", free.width)
            sheet.blocks += [b.picture(d) for d in shelf]
    sheet.scale = ", ".join(scale_words(s) for s in sorted({overview.scale, SCALE}, reverse=True))
    return sheet


def _without_missing(schedule: Schedule, result: Inspection) -> Schedule:
    """The schedule with the fasteners that stand there and those to be added."""
    gone = [r.id for r in result.remarks if r.state == "missing"]
    f = schedule.fasteners
    return replace(schedule, fasteners=f.select(~np.isin(f.id, gone)))


def _face_strips(
    voice: Voice, schedule: Schedule, result: Inspection, face: str, width: float
) -> Iterator[Block]:
    """Pieces of members that get something from this face."""
    f = schedule.fasteners
    new = np.isin(f.id, result.make_good.id)
    mine = new & (f.face == face)
    plan = StripPlan(SCALE, face, width, caption=30.0)
    for member in schedule.girder.members:
        here = f.member == member.id
        heavy, light = f.select(here & mine), f.select(here & ~new)
        length = (width - plan.caption - RIGHT) * SCALE
        ends = cuts(
            member.length, length, sorted([*heavy.station.tolist(), *light.station.tolist()])
        )
        for piece in (Piece(member, a, z) for a, z in pairwise(ends)):
            if len(piece.holds(heavy)):
                yield _block(voice, schedule, piece, (piece.holds(heavy), piece.holds(light)), plan)


def _block(
    voice: Voice,
    schedule: Schedule,
    piece: Piece,
    parts: tuple[Fasteners, Fasteners],
    plan: StripPlan,
) -> Block:
    """One piece: words, lines of figures, timber, light signs under heavy ones."""
    heavy, light = parts
    width = plan.caption + (piece.end - piece.start) / plan.scale + RIGHT
    block = Block(max(width, _LEAST_WIDTH))
    half = piece.member.depth / 2 / plan.scale
    flat = strip_placement(piece, plan, 0.0)
    leftward = flat.point((1.0, 0.0))[0] < flat.point((0.0, 0.0))[0]
    _words(voice, schedule, piece, heavy, block, "right" if leftward else "left")
    top = block.height + _lines(voice, schedule, piece, heavy, plan, flat, above=True)[1]
    placement = strip_placement(piece, plan, top + half)
    up, _ = _lines(voice, schedule, piece, heavy, plan, placement, above=True)
    down, depth = _lines(voice, schedule, piece, heavy, plan, placement, above=False)
    block.height = top + 2 * half + depth + 2.4
    body = Drawing("strip", block.width, block.height)
    body.place(placement, *timber(schedule, piece, plan))
    body.add(*up, *down)
    for chosen, strong in ((light, False), (heavy, True)):
        look = symbols.Look(plan.face, strong, 1 / plan.scale)
        body.place(placement, *symbols.local_signs(schedule, chosen, look))
    joint_names(body, schedule, piece, placement)
    block.shapes += body.shapes
    return block


def _words(
    voice: Voice, schedule: Schedule, piece: Piece, heavy: Fasteners, block: Block, side: str
) -> None:
    """The member's name, what to add on this piece, and which end the tape hooks on to."""
    kinds = zip(heavy.kind.tolist(), heavy.spec.tolist(), strict=True)
    counts: dict[tuple[str, str], int] = {}
    for pair in kinds:
        counts[pair] = counts.get(pair, 0) + 1
    told: list[str] = [
        voice.phrase("inspection.so_many", number=n, kinds=kind_words(k, n), size=spec)
        for (k, spec), n in counts.items()
    ]
    told.append(voice.phrase(f"inspection.hook_{side}"))
    if not (piece.first and piece.last):
        show = Printed(schedule.job.info.units, voice)
        low, high = show.span(piece.start), show.span(piece.end)
        told.append(voice.phrase("inspection.part", low=low, high=high))
    block.shapes.append(Text((0.0, 2.6), piece.member.id, style.NORMAL, "start", bold=True))
    for k, line in enumerate(
        wrap(voice.phrase("inspection.semicolon").join(told), block.width - 5.0)
    ):
        block.shapes.append(Text((0.0, 7.4 + 4.3 * k), line, style.SMALL, "start"))
        block.height = 12.4 + 4.3 * k  # a break line reaches 2 mm over the timber


def _lines(
    voice: Voice,
    schedule: Schedule,
    piece: Piece,
    heavy: Fasteners,
    plan: StripPlan,
    placement: Placement,
    *,
    above: bool,
) -> tuple[list[Shape], float]:
    """Lines of figures on one side of a strip, nearest to it first, and how deep they reach."""
    side = -1 if above else 1
    edge = placement.origin[1] + side * piece.member.depth / 2 / plan.scale
    xs = [placement.point((s, 0.0))[0] for s in (piece.start, piece.end)]
    shapes: list[Shape] = []
    depth = 0.0
    for offset in _offsets(heavy, placement, above):
        y = edge + side * (depth + _GAP)
        chosen = heavy.select(np.round(heavy.offset, 1) == offset)
        track = Track(y, xs[0], side, min(xs) - 2.0, max(xs) + 4.0, piece.first)
        found, reach = running_dimension(_figures(voice, schedule, chosen, placement), track)
        at = (plan.caption - 3.5, y + side * 2.4)
        shapes += [
            *found,
            Text(at, _off(voice, offset, schedule), style.SMALL, "end", tag="caption"),
        ]
        depth += _GAP + reach
    return shapes, depth


def _offsets(heavy: Fasteners, placement: Placement, above: bool) -> list[float]:
    """Offsets of this side, mm, the farthest from the centreline (nearest to the edge) first."""
    base = placement.origin[1]
    found = sorted(set(np.round(heavy.offset, 1).tolist()), key=lambda o: (-abs(o), o))
    return [o for o in found if (placement.point((0.0, o))[1] < base - 1e-6) == above]


def _off(voice: Voice, offset: float, schedule: Schedule) -> str:
    if abs(offset) < _ON_LINE:
        return voice.phrase("inspection.on_line")
    return voice.phrase(
        "inspection.off", away=Printed(schedule.job.info.units, voice).small(abs(offset))
    )


def _figures(
    voice: Voice, schedule: Schedule, chosen: Fasteners, placement: Placement
) -> list[Figure]:
    """The name of each one without its member, and its station."""
    show = Printed(schedule.job.info.units, voice)
    figures = []
    for name, s, o in zip(chosen.id.tolist(), chosen.station, chosen.offset, strict=True):
        x, y = placement.point((float(s), float(o)))
        text = f"{name.rpartition('-')[2]}  {show.station(float(s))}"
        figures.append(Figure(x, y, text, bold=True))
    return figures
