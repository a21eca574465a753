"""What stands in a girder by its record, fastener by fastener, and what counts of it.

Whether a fastener counts is the judgement of this module alone:

* good: counts.
* missing: does not; nothing stands there.
* misplaced: counts up to the rule set's tolerance, beyond it does not; it stands somewhere within
  the distance that was measured, so nothing new comes nearer to any place where it may be. One
  whose distance nobody has measured is not looked at to the end: nothing is decided before.
* shifted with its row: stands where the row stands, and counts there (see `shifted`).
* overdriven: does not count. A head pulled into the wood has lost part of its ply, how much
  nobody has measured (common practice, no source).
* split: does not count; the split runs on along the grain, so new ones keep a further a1 from it.
* wrong-size: does not count, whichever way it is wrong.
* loose: a bolt counts once it is tightened, which is then asked for; a nail does not.

What was only counted stands at unknown places of its row: see `Short`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.inspection.belonging import group_mask, shift_mask
from girderply.inspection.record import Count, Mark, Record
from girderply.layout.records import Bools, Fasteners, Floats, Names
from girderply.schedule.types import Schedule
from girderply.wording import Said, said

SAME: Final = 1.0  # mm; nearer, two names are of one place
SHIFTED: Final = 1e-3  # mm; less is no shift


@dataclass(frozen=True, slots=True)
class Short:
    """A row, or all rows, of a member in a stage where fewer were counted than are due.

    Attributes:
        mask: (n,) the fasteners that it is about; `count.due - count.found` of them are missing.
    """

    count: Count
    mask: Bools

    @property
    def missing(self) -> int:
        """How many are missing."""
        return self.count.due - self.count.found


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """Columns of n fasteners, in the schedule's order.

    Attributes:
        state: word of the record, or empty where it was not marked.
        seen: looked at: marked, or in a row that was counted.
        counts: counts as the schedule has it (also what is missing among merely counted ones).
        there: something stands there, or may.
        spread: how far from its place it may stand, mm.
        short: rows that were counted and are short.
        tighten: (n,) loose bolts. unmeasured: (n,) misplaced, nobody knows how far.
        quarrels: where marks and counts do not agree, in words.
        extra: rows with more than are due, in words.
        fasteners: where they stand: the schedule's, moved by the shift of their rows.
        moved: (n,) in a row that was shifted.
    """

    fasteners: Fasteners
    moved: Bools
    state: Names
    seen: Bools
    counts: Bools
    there: Bools
    spread: Floats
    short: tuple[Short, ...]
    tighten: Bools
    unmeasured: Bools
    quarrels: tuple[Said, ...]
    extra: tuple[Said, ...]

    @property
    def lost(self) -> Bools:
        """(n,) marked, and does not count."""
        return np.asarray((self.state != "") & ~self.counts, bool)


def does_count(mark: Mark, kind: str, tolerance: float) -> bool:
    """Whether a marked fastener counts; `tolerance` of the rule set in mm."""
    if mark.state == "misplaced":
        return mark.by_mm is not None and mark.by_mm <= tolerance
    return mark.state == "good" or (mark.state == "loose" and kind == FastenerKind.BOLT)


def as_built(
    schedule: Schedule, record: Record, stands_for: Mapping[str, str] | None = None
) -> AsBuilt:
    """Put a record on the schedule's fasteners.

    Args:
        schedule: with what was added after earlier records.
        record: read for it.
        stands_for: id of a make-good fastener -> id of the one that it was added for.
    """
    work = _Work(schedule, record)
    work.mark()
    work.count()
    work.shift()
    for new, old in _pairs(schedule.fasteners, stands_for or {}):
        work.settle(new, old)
    state, kind = work.state, schedule.fasteners.kind
    return AsBuilt(
        fasteners=work.stands,
        moved=work.moved,
        state=state,
        seen=work.seen,
        counts=work.counts,
        there=np.asarray((state != "missing") & ~work.gone, bool),
        spread=work.spread,
        short=tuple(work.short),
        unmeasured=np.asarray((state == "misplaced") & np.isnan(work.spread), bool),
        tighten=np.asarray((state == "loose") & (kind == FastenerKind.BOLT), bool),
        quarrels=tuple(work.quarrels),
        extra=tuple(work.extra),
    )


class _Work:
    """Columns of n fasteners while a record is put on them; see `AsBuilt`."""

    def __init__(self, schedule: Schedule, record: Record) -> None:
        self.f, self.record = schedule.fasteners, record
        self.tolerance = schedule.rules.tolerance
        self.angles = {
            m.id: (math.cos(m.angle), math.sin(m.angle)) for m in schedule.girder.members
        }
        n = len(self.f)
        self.state = np.full(n, "", dtype="<U12")
        self.seen, self.counts, self.gone = (np.full(n, v, bool) for v in (False, True, False))
        self.spread = np.zeros(n)
        self.moved, self.stands = np.zeros(n, bool), self.f
        self.short: list[Short] = []
        self.quarrels: list[Said] = []
        self.extra: list[Said] = []

    def mark(self) -> None:
        """What was marked one by one."""
        index = {name: i for i, name in enumerate(self.f.id.tolist())}
        for mark in self.record.marks:
            i = index[mark.id]
            self.state[i], self.seen[i] = mark.state, True
            self.counts[i] = does_count(mark, str(self.f.kind[i]), self.tolerance)
            unknown = mark.state == "misplaced" and mark.by_mm is None
            self.spread[i] = np.nan if unknown else mark.by_mm or 0.0

    def count(self) -> None:
        """What was counted; marks of a row go before its count."""
        for count in self.record.counts:
            mask = group_mask(self.f, count)
            marked = mask & (self.state != "")
            if not np.any(marked):
                self._whole_row(count, mask)
            elif np.all(marked[mask]):
                self.quarrels += _quarrel(count, self.state[mask], self.counts[mask])
            else:
                self._rest_of_row(count, mask, marked)

    def _rest_of_row(self, count: Count, mask: Bools, marked: Bools) -> None:
        """Some of a counted row are marked: the rest is what the count leaves for it."""
        rest = mask & ~marked
        there = int(np.sum(self.state[marked] != "missing"))
        due, found = int(rest.sum()), count.found - there
        if found < 0:
            self.quarrels += [
                said(
                    "inspection.quarrel",
                    where=_where(count),
                    counted=count.found,
                    good=int(self.counts[marked].sum()),
                    there=there,
                )
            ]
            return
        self._whole_row(replace(count, due=due, found=found), rest)

    def shift(self) -> None:
        """Rows that stand off their marks as a whole."""
        along, across = np.zeros(len(self.f)), np.zeros(len(self.f))
        for shift in self.record.shifts:
            mask = shift_mask(self.f, shift) & (self.state != "missing")
            along[mask], across[mask] = shift.along_mm, shift.across_mm
        self.moved = np.hypot(along, across) > SHIFTED
        if not np.any(self.moved):
            return
        f = self.f
        station, offset = f.station + along, f.offset + across
        angle = {m: (f.member == m, self.angles[m]) for m in dict.fromkeys(f.member.tolist())}
        x, y = f.x.copy(), f.y.copy()
        for mask, (c, s) in angle.values():
            x[mask] += (along * c - across * s)[mask]
            y[mask] += (along * s + across * c)[mask]
        self.stands = replace(f, station=station, offset=offset, x=x, y=y)

    def _whole_row(self, count: Count, mask: Bools) -> None:
        self.seen |= mask
        if count.found < count.due:
            self.short.append(Short(count, mask))
        elif count.found > count.due:
            self.extra.append(
                said("inspection.extra", where=_where(count), found=count.found, due=count.due)
            )

    def settle(self, new: int, old: int) -> None:
        """One of two is due where a place was filled, or where a bolt stands in for another."""
        f = self.f
        one_place = bool(
            abs(f.station[new] - f.station[old]) < SAME
            and abs(f.offset[new] - f.offset[old]) < SAME
            and not self.moved[old]  # what stands off its mark with its row stays there
        )
        if not one_place and f.kind[new] != FastenerKind.BOLT:
            return  # the old nail stays where it is, and does not count
        if one_place and self.state[old] != "" and self.counts[old]:
            self._drop(new, False)
        elif self.seen[new] and self.counts[new]:
            self._drop(old, self.state[old] != "missing" and not one_place)

    def _drop(self, i: int, there: bool) -> None:
        """Nothing more is due here; whether something stands there all the same."""
        self.seen[i], self.counts[i], self.gone[i] = True, False, not there
        self.state[i] = ""


def _pairs(f: Fasteners, stands_for: Mapping[str, str]) -> list[tuple[int, int]]:
    """Indices of (make-good, the one that it stands in for)."""
    index = {name: i for i, name in enumerate(f.id.tolist())}
    return [(index[new], index[old]) for new, old in stands_for.items() if old in index]


def _quarrel(count: Count, state: Names, counts: Bools) -> list[Said]:
    """Marks go before a count; it must lie between what is good and what is there at all."""
    if np.any(state == ""):
        return []  # not all looked at, which is told elsewhere
    good, there = int(counts.sum()), int(np.sum(state != "missing"))
    if good <= count.found <= there:
        return []
    where = _where(count)
    return [said("inspection.quarrel", where=where, counted=count.found, good=good, there=there)]


def _where(count: Count) -> Said:
    of = {"member": count.member, "stage": count.stage, "kinds": said(f"kind.{count.kind}", n=2)}
    if count.row is None:
        return said("inspection.where", **of)
    return said("inspection.where_row", row=count.row, **of)


def tally(f: Fasteners, built: AsBuilt) -> list[tuple[str, int, str, int, int, int]]:
    """Member, stage, kind, due, found and how many count, in the order of stages and members."""
    keys = list(zip(f.stage.tolist(), f.member.tolist(), f.kind.tolist(), strict=True))
    rows = []
    order = {m: i for i, m in enumerate(dict.fromkeys(f.member.tolist()))}
    for stage, member, kind in sorted(set(keys), key=lambda k: (k[0], order[k[1]], k[2])):
        mask = (f.stage == stage) & (f.member == member) & (f.kind == kind)
        gone = sum(s.missing for s in built.short if np.any(s.mask & mask))
        found = int(np.sum(mask & built.seen & built.there)) - gone
        good = int(np.sum(mask & built.seen & built.counts)) - gone
        rows.append((member, int(stage), str(kind), int(mask.sum()), found, good))
    return rows
