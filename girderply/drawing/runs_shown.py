"""Runs as the sheets show them: combs of marks, whatever the schedule says of them.

A fastener that belongs to no run is shown as a mark alone; none is ever left away.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.fasteners.runs import Run, Single
from girderply.model.girder import Member
from girderply.schedule.types import Fasteners, Schedule
from girderply.units.show import Printed
from girderply.wording import Voice


@dataclass(frozen=True, slots=True)
class Empty:
    """A mark that stays empty: its number from 0, what lies there, and the row (None: all)."""

    mark: int
    words: str
    height: float | None = None


@dataclass(frozen=True, slots=True)
class ShownRun:
    """One comb of marks.

    Attributes:
        member, stage, kind, spec: whose it is. ids: of its fasteners, in the order of the tape;
            at: where they stand, mm.
        first: mark from the hook end, mm. step: mm, 0 for a mark alone. marks: how many.
        rows: one, alternate (the rows take turns) or all. heights: of the rows above the lower
            edge as the hand sees it, mm. parity: which row the first mark is in.
        left_out: marks that stay empty. why: a mark stands alone, in words. name: of what it
            stands beside.
    """

    member: str
    stage: int
    kind: str
    spec: str
    ids: tuple[str, ...]
    at: tuple[float, ...]
    first: float
    step: float
    marks: int
    rows: str
    heights: tuple[float, ...]
    parity: int = 0
    left_out: tuple[Empty, ...] = ()
    why: str = ""
    name: str = ""

    @property
    def last(self) -> float:
        """Station of the last mark, mm."""
        return self.first + self.step * (self.marks - 1)

    @property
    def count(self) -> int:
        """Fasteners of the run."""
        return len(self.ids)

    @property
    def groups(self) -> tuple[tuple[float, ...], ...]:
        """Heights of the rows at the first mark and, where rows take turns, at the second."""
        if self.rows != "alternate" or len(self.heights) == 1:
            return (self.heights,)
        turns = [(i + self.parity) % 2 for i in range(len(self.heights))]
        both = (
            tuple(h for h, t in zip(self.heights, turns, strict=True) if t == k) for k in (0, 1)
        )
        return tuple(group for group in both if group)

    def seen_from(self, mark: int) -> ShownRun:
        """The same rows as they follow each other from a later mark on."""
        return self if mark % 2 == 0 else replace(self, parity=self.parity + 1)


def stands(member: Member) -> bool:
    """Whether it stands upright, so that its edges are left and right and none is the lower."""
    return abs(member.far[1] - member.hook[1]) > 2 * abs(member.far[0] - member.hook[0])


def edge_of(member: Member, face: str) -> str:
    """From which edge the heights of its rows count, seen on that face: lower, left or right."""
    if not stands(member):
        return "lower"
    to_the_right = (math.sin(member.angle) > 0) != _turned(member)  # on the front face
    return "right" if to_the_right == (face == "front") else "left"


def _turned(member: Member) -> bool:
    return math.cos(member.angle) < -1e-6


def height_of(member: Member, offset: float) -> float:
    """How high above the lower edge a row is, as the member lies before the hand, mm."""
    return member.depth / 2 + (-offset if _turned(member) else offset)


def offset_of(member: Member, height: float) -> float:
    """The offset from the centreline of what is so high above the lower edge, mm."""
    up = height - member.depth / 2
    return -up if _turned(member) else up


def runs_of(voice: Voice, schedule: Schedule, stage: int) -> list[ShownRun]:
    """Runs of one stage, member by member: those of the schedule, then what belongs to none."""
    f = schedule.fasteners
    here = f.select(f.stage == stage)
    known = [run for run in schedule.runs if run.stage == stage]
    loose = here.select(~np.isin(here.run, [run.id for run in known]))
    found: list[ShownRun] = []
    for member in schedule.girder.members:
        mine = [_shown(voice, schedule, run, here) for run in known if run.member == member.id]
        others = _loose(member, loose.select(loose.member == member.id))
        both = [run for run in mine if run.ids] + others
        found += sorted(both, key=lambda r: (r.kind == FastenerKind.BOLT, r.marks == 1, r.first))
    return found


def _shown(voice: Voice, schedule: Schedule, run: Run, here: Fasteners) -> ShownRun:
    """A run of the schedule with its fasteners, and in words what is left out and why."""
    mine = here.select(here.run == run.id)
    order = np.lexsort((mine.offset, mine.station))
    height = dict(zip(run.numbers, run.heights, strict=True))
    return ShownRun(
        member=run.member,
        stage=run.stage,
        kind=run.kind,
        spec=str(mine.spec[0]) if len(mine) else "",
        ids=tuple(mine.id[order].tolist()),
        at=tuple(mine.station[order].tolist()),
        first=run.first,
        step=run.step,
        marks=run.marks,
        rows=run.rows,
        heights=run.heights,
        parity=run.parity,
        left_out=tuple(
            Empty(x.mark, _what_words(voice, x.what, x.name), height.get(x.row))
            for x in run.left_out
        ),
        why=_single_words(voice, run.single, Printed(schedule.job.info.units, voice)),
        name=run.single.name if run.single else "",
    )


def _what_words(voice: Voice, what: str, name: str) -> str:
    return voice.phrase(f"runs.what_{what}", name=name)


def _single_words(voice: Voice, single: Single | None, show: Printed) -> str:
    """Why a mark stands alone; nothing for a mark that does not."""
    if single is None:
        return ""
    what = _what_words(voice, single.what, single.name)
    return (
        voice.phrase("runs.beside", what=what, off=show.small(single.off)) if single.off else what
    )


def _loose(member: Member, mine: Fasteners) -> list[ShownRun]:
    """What belongs to no run, as combs of one row each."""
    keys = sorted(
        set(zip(mine.kind.tolist(), mine.spec.tolist(), mine.row.tolist(), strict=True)),
        key=lambda k: (k[0] == FastenerKind.BOLT, k),
    )
    found: list[ShownRun] = []
    for kind, spec, row in keys:
        mask = (mine.kind == kind) & (mine.spec == spec) & (mine.row == row)
        found += _combs(member, mine.select(mask))
    return found


def _combs(member: Member, row: Fasteners) -> list[ShownRun]:
    """One row as combs: as long as the step stays the same to a tenth of a millimetre."""
    order = row.station.argsort(kind="stable").tolist()
    combs: list[list[int]] = []
    for i in order:
        if combs and _goes_on(row, combs[-1], i):
            combs[-1].append(i)
        else:
            combs.append([i])
    return [_run(member, row, comb) for comb in combs]


def _goes_on(row: Fasteners, comb: Sequence[int], i: int) -> bool:
    if abs(row.offset[comb[-1]] - row.offset[i]) > 0.05 or row.kind[i] == FastenerKind.BOLT:
        return False
    step = row.station[i] - row.station[comb[-1]]
    return len(comb) == 1 or abs(step - (row.station[comb[1]] - row.station[comb[0]])) < 0.05


def _run(member: Member, row: Fasteners, comb: Sequence[int]) -> ShownRun:
    first = float(row.station[comb[0]])
    step = float(row.station[comb[1]]) - first if len(comb) > 1 else 0.0
    return ShownRun(
        member=member.id,
        stage=int(row.stage[comb[0]]),
        kind=str(row.kind[comb[0]]),
        spec=str(row.spec[comb[0]]),
        ids=tuple(str(row.id[i]) for i in comb),
        at=tuple(float(row.station[i]) for i in comb),
        first=first,
        step=step,
        marks=len(comb),
        rows="one",
        heights=(height_of(member, float(row.offset[comb[0]])),),
    )
