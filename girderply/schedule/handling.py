"""What people lift and turn at each stage, in numbers: masses, people or crane, balance, slings.

The rule for people is the filter of the UK HSE's guidance (catalogue, `manual_handling_hse`): two
may lift two thirds, three half of the sum of what each may lift; more than three, or more than
that, is a mechanical lift. Masses are timber at mean density and fasteners: nail plates,
brackets and wet timber are not in them.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Literal

from girderply.catalogue.csv_files import required, table
from girderply.errors import RangeError
from girderply.schedule.types import Schedule, Stage
from girderply.units.exact import KG_PER_LB

MECHANICAL = 0  # people of a move that is not for hands

MoveKind = Literal["lay", "turn", "lift off", "stand"]


@dataclass(frozen=True, slots=True)
class Move:
    """One lift or turn.

    Attributes:
        kind: lay a ply on, turn the stack over, lift the girder off; stand a ply upright, which
            is held in its slings until it is braced: always a mechanical lift.
        plies: numbers of those laid, one after the other; of all in the stack otherwise.
        mass: of what is moved at once, kg. people: 2 or 3, or `MECHANICAL`.
    """

    kind: MoveKind
    plies: tuple[int, ...]
    mass: float
    people: int


@dataclass(frozen=True, slots=True)
class StageHandling:
    """The moves of a stage in order, and the mass on the trestles when it is done, kg."""

    stage: int
    moves: tuple[Move, ...]
    mass: float


@cache
def team_shares() -> dict[int, float]:
    """People -> share of the sum of what each may lift [UK HSE L23, team handling]."""
    rows = table("manual_handling_hse").rows
    return {int(r["people"]): float(Fraction(r["share"])) for r in rows if r["people"] != "1"}


@cache
def one_person() -> float:
    """What one may lift in the best hold, kg: man, close, waist height [UK HSE L23]."""
    rows = table("manual_handling_hse").rows
    return required(next(r for r in rows if r["item"].startswith("man,")), "one_person_kg")


@cache
def lone_lifter() -> float:
    """What one person may lift under the best conditions, kg [NIOSH lifting equation, 51 lb]."""
    row = table("manual_handling_niosh").rows[0]
    return required(row, "one_person_lb") * KG_PER_LB


def team_limit(people: int, each: float) -> float:
    """What so many people may lift together, kg.

    [UK HSE L23, team handling: two thirds for two, half for three]

    Args:
        people: 2 or 3.
        each: what one of them may lift, kg.

    Raises:
        RangeError: no share is known for so many, or `each` is not a positive number.
    """
    if not (math.isfinite(each) and each > 0):
        raise RangeError(f"each={each} kg must be more than zero")
    if people not in team_shares():
        raise RangeError(f"people={people}: shares are known for {sorted(team_shares())} only")
    return people * each * team_shares()[people]


def people_for(mass: float, each: float | None = None) -> int:
    """The fewest people that may lift a mass, or `MECHANICAL`.

    Never one: a ply is longer than one person can hold (common practice, no source).

    Args:
        mass: kg.
        each: what one of them may lift, kg; None for the guidance's best hold.

    Raises:
        RangeError: the mass is not a positive number.
    """
    if not (math.isfinite(mass) and mass > 0):
        raise RangeError(f"mass={mass} kg must be more than zero")
    one = one_person() if each is None else each
    able = [n for n in team_shares() if mass <= team_limit(n, one) + 1e-9]
    return min(able, default=MECHANICAL)


def handling(schedule: Schedule) -> tuple[StageHandling, ...]:
    """Moves of every stage, and mass on the trestles; or standing, where plies stand."""
    done: list[StageHandling] = []
    before: Stage | None = None
    fastened = 0.0
    for stage in schedule.stages:
        fastened += _stage_fasteners(schedule, stage.number)
        mass = len(stage.plies) * schedule.masses.ply + fastened
        moves = _moves(schedule, stage, before, done[-1].mass if done else 0.0)
        if stage is schedule.stages[-1] and not stage.upright:
            moves.append(_move("lift off", stage.plies, mass))
        done.append(StageHandling(stage.number, tuple(moves), mass))
        before = stage
    return tuple(done)


def _moves(schedule: Schedule, stage: Stage, before: Stage | None, lying: float) -> list[Move]:
    """Turning comes before laying, as the stage's own lines have it."""
    moves: list[Move] = []
    if before is not None and stage.turn_over_before:
        moves.append(_move("turn", before.plies, lying))
    there = before.plies if before is not None else ()
    added = tuple(p for p in stage.plies if p not in there)
    if added:
        kind: MoveKind = "stand" if stage.upright else "lay"
        moves.append(_move(kind, added, schedule.masses.ply))
    return moves


def _move(kind: MoveKind, plies: tuple[int, ...], mass: float) -> Move:
    return Move(kind, plies, mass, MECHANICAL if kind == "stand" else people_for(mass))


def _stage_fasteners(schedule: Schedule, number: int) -> float:
    """Mass of what goes in at a stage, kg: nails by their own mass, bolts share what is left."""
    f = schedule.fasteners
    here, whole = (Counter(f.spec[m].tolist()) for m in (f.stage == number, f.stage > 0))
    known = {k: nail.mass for k, nail in schedule.nails.items()}
    rest = max(0.0, schedule.masses.fasteners - sum(n * known.get(k, 0) for k, n in whole.items()))
    others = sum(n for k, n in whole.items() if k not in known)
    each = rest / others if others else 0.0
    return sum(n * known.get(k, each) for k, n in here.items())


def stage_part(part: StageHandling) -> dict[str, Any]:
    """The moves of a stage as plain data for the contract."""
    return {
        "mass_on_trestles_kg": part.mass,
        "moves": [
            {
                "move": m.kind,
                "plies": list(m.plies),
                "mass_kg": m.mass,
                "people": m.people or None,
                "mechanical": m.people == MECHANICAL,
            }
            for m in part.moves
        ],
    }
