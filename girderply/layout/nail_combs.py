"""Nails of one member: its combs for every stage, then the nails beside what they leave out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from girderply.fasteners.runs import LeftOut, Rows, Run, Single
from girderply.layout.board import clashes
from girderply.layout.brief import Brief
from girderply.layout.combs import EPS, Comb, Option, Track
from girderply.layout.firsts import Ready
from girderply.layout.lengths import strengthened
from girderply.layout.shadows import over
from girderply.layout.spread import Density
from girderply.model.girder import Array

Closer = Mapping[int, Sequence[Density]]


@dataclass(slots=True)
class Work:
    """One member while its nails are set out.

    Attributes:
        first: of the group's comb, mm. used: densities of strengthened lengths.
        runs: per track, in order; `placed` gives their nails.
    """

    brief: Brief
    ready: Ready
    first: float
    used: tuple[Option, ...]
    runs: list[list[Run]] = field(default_factory=list)
    _placed: dict[tuple[int, int], tuple[Array, Array]] = field(default_factory=dict)

    def offset(self, line: int) -> float:
        """Of a line from the centreline, mm."""
        return self.ready.strip.pattern.lines[line]

    def row(self, line: int) -> int:
        """What people call a line, the lower one first; those of one staggered row are row 1."""
        strip = self.ready.strip
        return min(int(strip.rank[line]) + 1, strip.pattern.rows)

    def placed(self, track: int) -> tuple[Array, Array]:
        """Stations and offsets of the nails of a track, mm."""
        key = (track, len(self.runs[track]) if track < len(self.runs) else 0)
        if key not in self._placed:
            parts = [places(run) for run in self.runs[track]] if key[1] else []
            station = np.concatenate([np.zeros(0), *(s for s, _ in parts)])
            offset = np.concatenate([np.zeros(0), *(o for _, o in parts)])
            self._placed[key] = station, offset
        return self._placed[key]

    def clear(self) -> None:
        """Take every run away again."""
        self.runs = [[] for _ in self.runs]
        self._placed.clear()

    def around(self, track: int) -> tuple[Array, Array]:
        """Stations and offsets of all nails that a nail of this track must keep clear of, mm."""
        near = [track, *sorted(self.ready.tracks.tracks[track].sharing)]
        parts = [self.placed(k) for k in near]
        return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])

    def touching(self, track: int) -> tuple[Array, Array]:
        """Stations and offsets of nails whose heads or points come near, mm."""
        parts = [self.placed(k) for k in sorted(self.ready.tracks.tracks[track].touching)]
        station = np.concatenate([np.zeros(0), *(p[0] for p in parts)])
        return station, np.concatenate([np.zeros(0), *(p[1] for p in parts)])

    def count(self, group: int) -> int:
        """Nails of one stage of the rule."""
        return sum(
            len(self.placed(k)[0])
            for k, t in enumerate(self.ready.tracks.tracks)
            if t.passed.group == group
        )


def places(run: Run) -> tuple[Array, Array]:
    """Stations and offsets of the fasteners of a run, mm."""
    station, index = run.places()
    return station, np.array(run.offsets, float)[index] if len(index) else np.zeros(0)


def lay_combs(brief: Brief, ready: Ready, first: float, closer: Closer) -> Work:
    """The combs of all stages of a member.

    Args:
        brief: girder and rules.
        ready: the member.
        first: mark of the group's comb, mm.
        closer: per stage of the rule, centres that hold in parts of the member.
    """
    free = ready.strip.free
    lengths = {g: strengthened(brief, ready, first, closer[g]) for g in closer if len(free)}
    used = tuple(o for parts in lengths.values() for _, _, o in parts)
    work = Work(brief, ready, first, used)
    for k, track in enumerate(ready.tracks.tracks):
        work.runs.append([])
        if len(free):
            for piece in _pieces(work, track, lengths.get(track.passed.group, [])):
                work.runs[k] += _run(work, k, piece)
    return work


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch of one comb: first mark (mm), how many marks, whose turn the first is."""

    comb: Comb
    first: float
    marks: int
    turn: int


def _pieces(work: Work, track: Track, lengths: Sequence[tuple[int, int, Option]]) -> list[_Piece]:
    """The usual comb of a pass, and closer ones where they are asked for."""
    tracks, free = work.ready.tracks, work.ready.strip.free
    low, high = float(free.start[0]), float(free.end[-1])
    comb = track.comb
    at = work.first + tracks.shift(track, work.used)
    step = comb.step
    first, last = math.ceil((low - at) / step - EPS), math.floor((high - at) / step + EPS)
    found: list[_Piece] = []
    k = first
    for a, b, option in lengths:
        if a > k:
            found.append(_Piece(comb, at + k * step, a - k, k % len(comb.turns)))
        close = tracks.comb(track, option)
        start, turn = at + a * step, a % len(close.turns)
        if a <= first:  # nothing of the usual comb before it: it begins with the free timber
            back = math.floor((start - low) / close.step + EPS)
            start, turn = start - back * close.step, (turn - back) % len(close.turns)
        end = high if b >= last else at + b * step
        marks = math.floor((end - start) / close.step + EPS) + 1
        found.append(_Piece(close, start, marks, turn))
        if marks < 1:
            continue
        reach = start + (marks - 1) * close.step
        k = b if reach + tracks.apart <= at + b * step + EPS else b + 1
        if b >= last:
            return found
    if last >= k:
        found.append(_Piece(comb, at + k * step, last - k + 1, k % len(comb.turns)))
    return found


