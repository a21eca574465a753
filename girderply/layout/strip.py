"""One member made ready for nailing, and places on it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from girderply.bases.answers import Limits
from girderply.layout.brief import Brief
from girderply.layout.patterns import Pattern
from girderply.layout.region import Intervals, KeepOut, Region, merge, region_of
from girderply.layout.tape_side import tape_side
from girderply.model.girder import Member


@dataclass(frozen=True, slots=True)
class Strip:
    """One member made ready for nailing.

    Attributes:
        intervals: allowed stations on each line of the pattern.
        free: their union.
        count_over: length that the count of the rule is due over, mm.
        up: the line of the lowest offset comes first, so that mirrored members are nailed alike.
    """

    pattern: Pattern
    limits: Limits
    region: Region
    intervals: tuple[Intervals, ...]
    free: Intervals
    count_over: float = 0.0
    up: bool = True

    @property
    def zigzag(self) -> bool:
        """True where the rows take turns."""
        return self.pattern.stagger and len(self.pattern.lines) > 1

    @property
    def rank(self) -> np.ndarray:
        """(lines,) order of the lines: from below; of an upright from the middle of the girder."""
        index = np.arange(len(self.pattern.lines))
        return index if self.up else index[::-1]

    @property
    def required(self) -> int:
        """Nails that the counted length over the pitch asks for, at every interface."""
        return math.ceil(self.pattern.rows * self.count_over / self.pattern.pitch - 1e-6)


def make_strip(
    brief: Brief, region_limits: Limits, pattern: Pattern, keep_outs: list[KeepOut]
) -> Strip:
    """Find where the pattern's lines may hold nails.

    A prescribed pattern nearer to the edge than allowed is laid out all the same; that it breaks
    the limit has been reported when it was read.
    """
    member = brief.girder.member(pattern.member)
    outermost = member.depth / 2 - max(abs(v) for v in pattern.lines)
    edge = min(region_limits.a4, outermost - 1e-3) if pattern.prescribed else region_limits.a4
    region = region_of(member, edge, region_limits.a3, keep_outs)
    rows = tuple(region.on_row(v) for v in pattern.lines)
    free = merge(list(rows))
    whole = brief.rules.setting_out.count_over == "whole"
    over = member.length if whole else sum(r.length for r in rows) / len(rows)
    return Strip(pattern, region_limits, region, rows, free, over, counts_up(brief, member))


def counts_up(brief: Brief, member: Member) -> bool:
    """Whether offsets rise from the side that comes first: the lower one, or the inner one.

    An upright in the middle of the girder has its inner side away from the tape's hook.
    """
    along, rising = math.cos(member.angle), math.sin(member.angle) > 0
    if abs(along) > 1e-6:
        return along > 0
    xs = np.concatenate([m.outline[:, 0] for m in brief.girder.members])
    inward = (member.hook[0] + member.far[0]) / 2 - (xs.min() + xs.max()) / 2
    outward = inward if abs(inward) > 1e-6 else tape_side(brief.girder)
    return rising == bool(outward < 0)
