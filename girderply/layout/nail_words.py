"""What there is to say about the nails of one member."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.stages import Pass
from girderply.layout.strip import Spots, Strip
from girderply.wording import joined, phrase
from girderply.wording.words import all_of, kind_pair


def gap_findings(
    brief: Brief, strip: Strip, stages: Sequence[Spots], passes: Sequence[Sequence[Pass]]
) -> list[Finding]:
    """Stretches wider than the centres without a nail: the stage with the widest, per member."""
    wide = [_wide(brief, strip, spots) for spots in stages]
    order = [max((gap for _, gap in w), default=0.0) for w in wide]
    if not order or max(order) <= 0.0:
        return []
    worst = int(np.argmax(order))
    member, show = strip.region.member, brief.show
    pieces = [
        phrase("finding.gap", gap=show.span(gap), start=show.span(start))
        for start, gap in wide[worst]
    ]
    values: dict[str, object] = {
        "member": member.id,
        "centres": show.span(strip.pattern.centres),
        "pieces": joined(", ", pieces),
        "placed": len(stages[worst].station),
        "due": strip.required,
        **kind_pair(brief.driven),
    }
    stage = passes[worst][0].stage
    return [
        Finding(
            "gap-over-keep-out",
            Severity.NOTE,
            member.id,
            phrase("finding.gaps_in_stage", stage=stage, **values)
            if len(stages) > 1
            else phrase("finding.gaps", **values),
        )
    ]


def _wide(brief: Brief, strip: Strip, spots: Spots) -> list[tuple[float, float]]:
    """Start (along the tape) and length of every stretch that is wider than it may be, mm."""
    member = strip.region.member
    if not len(spots.station):
        return []
    at = np.concatenate([[0.0], np.sort(spots.station), [member.length]])
    gaps = np.diff(at)
    most = np.full(len(gaps), strip.pattern.centres)
    ends = brief.rules.limits.end_max_d
    if ends is not None:
        nail = brief.nail
        most[[0, -1]] = np.minimum(most[[0, -1]], ends * (nail.d if nail else 0.0))
    return sorted(
        (min(brief.tape_station(member, at[k]) for k in (i, i + 1)), float(gaps[i]))
        for i in np.flatnonzero(gaps > most + 1e-6)
    )


def too_few(
    brief: Brief, strip: Strip, stages: Sequence[Spots], passes: Sequence[Sequence[Pass]]
) -> list[Finding]:
    """A member that has no room for the nails due: the stage with fewest.

    An error where the truss designer's pattern is short, or where an interface is left without
    any nail although timber is free; a warning elsewhere, for the truss designer to judge.
    """
    counts = [len(s.station) for s in stages]
    least = min(counts, default=0)
    if least >= strip.required:
        return []
    member, show = strip.region.member, brief.show
    shared = passes[counts.index(least)] if counts else []
    between = sorted({k for p in shared for k in p.fastens})
    free = strip.free.length
    values: dict[str, object] = {
        "member": member.id,
        "least": least,
        "due": strip.required,
        **kind_pair(brief.driven),
        "interfaces": all_of([str(k) for k in between]),
        "free": show.span(free),
        "length": show.span(member.length),
    }
    crowded = strip.sharing > 1 and free > strip.limits.a1
    apart = show.small(strip.limits.a1)
    grave = strip.pattern.prescribed or (least == 0 and free > strip.limits.a1)
    return [
        Finding(
            "too-few-nails",
            Severity.ERROR if grave else Severity.WARNING,
            member.id,
            phrase("finding.too_few_shared", stages=strip.sharing, apart=apart, **values)
            if crowded
            else phrase("finding.too_few", **values),
            strip.limits.clause,
            phrase("finding.joints_enough"),
        )
    ]