def _run(work: Work, track: int, piece: _Piece) -> list[Run]:
    """One stretch as a run, from its first nail to its last; nothing where it has none."""
    strip, turns = work.ready.strip, piece.comb.turns
    station = np.asarray(piece.first + np.arange(piece.marks) * piece.comb.step, float)
    turn = (piece.turn + np.arange(piece.marks)) % len(turns)
    lines = sorted({line for t in turns for line in t}, key=lambda i: int(strip.rank[i]))
    due = np.array([[line in turns[t] for t in turn] for line in lines]).reshape(len(lines), -1)
    free = np.array([strip.intervals[line].contain(station) for line in lines])
    busy = _busy(work, track, piece.comb, station, lines)
    stands = due & free & ~busy
    used = np.flatnonzero(stands.any(axis=0))
    if not len(used):
        return []
    a, b = int(used[0]), int(used[-1])
    out = []
    for k in range(a, b + 1):
        if stands[:, k].any() and (stands[:, k] == due[:, k]).all():
            continue
        out += _left_out(
            work, lines, k - a, float(station[k]), (due[:, k], free[:, k], stands[:, k])
        )
    if a == b:
        here = [line for i, line in enumerate(lines) if stands[i, a]]
        one: Rows = "all" if len(here) > 1 else "one"
        return [make_run(work, track, float(station[a]), here, (0.0, 1, one, 0))]
    rows: Rows = "alternate" if len(turns) > 1 else "all" if len(lines) > 1 else "one"
    parity = 0 if lines[0] in turns[int(turn[a])] else 1
    return [
        make_run(
            work, track, float(station[a]), lines,
            (piece.comb.step, b - a + 1, rows, parity if rows == "alternate" else 0),
            left_out=tuple(out),
        )
    ]  # fmt: skip


def _left_out(
    work: Work, lines: Sequence[int], mark: int, station: float, state: tuple[Array, Array, Array]
) -> list[LeftOut]:
    due, free, stands = state
    shadow = over(work.ready.shadows, station)
    missing = [i for i in range(len(lines)) if due[i] and not stands[i]]
    whole = not stands.any()
    found = []
    for i in missing:
        row = 0 if whole else work.row(lines[i])
        if free[i]:
            found.append(LeftOut(mark, "fastener", "", row))
        elif shadow is None:
            found.append(LeftOut(mark, "edge", "", row))
        else:
            found.append(LeftOut(mark, shadow.what, shadow.name, row))
        if whole:
            break
    return found


def _busy(work: Work, track: int, comb: Comb, station: Array, lines: Sequence[int]) -> np.ndarray:
    """(lines, marks) where a nail of an earlier stage is too near.

    Only looked at where the combs do not keep clear of each other by themselves.
    """
    tracks, limits = work.ready.tracks, work.ready.strip.limits
    if not work.used and tracks.bears(comb.period):
        return np.zeros((len(lines), len(station)), bool)
    others = work.around(track)
    return np.array([
        clashes(station, np.full(len(station), work.offset(i)), others, limits.a1, limits.a2)
        for i in lines
    ])  # fmt: skip


def make_run(
    work: Work,
    track: int,
    first: float,
    lines: Sequence[int],
    comb: tuple[float, int, Rows, int],
    left_out: tuple[LeftOut, ...] = (),
    single: Single | None = None,
) -> Run:
    """A run of a track: first mark (mm), lines, (step, marks, rows, parity)."""
    member, passed = work.ready.member, work.ready.tracks.tracks[track].passed
    step, marks, rows, parity = comb
    if marks == 1 and single is None:
        single = Single("more")
    up = math.cos(member.angle) > -EPS
    offsets = tuple(work.offset(i) for i in lines)
    return Run(
        id="",
        member=member.id,
        stage=passed.stage,
        kind=passed.nail.kind,
        first=first,
        step=step if marks > 1 else 0.0,
        marks=marks,
        rows=rows,
        numbers=tuple(work.row(i) for i in lines),
        offsets=offsets,
        heights=tuple(member.depth / 2 + (v if up else -v) for v in offsets),
        parity=parity,
        left_out=left_out,
        single=single,
    )
