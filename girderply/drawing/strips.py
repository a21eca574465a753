"""Members laid level as strips, each nail and bolt with its station from the hook end.

A strip shows a member as it lies before the people who nail it: turned level by the smaller
angle, seen on the face that is up, so that upper edge and hook end are where they see them.
Long members come in pieces, cut between fasteners, with break lines; stations run on from piece
to piece. Runs of nails are dimensioned below the strip, bolts above it; at its left stands how high
each row is above the lower edge.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style, symbols
from girderply.drawing.lettering import text_width, wrap
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Shape, Text, moved
from girderply.drawing.run_tiers import bolt_tier, empty_marks, run_tiers
from girderply.drawing.runs_shown import ShownRun
from girderply.drawing.strip_plan import RIGHT, Block, Piece, StripPlan, strip_placement
from girderply.drawing.strip_timber import joint_names, timber
from girderply.model.girder import Member
from girderply.schedule.types import Fasteners, Schedule
from girderply.units.show import Printed
from girderply.wording import Voice

_LEAST_TITLE = 94.0
_OVER_BREAK = 2.0  # mm over a piece that begins at a break line, which stands out of the timber


def strip_blocks(
    voice: Voice,
    schedule: Schedule,
    member: Member,
    plan: StripPlan,
    title: tuple[str, str],
    runs: Sequence[ShownRun],
) -> list[Block]:
    """The pieces of one member; `title` is its name (stressed) and the words after it."""
    f = schedule.fasteners
    f = replace(f, clench=np.zeros(len(f), bool))  # what is set out here is bent in a later stage
    chosen = f.select(np.isin(f.id, [i for run in runs for i in run.ids]))
    room = (plan.width - plan.caption - RIGHT) * plan.scale
    stations = sorted(chosen.station.tolist())
    pieces = [Piece(member, a, b) for a, b in pairwise(cuts(member.length, room, stations))]
    return [_block(voice, schedule, piece, (chosen, runs), plan, title) for piece in pieces]


def cuts(length: float, room: float, stations: Sequence[float]) -> list[float]:
    """Where a member is cut into pieces, mm: midway between fasteners, pieces about alike."""
    count = math.ceil(length / room - 1e-9)
    found = [0.0]
    for k in range(1, count):
        wanted = length * k / count
        low, high = max(found[-1] + 1.0, length - (count - k) * room), found[-1] + room
        gaps = [
            (a + b) / 2
            for a, b in pairwise(stations)
            if b - a > 20.0 and low <= (a + b) / 2 <= high
        ]
        nearest = min(max(wanted, low), high)  # where there is nothing to cut between
        found.append(min(gaps, key=lambda g: abs(g - wanted), default=nearest))
    return [*found, length]


def _block(
    voice: Voice,
    schedule: Schedule,
    piece: Piece,
    what: tuple[Fasteners, Sequence[ShownRun]],
    plan: StripPlan,
    title: tuple[str, str],
) -> Block:
    n, (chosen, runs) = plan.scale, what
    block = Block(plan.caption + (piece.end - piece.start) / n + RIGHT)
    block.shapes += _title(voice, piece, title, block)
    inside = piece.holds(chosen)
    show = Printed(schedule.job.info.units, voice)
    bolts = [r for r in runs if r.kind == FastenerKind.BOLT]
    told = [r for r in runs if r.kind != FastenerKind.BOLT or r.marks > 1]
    flat = strip_placement(piece, plan, 0.0)
    top = block.height + bolt_tier(voice, bolts, piece, flat, show)[1]
    half = piece.member.depth / 2 / n
    placement = strip_placement(piece, plan, top + half)
    down = run_tiers(voice, told, piece, placement, plan, show)
    block.height = top + 2 * half + down.depth + 2.4
    block.width = max(block.width, down.right + 2.0)
    if plan.measured:
        return block
    body = Drawing("strip", block.width, block.height)
    body.place(placement, *timber(schedule, piece, plan))
    body.add(*bolt_tier(voice, bolts, piece, placement, show)[0], *down.shapes)
    body.place(placement, *empty_marks(told, piece, plan.scale))
    look = symbols.Look(plan.face, True, 1 / n)
    body.place(placement, *symbols.local_signs(schedule, inside, look))
    if plan.joints:
        joint_names(body, schedule, piece, placement)
    block.shapes += body.shapes
    return block


def _title(voice: Voice, piece: Piece, title: tuple[str, str], block: Block) -> list[Shape]:
    """The member's name and what is to know about it, in as many lines as the width allows."""
    name, words = title
    block.width = max(block.width, _LEAST_TITLE)
    room = block.width - 5.0
    said = name if piece.first else voice.phrase("members.continued", name=name)
    names = wrap(said, room, style.NORMAL, bold=True)
    shapes: list[Shape] = []
    for k, line in enumerate(names):
        at = (0.0, 2.6 + 5.4 * k)
        shapes.append(Text(at, line, style.NORMAL, "start", bold=True))
    block.height = 5.4 * len(names) + (0.2 if piece.first else _OVER_BREAK)
    if piece.first and words:
        shapes += _words(words, names, block)
    return shapes


def _words(words: str, names: Sequence[str], block: Block) -> list[Shape]:
    """Words beside the name where it is short, else below it; the block grows with them."""
    beside = text_width(names[-1], style.NORMAL, True) + 3.0
    left = beside if len(names) == 1 and beside < block.width / 3 else 0.0
    top = 2.6 if left else block.height + 2.0
    lines = wrap(words, block.width - 5.0 - left)
    block.height = max(block.height, top + 4.3 * (len(lines) - 1) + 3.0)
    return [Text((left, top + 4.3 * k), line, style.SMALL, "start") for k, line in enumerate(lines)]


def shelves(blocks: Sequence[Block], name: str, width: float) -> list[Drawing]:
    """Blocks side by side as long as they fit in `width`, one drawing for each shelf."""
    found: list[Drawing] = []
    x = width + 1.0
    for block in blocks:
        if x + block.width > width:
            found.append(Drawing(f"{name}-{len(found) + 1}", width, 0.0))
            x = 0.0
        shelf = found[-1]
        shelf.add(*(moved(s, x, 0.0) for s in block.shapes))
        shelf.height = max(shelf.height, block.height)
        x += block.width
    return found
