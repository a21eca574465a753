"""What the fastening of one girder takes a person: an estimate from the rule set's minutes.

Common practice, no source: the minutes stand in the rule set, and a yard that has timed its own
work puts its own there. The estimate is for choosing between two ways, not for a price.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.fasteners.runs import Run
from girderply.rules.rule_set import Minutes
from girderply.schedule.types import Schedule

RUN = 3  # numbers of a run: first mark, step, how many


@dataclass(frozen=True, slots=True)
class Estimate:
    """What there is to do, and minutes for all of it; without lifting, laying out and inspecting.

    Attributes:
        nails: driven. numbers: to be read and found on the tape. steps: set on the stick.
        clenches: points bent over. turns: of the stack. bolts: drilled and set.
    """

    nails: int
    numbers: int
    steps: int
    clenches: int
    turns: int
    bolts: int
    minutes: float


def estimate(schedule: Schedule) -> Estimate:
    """The work of one girder."""
    f = schedule.fasteners
    roles = {m.id: str(m.role) for m in schedule.girder.members}
    driven = [r for r in schedule.runs if r.kind != FastenerKind.BOLT]
    nails, bolts = int(f.driven.sum()), int((~f.driven).sum())
    numbers, steps = numbers_of(driven, roles), steps_of(driven)
    numbers += numbers_of([r for r in schedule.runs if r.kind == FastenerKind.BOLT], roles)
    clenches = int(f.clench.sum())
    turns = sum(s.turn_over_before for s in schedule.stages)
    counts = (nails, numbers, steps, clenches, turns, bolts)
    return Estimate(*counts, minutes=_minutes(schedule.rules.minutes, counts))


def _minutes(each: Minutes, counts: Sequence[int]) -> float:
    rates = (each.nail, each.number, each.step, each.clench, each.turn, each.bolt)
    return sum(n * rate for n, rate in zip(counts, rates, strict=True))


def numbers_of(runs: Sequence[Run], roles: Mapping[str, str]) -> int:
    """Numbers that must be read to set runs out.

    A run has three; one where another member of the role has the same first mark and step in this
    stage, or where it is the member's only run in this stage and an earlier stage had its step: the
    same stick, moved by one constant. A mark alone has one; none where its distance off a plate has
    been read in this stage. Members with the same marks are read once.
    """
    told: set[object] = set()
    sticks: set[tuple[str, float]] = set()
    total = 0
    for mine in _by_member(runs):
        same = (mine[0].stage, tuple(sorted(_places(r) for r in mine)))
        combs = [r for r in mine if r.step]
        if same not in told:
            told.add(same)
            moved = len(combs) == 1 and (combs[0].member, combs[0].step) in sticks
            total += sum(_numbers(run, roles[run.member], told, moved) for run in mine)
        sticks |= {(r.member, r.step) for r in combs}
    return total


def _numbers(run: Run, role: str, told: set[object], moved: bool) -> int:
    if run.single is not None:
        off = (run.stage, round(run.single.off, 1))
        known = bool(run.single.off) and off in told
        told.add(off)
        return 0 if known else 1
    key = (run.stage, role, round(run.first, 1), run.step)
    known = moved or key in told
    told.add(key)
    return 1 if known else RUN


def _places(run: Run) -> tuple[object, ...]:
    out = tuple((x.mark, x.row) for x in run.left_out)
    return (round(run.first, 1), run.step, run.marks, run.rows, run.numbers, run.parity, out)


def _by_member(runs: Sequence[Run]) -> list[list[Run]]:
    groups: dict[tuple[int, str], list[Run]] = defaultdict(list)
    for run in runs:
        groups[run.stage, run.member].append(run)
    return [groups[key] for key in sorted(groups)]


def steps_of(runs: Sequence[Run]) -> int:
    """How often another step is set on the stick: the steps of each stage."""
    return len({(r.stage, r.step) for r in runs if r.step})
