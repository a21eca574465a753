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
from itertools import product
from typing import Any, Literal

import numpy as np

from girderply.catalogue.tables import required, table
from girderply.errors import RangeError
from girderply.jobfile.job import Role
from girderply.model.girder import Girder, Joint
from girderply.model.mass import centre_of_gravity
from girderply.schedule.types import Schedule, Stage

LONG = (
    12000.0  # mm: longer plies are joined in place rather than turned; common practice, no source
)
MECHANICAL = 0  # people of a move that is not for hands

MoveKind = Literal["lay", "turn", "lift off"]


@dataclass(frozen=True, slots=True)
class Move:
    """One lift or turn.

    Attributes:
        kind: lay a ply on, turn the stack over, lift the girder off.
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


@dataclass(frozen=True, slots=True)
class SlingPoint:
    """A joint of a top chord that a sling may go round.

    Attributes:
        joint: id. chord: member id. station: along the chord from its hook end, mm.
        x, y: from the left end and the underside of the girder, mm, front face seen.
        share: of the girder's mass that this sling carries.
    """

    joint: str
    chord: str
    station: float
    x: float
    y: float
    share: float


@dataclass(frozen=True, slots=True)
class Balance:
    """Centre of gravity from the left end and the underside, mm, and two slings or none."""

    x: float
    y: float
    slings: tuple[SlingPoint, SlingPoint] | None
    long: bool


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
    """Moves and mass on the trestles of every stage."""
    done: list[StageHandling] = []
    before: Stage | None = None
    fastened = 0.0
    for stage in schedule.stages:
        fastened += _stage_fasteners(schedule, stage.number)
        mass = len(stage.plies) * schedule.masses.ply + fastened
        moves = _moves(schedule, stage, before, done[-1].mass if done else 0.0)
        if stage is schedule.stages[-1]:
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
        moves.append(_move("lay", added, schedule.masses.ply))
    return moves


def _move(kind: MoveKind, plies: tuple[int, ...], mass: float) -> Move:
    return Move(kind, plies, mass, people_for(mass))


def _stage_fasteners(schedule: Schedule, number: int) -> float:
    """Mass of what goes in at a stage, kg: nails by their own mass, bolts share what is left."""
    f = schedule.fasteners
    here, whole = (Counter(f.spec[m].tolist()) for m in (f.stage == number, f.stage > 0))
    known = {k: nail.mass for k, nail in schedule.nails.items()}
    rest = max(0.0, schedule.masses.fasteners - sum(n * known.get(k, 0) for k, n in whole.items()))
    others = sum(n for k, n in whole.items() if k not in known)
    each = rest / others if others else 0.0
    return sum(n * known.get(k, each) for k, n in here.items())


def balance(girder: Girder) -> Balance:
    """Where a girder balances, and where two slings might go; only a suggestion."""
    xy = np.concatenate([m.outline for m in girder.members])
    x0, y0 = (float(v) for v in xy.min(axis=0))
    gx, gy = centre_of_gravity(girder)
    return Balance(gx - x0, gy - y0, _slings(girder, (x0, y0), (gx, gy)), girder.length > LONG)


def _slings(
    girder: Girder, corner: tuple[float, float], centre: tuple[float, float]
) -> tuple[SlingPoint, SlingPoint] | None:
    """The pair of top-chord joints either side of the balance nearest to the quarter points.

    Both above the centre of gravity, so that the girder hangs and does not roll; of pairs that are
    equally near, the more even one about the balance, then the higher.
    """
    quarter = girder.length / 4
    chords = {m.id for m in girder.members if m.role is Role.TOP_CHORD}
    usable = [j for j in girder.joints if chords & set(j.members) and j.y > centre[1]]
    left = [j for j in usable if j.x < centre[0] - 1.0]
    right = [j for j in usable if j.x > centre[0] + 1.0]

    def badness(pair: tuple[Joint, Joint]) -> tuple[int, int, int]:
        a, b = (abs(j.x - centre[0]) for j in pair)
        return (
            round(abs(a - quarter) + abs(b - quarter)),
            round(abs(a - b)),
            -round(min(j.y for j in pair)),
        )

    pair = min(product(left, right), key=badness, default=None)
    if pair is None:
        return None
    a, b = pair
    share = (b.x - centre[0]) / (b.x - a.x)
    return _point(girder, a, corner, share), _point(girder, b, corner, 1.0 - share)


def _point(girder: Girder, j: Joint, corner: tuple[float, float], share: float) -> SlingPoint:
    chord = next(m for m in girder.members if m.role is Role.TOP_CHORD and m.id in j.members)
    station = float(chord.to_local(np.array([[j.x, j.y]]))[0, 0])
    return SlingPoint(j.id, chord.id, station, j.x - corner[0], j.y - corner[1], share)


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


def lifting_part(girder: Girder) -> dict[str, Any]:
    """Balance and suggested slings as plain data for the contract."""
    found = balance(girder)
    slings = [
        {
            "joint": s.joint,
            "member": s.chord,
            "station_mm": s.station,
            "from_left_mm": s.x,
            "above_underside_mm": s.y,
            "share": s.share,
        }
        for s in found.slings or ()
    ]
    centre = {"from_left_mm": found.x, "above_underside_mm": found.y}
    return {"centre_of_gravity": centre, "slings_suggested": slings, "join_in_place": found.long}
