"""What there is to say about the nails of one member."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.nail_combs import Work
from girderply.layout.region import Intervals
from girderply.model.girder import Array
from girderply.units.show import Show
from girderply.wording import Said, joined, said
from girderply.wording.words import all_of, kind_pair


def member_findings(brief: Brief, work: Work) -> list[Finding]:
    """Stretches without a nail, and counts that are not reached, of one member."""
    groups = sorted({t.passed.group for t in work.ready.tracks.tracks})
    return [*gap_findings(brief, work, groups), *too_few(brief, work, groups)]


def gap_findings(brief: Brief, work: Work, groups: list[int]) -> list[Finding]:
    """Stretches wider than the pitch without a nail: the stage with the widest, per member.

    A warning where a rule says that there may be none, however many plates lie there.
    """
    rule = brief.rules.setting_out.gap_most
    wide = [_wide(brief, work, g) for g in groups]
    order = [max((w.length for w in each), default=0.0) for each in wide]
    if not order or max(order) <= 0.0:
        return []
    worst = int(np.argmax(order))
    strip, show = work.ready.strip, brief.show
    values: dict[str, object] = {
        "pieces": _by_limit(work, wide[worst], rule or strip.pattern.pitch, show),
        "placed": work.count(groups[worst]),
        "due": strip.required,
        **kind_pair(brief.driven),
    }
    return [
        Finding(
            "gap-over-keep-out" if rule is None else "rule-gap",
            Severity.NOTE if rule is None else Severity.WARNING,
            strip.pattern.member,
            said("finding.gaps_in_stage", stage=_stage(work, groups[worst]), **values)
            if len(groups) > 1
            else said("finding.gaps", **values),
            "" if rule is None else brief.rules.source,
        )
    ]


@dataclass(frozen=True, slots=True)
class _Gap:
    """A stretch without a nail: start along the tape, length, and what it may be at most, mm."""

    start: float
    length: float
    most: float


def _by_limit(work: Work, gaps: Sequence[_Gap], centres: float, show: Show) -> Said:
    """The stretches behind one another, each with the limit that it is over."""
    why = work.brief.rules.setting_out.gap_most is not None
    rows: list[Said] = []
    for most in dict.fromkeys(gap.most for gap in gaps):
        pieces = [
            _with_reason(work, gap)
            if why
            else said("finding.gap", gap=show.span(gap.length), start=show.span(gap.start))
            for gap in gaps
            if gap.most == most
        ]
        limit = "finding.gaps_centres" if most == centres else "finding.gaps_end"
        rows.append(said(limit, pieces=joined(", ", pieces), most=show.span(most)))
    return joined(", ", rows)


def _with_reason(work: Work, gap: _Gap) -> Said:
    """A stretch and why no nail is in it: what covers it, or other nails in the way."""
    show, end = work.brief.show, gap.start + gap.length
    start, covered = covered_in(work.ready.strip.free, gap.start, end)
    values = {"gap": show.span(gap.length), "start": show.span(gap.start)}
    if covered <= gap.most + 1e-6:
        return said("finding.gap_crowded", **values, **kind_pair(work.brief.driven))
    names = [
        said(f"runs.what_{s.what}", name=s.name)
        for s in work.ready.shadows
        if s.start < start + covered and s.end > start
    ]
    if start < 1e-6 or start + covered > work.ready.member.length - 1e-6:
        names.append(said("runs.what_edge", name=""))
    what = joined(", ", list(dict.fromkeys(names)))
    return said("finding.gap_covered", **values, covered=show.span(covered), what=what)


def covered_in(free: Intervals, low: float, high: float) -> tuple[float, float]:
    """Where the longest stretch without free timber between two stations begins, its length, mm."""
    inside = (free.end > low) & (free.start < high)
    edges = np.column_stack([free.start[inside], free.end[inside]]).ravel()
    covered = np.concatenate([[low], np.clip(edges, low, high), [high]]).reshape(-1, 2)
    length = covered[:, 1] - covered[:, 0]
    longest = int(np.argmax(length))
    return float(covered[longest, 0]), float(length[longest])


def _stage(work: Work, group: int) -> int:
    return min(t.passed.stage for t in work.ready.tracks.tracks if t.passed.group == group)


def _stations(work: Work, group: int) -> Array:
    tracks = enumerate(work.ready.tracks.tracks)
    parts = [work.placed(k)[0] for k, t in tracks if t.passed.group == group]
    return np.sort(np.concatenate([np.zeros(0), *parts]))


def _wide(brief: Brief, work: Work, group: int) -> list[_Gap]:
    """Every stretch that is wider than it may be."""
    member, station = work.ready.member, _stations(work, group)
    if not len(station):
        return []
    at = np.concatenate([[0.0], station, [member.length]])
    gaps = np.diff(at)
    most = np.full(len(gaps), brief.rules.setting_out.gap_most or work.ready.strip.pattern.pitch)
    ends = brief.rules.limits.end_max_d
    if ends is not None:
        nail = brief.nail
        most[[0, -1]] = np.minimum(most[[0, -1]], ends * (nail.d if nail else 0.0))
    wide = np.flatnonzero(gaps > most + 1e-6)
    return [_Gap(float(at[i]), float(gaps[i]), float(most[i])) for i in wide]


def too_few(brief: Brief, work: Work, groups: list[int]) -> list[Finding]:
    """A member that has no room for the nails due: the stage with fewest.

    An error where the truss designer's pattern is short, or where an interface is left without
    any nail although timber is free; a warning elsewhere, for the truss designer to judge.
    """
    strip, tracks = work.ready.strip, work.ready.tracks
    counts = [work.count(g) for g in groups]
    least = min(counts, default=0)
    if least >= strip.required:
        return []
    member, show = work.ready.member, brief.show
    group = groups[counts.index(least)] if counts else -1
    between = sorted(
        {k for t in tracks.tracks if t.passed.group == group for k in t.passed.fastens}
    )
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
    crowded = tracks.colours > 1 and free > strip.limits.a1
    apart = show.small(strip.limits.a1)
    grave = strip.pattern.prescribed or (least == 0 and free > strip.limits.a1)
    return [
        Finding(
            "too-few-nails",
            Severity.ERROR if grave else Severity.WARNING,
            member.id,
            said("finding.too_few_shared", stages=tracks.colours, apart=apart, **values)
            if crowded
            else said("finding.too_few", **values),
            strip.limits.clause,
            said("finding.joints_enough"),
        )
    ]
