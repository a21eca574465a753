"""Where the combs begin: one round first mark for all members of a group, by minutes of work.

Members of one role and depth with the same steps are a group: rafters, webs. They get the same
first mark from their hook ends, so that it is read once. Nothing depends on the order of members.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from girderply.layout.brief import Brief
from girderply.layout.combs import EPS, Comb, Track, Tracks
from girderply.layout.region import Intervals
from girderply.layout.shadows import Shadow, merged
from girderply.layout.strip import Strip
from girderply.model.girder import Array, Member

MISSING = 5.0  # nails' worth of minutes that a nail short of the count costs


@dataclass(frozen=True, slots=True)
class Ready:
    """One member made ready for its combs."""

    member: Member
    strip: Strip
    tracks: Tracks
    shadows: tuple[Shadow, ...]

    @property
    def kind(self) -> tuple[object, ...]:
        """What members of one group have in common."""
        pattern = self.strip.pattern
        combs = tuple((t.comb, t.colour, t.nudge) for t in self.tracks.tracks)
        return (
            self.member.role.is_chord or str(self.member.role),
            str(self.member.role),
            pattern.rows,
            pattern.source,
            tuple((c.step, len(c.turns), colour, nudge) for c, colour, nudge in combs),
        )

    @property
    def due(self) -> int:
        """Nails that the rule asks for, for each of its stages."""
        return self.strip.required


def first_of(brief: Brief, group: Sequence[Ready]) -> float:
    """The first mark of a group, mm: between 0 and the period of the usual comb.

    Ties go to the comb whose lower row comes first, then to the smaller mark.
    """
    if not group or not group[0].tracks.tracks:
        return 0.0
    track = group[0].tracks.tracks[0]
    period, step = track.comb.period, track.comb.step
    firsts = _candidates(brief, group, period)
    minutes = np.round(sum((_minutes(brief, r, firsts) for r in group), np.zeros(len(firsts))), 2)
    minutes += _numbers(brief, group, firsts)
    low = min((float(r.strip.free.start[0]) for r in group if len(r.strip.free)), default=0.0)
    mark = np.ceil((low - firsts) / step - EPS)
    order = np.lexsort((firsts + mark * step, mark % len(track.comb.turns), np.round(minutes, 2)))
    return float(firsts[order[0]])


def _candidates(brief: Brief, group: Sequence[Ready], period: float) -> Array:
    """First marks that are looked at, mm."""
    grid = brief.rules.setting_out.first_step
    own = brief.rules.limits
    if own.end_max_d is not None and brief.nail is not None:
        most = own.end_max_d * brief.nail.d
        ends = [float(r.strip.free.start[0]) for r in group if len(r.strip.free)]
        ends = [e for e in ends if e <= most + EPS]
        if ends:
            tape = brief.rules.station_step
            low = math.ceil(max(ends) / tape - EPS)
            high = math.floor(most / tape + EPS)
            if low <= high:
                return np.asarray(np.arange(low, high + 1) * tape, float)
    return np.asarray(np.arange(max(1, math.ceil(period / grid - EPS))) * grid, float)


def _minutes(brief: Brief, ready: Ready, firsts: Array) -> Array:
    """Minutes of the nails of one member for each first mark."""
    rules, tracks = brief.rules, ready.tracks
    shifts: dict[tuple[float, Comb], tuple[Track, int]] = {}
    for t in tracks.tracks:
        key = tracks.shift(t, ()), t.comb
        shifts[key] = t, shifts.get(key, (t, 0))[1] + 1
    total = np.zeros(len(firsts))
    for (shift, comb), (_, times) in shifts.items():
        nails = count(ready.strip.intervals, comb, firsts + shift)
        beside = _beside(rules.setting_out.swallowed, ready, comb, firsts + shift)
        due = math.ceil(ready.due / tracks.faces)
        short = np.maximum(0, due - nails - beside)
        total += times * rules.minutes.nail * (nails + beside + MISSING * short)
        if rules.setting_out.gap_most is not None:
            beside = beside + _in_the_way(ready, comb, firsts + shift)
            total += times * rules.minutes.nail * MISSING * beside
    return total


def _in_the_way(ready: Ready, comb: Comb, firsts: Array) -> Array:
    """(n,) marks so near to what covers the timber that no nail has room between."""
    found = np.zeros(len(firsts))
    near = ready.strip.limits.a1
    for group in merged(ready.shadows):
        a = min(s.start - s.clearance for s in group)
        b = max(s.end + s.clearance for s in group)
        for left in (_left(a - firsts, comb.step), _left(firsts - b, comb.step)):
            found += (left > EPS) & (left < near - EPS)
    return found


def count(lines: Sequence[Intervals], comb: Comb, firsts: Array) -> Array:
    """(n,) nails of a comb that find their place, for each first mark (mm); by whole periods."""
    found = np.zeros(len(firsts))
    for k, turn in enumerate(comb.turns):
        for line in turn:
            a, b = lines[line].start[None, :], lines[line].end[None, :]
            at = (firsts + k * comb.step)[:, None]
            low = np.ceil((a - at) / comb.period - EPS)
            high = np.floor((b - at) / comb.period + EPS)
            found += np.maximum(0, high - low + 1).sum(axis=1)
    return found


def _beside(least: int, ready: Ready, comb: Comb, firsts: Array) -> Array:
    """(n,) nails that stand beside plates and brackets which cover `least` marks or more."""
    free = ready.strip.free
    if not len(free):
        return np.zeros(len(firsts))
    found = np.zeros(len(firsts))
    for group in merged(ready.shadows):
        a = max(0.0, min(s.start - s.clearance for s in group))
        b = min(ready.member.length, max(s.end + s.clearance for s in group))
        before = _left(a - firsts, comb.step) if a > 0.0 else 0.0 * firsts
        after = _left(firsts - b, comb.step) if b < ready.member.length else 0.0 * firsts
        covered = np.round((b - a + before + after) / comb.step) - 1
        wide = covered >= least - EPS
        left = wide & (before > comb.step / 2 + EPS) & (a > float(free.start[0]) + EPS)
        right = wide & (after > comb.step / 2 + EPS) & (b < float(free.end[-1]) - EPS)
        found += left.astype(float) + right.astype(float)
    return found


def _left(length: Array, step: float) -> Array:
    """What is left of lengths beyond whole steps, mm; a mark on a limit leaves nothing."""
    return np.maximum(length - step * np.floor(length / step + EPS), 0.0)


def _numbers(brief: Brief, group: Sequence[Ready], firsts: Array) -> Array:
    """(n,) minutes for members that do not begin on the first mark that most of them have."""
    rows = []
    for ready in group:
        if len(ready.strip.free):
            step = ready.tracks.tracks[0].comb.step
            low = float(ready.strip.free.start[0])
            rows.append(low + _left(firsts - low, step))
    if len(rows) < 2:
        return np.zeros(len(firsts))
    table = np.round(np.array(rows), 1)
    kinds = np.array([len(np.unique(table[:, i])) for i in range(len(firsts))])
    return np.asarray(2 * brief.rules.minutes.number * (kinds - 1), float)
