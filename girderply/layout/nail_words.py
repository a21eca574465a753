"""What there is to say about the nails of one member."""

from __future__ import annotations

import numpy as np

from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.strip import Spots, Strip


def gap_findings(brief: Brief, strip: Strip, spots: Spots) -> list[Finding]:
    """Stretches wider than the centres without a nail, one finding per member."""
    member, show = strip.region.member, brief.show
    if not len(spots.station):
        return []
    at = np.concatenate([[0.0], np.unique(spots.station), [member.length]])
    gaps = np.diff(at)
    most = np.full(len(gaps), strip.pattern.centres)
    ends = brief.rules.limits.end_max_d
    if ends is not None:
        nail = brief.nail
        most[[0, -1]] = np.minimum(most[[0, -1]], ends * (nail.d if nail else 0.0))
    wide = np.flatnonzero(gaps > most + 1e-6)
    if not len(wide):
        return []
    starts = sorted(
        (min(brief.tape_station(member, at[k]) for k in (i, i + 1)), gaps[i]) for i in wide
    )
    pieces = [f"{show.span(gap)} from {show.span(start)}" for start, gap in starts]
    return [
        Finding(
            "gap-over-keep-out",
            Severity.NOTE,
            member.id,
            f"{member.id}: more than the centres of {show.span(strip.pattern.centres)} without a "
            f"nail over plates, washers, brackets or at an end: {', '.join(pieces)}; "
            f"{len(spots.station)} nails stand where {strip.required} are due",
        )
    ]


def too_few(brief: Brief, strip: Strip, least: int) -> list[Finding]:
    """A member that has no room for the nails due."""
    if least >= strip.required:
        return []
    member, show = strip.region.member, brief.show
    return [
        Finding(
            "too-few-nails",
            Severity.WARNING,
            member.id,
            f"{member.id}: {least} of {strip.required} nails per interface found room; "
            f"{show.span(strip.free.length)} of {show.span(member.length)} is free of plates, "
            "washers, brackets, edges and ends",
            strip.limits.clause,
            "ask the truss designer whether the joints' fasteners are enough for this member",
        )
    ]
