"""Running dimensions of a strip: one for each row of each stage, and one for bolts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from girderply.drawing import style
from girderply.drawing.dimension import Figure, Track, running_dimension
from girderply.drawing.placement import Placement
from girderply.drawing.seen import bolt_size
from girderply.drawing.shapes import Shape, Text
from girderply.drawing.strip_plan import Piece, StripPlan, strip_placement
from girderply.schedule.types import Fasteners, Schedule
from girderply.units.show import Show
from girderply.wording import phrase

_TIER_GAP = 2.2


@dataclass(slots=True)
class Tiers:
    """Running dimensions on one side of a strip, and how deep they reach, mm."""

    depth: float = 0.0
    shapes: list[Shape] = field(default_factory=list)


def tiers_of(
    schedule: Schedule,
    piece: Piece,
    inside: Fasteners,
    plan: StripPlan,
    above: bool,
    placement: Placement | None = None,
) -> Tiers:
    """Running dimensions above or below a strip, nearest to it first.

    Without a placement only the depth is of use: how far they reach does not depend on it.
    """
    placement = placement or strip_placement(piece, plan, 0.0)
    side = -1 if above else 1
    edge = placement.origin[1] + side * piece.member.depth / 2 / plan.scale
    xs = [placement.point((s, 0.0))[0] for s in (piece.start, piece.end)]
    tiers = Tiers()
    for caption, chosen in _groups(inside, plan, placement, above):
        y = edge + side * (tiers.depth + _TIER_GAP)
        track = Track(y, xs[0], side, min(xs) - 2.0, max(xs) + 4.0, piece.first)
        shapes, reach = running_dimension(_figures(schedule, chosen, placement), track)
        tiers.shapes += shapes
        tiers.shapes.append(
            Text((plan.caption - 3.5, y + side * 2.4), caption, style.SMALL, "end", tag="caption")
        )
        tiers.depth += _TIER_GAP + reach
    return tiers


def _groups(
    inside: Fasteners, plan: StripPlan, placement: Placement, above: bool
) -> list[tuple[str, Fasteners]]:
    """Fasteners of each tier of this side with its caption, nearest to the strip first.

    A row goes to the side that it is on in the whole; bolts are written above.
    """
    upward = 1.0 if math.isclose(placement.angle, 0.0) else -1.0
    groups: dict[tuple[bool, int, int], tuple[str, Fasteners]] = {}
    for bolt, stage, row in sorted(set(_tier_keys(inside))):
        mask = ((inside.kind == "bolt") == bolt) & (inside.stage == stage)
        chosen = inside.select(mask & ((inside.row == row) | bolt))
        if (bolt or upward * float(chosen.offset.mean()) > 2.0) == above:
            caption = _caption(bolt, stage, row, plan)
            groups[bolt, stage, -row if above else row] = (caption, chosen)
    return [groups[k] for k in sorted(groups)]


def _tier_keys(inside: Fasteners) -> Iterator[tuple[bool, int, int]]:
    """(bolt, stage, row) of each fastener; all bolts of a stage share one tier."""
    columns = zip(inside.kind.tolist(), inside.stage.tolist(), inside.row.tolist(), strict=True)
    for kind, stage, row in columns:
        bolt = kind == "bolt"
        yield bolt, stage, 0 if bolt else row


def _caption(bolt: bool, stage: int, row: int, plan: StripPlan) -> str:
    if plan.named and bolt:
        return phrase("members.caption_stage_bolts", stage=stage)
    if plan.named:
        return phrase("members.caption_stage_row", stage=stage, row=row)
    return phrase("members.caption_bolts") if bolt else phrase("members.caption_row", row=row)


def _figures(schedule: Schedule, chosen: Fasteners, placement: Placement) -> list[Figure]:
    show = Show(schedule.job.info.units)
    figures = []
    for i in range(len(chosen)):
        x, y = placement.point((chosen.station[i], chosen.offset[i]))
        text = show.station(float(chosen.station[i]))
        bolt = chosen.kind[i] == "bolt"
        if bolt:
            size = bolt_size(schedule, str(chosen.spec[i]))
            name = str(chosen.id[i]).rpartition("-")[2]
            text = f"{name}{f' {size}' if size else ''}  {text}"
        figures.append(Figure(x, y, text, bold=bolt))
    return figures
