"""What must pass between the plies under every hung load, in every combination.

Each ply is made for 1/n of the load, so interface k passes what enters plies 1..k less k/n of the
whole. By computed shares (`load_shares`) it passes what enters them less what they keep.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from girderply.bases.combining import GIVEN, Combination
from girderply.bases.registry import basis_of
from girderply.bases.spec import BasisSpec
from girderply.jobfile.job import Job
from girderply.model.girder import Girder, HungLoad
from girderply.rules.rule_set import RuleSet
from girderply.strength.zones import Zone, reach_of, zones
from girderply.wording import Said, Words, said
from girderply.wording.words import duration_words, face_words


@dataclass(frozen=True, slots=True)
class Demand:
    """What must pass in one zone in one combination.

    Attributes:
        id: zone, combination and, where one face is left out, the face that is loaded:
            "L1-3.PV" or "L1-3+L2-3.PV.front".
        zone: where. combination: with its factors.
        faces: "front", "back" or "both", the faces that are loaded.
        P: whole load, N, downward positive.
        entering: (n,) what enters each ply from outside, N.
        shear: (n-1,) signed: what plies 1..k receive beyond their share, N.
        values: of the loads of the zone, in their order, N.
        carried: (n,) what each ply keeps by computed shares, N; empty by equal shares.
        shared: the state of the fasteners that the computed shares are of, in words.
    """

    id: str
    zone: Zone
    combination: Combination
    faces: str
    P: float
    entering: tuple[float, ...]
    shear: tuple[float, ...]
    values: tuple[float, ...] = ()
    carried: tuple[float, ...] = ()
    shared: Words = ""

    @property
    def S(self) -> tuple[float, ...]:
        """(n-1,) what interfaces 1..n-1 must pass, N."""
        return tuple(abs(v) for v in self.shear)

    @property
    def text(self) -> Said:
        """The combination in words, with the faces loaded where one is left out."""
        text, duration = self.combination.text, duration_words(self.combination.duration)
        if self.id.endswith(f".{self.faces}"):
            face = face_words(self.faces)
            return said("check.combination_face", text=text, duration=duration, face=face)
        return said("check.combination", text=text, duration=duration)


def entering(load: HungLoad, value: float, plies: int) -> tuple[float, ...]:
    """What a load puts into each ply: shared by the plies that its fixings reach.

    Args:
        load: its face and `plies_reached` are read.
        value: N.
        plies: number of plies n.

    Returns:
        (n,) from ply 1 (front) to ply n (back), N.
    """
    reached = plies if load.face == "top" else min(load.plies_reached, plies)
    share = [value / reached] * reached + [0.0] * (plies - reached)
    return tuple(reversed(share) if load.face == "back" else share)


def interface_shears(
    entering: tuple[float, ...], carried: tuple[float, ...] | None = None
) -> tuple[float, ...]:
    """Signed shear at interfaces 1..n-1, N: what enters plies 1..k less what they keep.

    [Design of the girder: equal shares by design; S_k is the magnitude]

    Args:
        entering: (n,) what enters each ply, N.
        carried: (n,) what each ply keeps, N; None where it is 1/n of the whole.
    """
    if carried is not None:
        left = (a - b for a, b in zip(entering[:-1], carried[:-1], strict=True))
        return tuple(accumulate(left))
    n, whole = len(entering), sum(entering)
    return tuple(
        entered - k * whole / n for k, entered in enumerate(accumulate(entering[:-1]), start=1)
    )


def demands(job: Job, girder: Girder, rules: RuleSet, every: bool = False) -> tuple[Demand, ...]:
    """Every demand of every zone, in the order of zones, combinations and faces.

    Loads at one place on both faces are also taken with either face left out, and with one face
    pressed down while the other is lifted. Combinations in which nothing hangs are left out.

    Args:
        job: basis (standard, factors, durations, reach).
        girder: loads, plies, bearings.
        rules: reach of a zone, where the job gives none.
        every: also of loads on a face that reach all plies, of which nothing must pass.

    Returns:
        Demands; empty where no load has to pass between plies.
    """
    found: list[Demand] = []
    every_zone = zones(girder, reach_of(job, rules), every)
    # what hangs beside a load acts in the same combinations
    made = combinations_of(job.basis, [load for zone in every_zone for load in zone.loads])
    for zone in every_zone:
        unsaid = [] if any(load.design for load in zone.loads) else [GIVEN]
        for combination in (c.without(unsaid) for c in made):
            found += _by_face(zone, combination, girder.plies)
        found += _against_uplift(job.basis, zone, girder.plies)
    return tuple(found)


@lru_cache(maxsize=64)
def combination_of(basis: BasisSpec, code: str) -> Combination:
    """One combination of the basis in force: P, PV, U or D, as in `Combination`."""
    return basis_of(basis).combination(basis, code)


def combinations_of(basis: BasisSpec, loads: Sequence[HungLoad]) -> tuple[Combination, ...]:
    """Every combination that these loads make, by parts or by load cases."""
    return basis_of(basis).combinations(basis, loads)


def against_uplift(
    basis: BasisSpec, loads: tuple[HungLoad, ...], down: str, up: str
) -> tuple[Combination, Combination] | None:
    """One face pressed down while the other is lifted: what passes between them adds up.

    Args:
        basis: standard, factors, durations.
        loads: hung together.
        down: face that is pressed.
        up: face that is lifted.

    Returns:
        The combination, with the factors of what is pressed, and that of what is lifted; None where
        nothing can be pressed or lifted so.
    """
    if basis.cases:  # every way in which they add up is a combination already
        return None
    lifted = [load for load in loads if load.face == up and load.uplift]
    pressed = [load for load in loads if load.face == down]
    if down == up or not lifted or not pressed:
        return None
    code = "PV" if any(load.variable or load.design for load in pressed) else "P"
    heavy, light = combination_of(basis, code), combination_of(basis, "U")
    if not any(load.design for load in pressed):
        heavy = heavy.without([GIVEN])
    duration, modification = basis_of(basis).shortest(basis, (heavy.duration, light.duration))
    words = said(
        "check.against_uplift", heavy=heavy.text, down=face_words(down), light=light.text,
        up=face_words(up),
    )  # fmt: skip
    mixed = Combination(f"{code}U", heavy.terms, duration, modification, heavy.clause, words)
    return mixed, light


def _against_uplift(basis: BasisSpec, zone: Zone, plies: int) -> list[Demand]:
    """The demands of a zone with one face pressed down while the other is lifted."""
    faces = sorted({load.face for load in zone.loads}, reverse=True)
    made = []
    for down, up in ((faces[0], faces[-1]), (faces[-1], faces[0])):
        found = against_uplift(basis, zone.loads, down, up)
        if found is None:
            continue
        mixed, light = found
        values = [(light if x.face == up else mixed).value(x) for x in zone.loads]
        into = [entering(x, v, plies) for x, v in zip(zone.loads, values, strict=True)]
        total = tuple(sum(column) for column in zip(*into, strict=True))
        made.append(
            Demand(
                id=f"{zone.id}.{mixed.code}.{down}",
                zone=zone,
                combination=mixed,
                faces="both",
                P=sum(total),
                entering=total,
                shear=interface_shears(total),
                values=tuple(values),
            )
        )
    return made


def _by_face(zone: Zone, combination: Combination, plies: int) -> list[Demand]:
    """The demand with all loads, and with either face alone where both are loaded."""
    faces = sorted({load.face for load in zone.loads}, reverse=True)
    cases = [tuple(faces)] if len(faces) == 1 else [tuple(faces), *((face,) for face in faces)]
    made = []
    for case in cases:
        values = [combination.value(x) if x.face in case else 0.0 for x in zone.loads]
        into = [entering(x, v, plies) for x, v in zip(zone.loads, values, strict=True)]
        if not any(values):
            continue
        total = tuple(sum(column) for column in zip(*into, strict=True))
        name = f"{zone.id}.{combination.code}"
        made.append(
            Demand(
                id=name if len(case) == len(faces) else f"{name}.{case[0]}",
                zone=zone,
                combination=combination,
                faces="both" if len(case) == 2 else case[0],
                P=sum(values),
                entering=total,
                shear=interface_shears(total),
                values=tuple(values),
            )
        )
    return made
