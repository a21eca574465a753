"""A bracket's own fixings: how many plies they really reach, and whether they carry the load there.

A bracket is steel at the face with plies behind it. What is said to enter further plies is carried
by the fixings' own stack; where they are not given the load enters the first ply alone.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from girderply.bases.crossing import Crossing, Placed
from girderply.bases.registry import basis_of
from girderply.catalogue.catalogue_types import BoltChoice, Nail, Screw
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.catalogue.screwing import declared_screw
from girderply.errors import Finding, RangeError, Severity
from girderply.jobfile.job import FixingSpec, Job
from girderply.model.girder import Girder, HungLoad
from girderply.strength.check_record import Check
from girderply.strength.in_force import Judge, grain_angle, plain
from girderply.strength.load_sets import LoadCase, load_cases
from girderply.units.show import Show
from girderply.wording import Words, numeral, said

WIRE = 600.0  # N/mm2: least tensile strength of nail wire [EN 14592, from memory]
STEEL = 2.0  # mm of a nail's length that the bracket itself takes; common practice, no source
_TINY = 1e-6  # mm


def fixing_nail(fixing: FixingSpec, job: Job) -> Nail:
    """The nail of a bracket, or the declared screw, as the strength layer reads it."""
    for screw in job.fastening.screws:
        if screw.key == fixing.screw:
            return declared_screw(screw)
    key = f"{fixing.d:g} x {fixing.length:g} bracket"
    return Nail(key, fixing.d, fixing.length, 2 * fixing.d, WIRE)


def reached(job: Job, girder: Girder, load: HungLoad) -> int:
    """How many plies the fixings of a load reach deep enough to count, no more than it says.

    Bolts of its own reach all plies. A load without a bracket, or whose bracket does not say how it
    is fixed, enters the first ply.
    """
    said, bracket = min(load.plies_reached, girder.plies), load.bracket
    if said == 1 or load.face == "top" or (bracket is not None and bracket.bolts):
        return said
    if bracket is None or bracket.fixing is None:
        return 1
    nail = fixing_nail(bracket.fixing, job)
    least = basis_of(job.basis).point(nail).value
    count, t = 1, girder.ply_thickness
    while count < said and min(nail.length - STEEL - count * t, t) >= least - _TINY:
        count += 1
    return count


def with_reach(job: Job, girder: Girder) -> tuple[Girder, tuple[Finding, ...]]:
    """The girder with every load entering the plies that its fixings reach, and what that changed.

    Args:
        job: basis, units.
        girder: loads as the job says them.
    """
    loads = []
    found: dict[str, Finding] = {}
    for load in girder.loads:
        count = reached(job, girder, load)
        less = count < load.plies_reached
        loads.append(replace(load, plies_reached=count) if less else load)
        name = load.entry or load.id
        if less and name not in found:
            found[name] = _less(job, girder, load, count)
    return replace(girder, loads=tuple(loads)), tuple(found.values())


def _less(job: Job, girder: Girder, load: HungLoad, count: int) -> Finding:
    """Why a load enters fewer plies than it says: nothing given, too little given, or too short."""
    show, name, bracket = Show(job.info.units), load.entry or load.id, load.bracket
    where, values = f"loads.{name}.plies_reached", {"load": name, "said": load.plies_reached}
    if bracket is not None and bracket.fixing is not None:
        nail = fixing_nail(bracket.fixing, job)
        least = basis_of(job.basis).point(nail)
        text = said(
            "finding.reach_short", length=show.small(nail.length), steel=show.small(STEEL),
            least=show.small(least.value), count=count, **values,
        )  # fmt: skip
        return Finding("reach-less", Severity.WARNING, where, text, least.clause)
    tip = said("finding.fixing_tip")
    if bracket is None or bracket.nail_length is None:
        text = said("finding.reach_unproved", **values)
        return Finding("reach-not-proved", Severity.WARNING, where, text, "", tip)
    length = bracket.nail_length
    touched = max(1, math.ceil(length / girder.ply_thickness - _TINY))
    text = said("finding.reach_by_length", length=show.small(length), touched=touched, **values)
    wrong = Severity.ERROR if touched < load.plies_reached else Severity.WARNING
    return Finding("reach-not-proved", wrong, where, text, "", tip)


def fixing_checks(
    job: Job, girder: Girder, bolts: Mapping[str, BoltChoice]
) -> tuple[tuple[Check, ...], tuple[Finding, ...]]:
    """One check per bracket and combination of fixings that enter more than one ply.

    Args:
        job: basis.
        girder: loads with the plies that they enter.
        bolts: by load id, the choice of the bracket's own bolts.

    Returns:
        Checks with ids such as "B.fixing.PV", and an error for every load whose fixings cannot be
        checked: its own bolts have no place, or the basis has no figure for such a nail.
    """
    found: dict[str, Check] = {}
    open_: dict[str, Words] = {}
    cases = load_cases(job.basis, girder)
    for i, load in enumerate(girder.loads):
        if load.plies_reached == 1 or load.face == "top":
            continue
        made = _fixing(job, load, bolts, girder.ply_thickness)
        if made is None:
            open_[load.id] = said("finding.fixing_no_place")
            continue
        alpha = grain_angle(girder.member(load.chord))
        judge = Judge.of(job, girder, made.nails, made.bolts)
        for case in cases:
            name, value = f"{load.id}.fixing.{case.combination.code}", abs(case.values[i])
            if not value or (name in found and found[name].demand >= value):
                continue
            try:
                found[name] = _check(judge, made, alpha, load, case, name, value)
            except RangeError as outside:
                open_[load.id] = said("finding.fixing_no_figure", why=str(outside))
    return tuple(found.values()), tuple(_unchecked(*one) for one in open_.items())


@dataclass(frozen=True, slots=True)
class Fixing:
    """What holds one bracket: one fixing from the face to the last ply it enters, and how many.

    Attributes:
        placed: where its bolts stand; None for nails and screws, whose holes are the bracket's.
        nails, bolts: by spec, for the basis.
    """

    crossing: Crossing
    number: int
    placed: Placed | None
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]


def _check(
    judge: Judge,
    made: Fixing,
    alpha: float,
    load: HungLoad,
    case: LoadCase,
    name: str,
    value: float,
) -> Check:
    held = judge.standard.at_face(made.crossing, alpha, case.combination)
    number = float(made.number)
    grouped: tuple[Words, ...] = ()
    if made.placed is not None:
        together = judge.standard.effective(made.crossing, made.placed, alpha)
        number, grouped = together.number, (together.step,) if together.step else ()
    total = number * held.value
    return Check(
        id=name,
        about=load.id,
        subject=said(
            "check.fixing", load=load.id, plies=load.plies_reached, combination=case.text
        ),
        demand=value,
        resistance=total,
        unit="N",
        clause=held.clause,
        mode=held.mode,
        inputs={"n": (number, ""), **held.inputs},
        steps=(
            *held.steps,
            *grouped,
            said(
                "worked.fixing_sum", n=numeral(number, ".3g"), each=plain(judge.show, held.value),
                total=plain(judge.show, total), unit="lbf" if judge.show.imperial else "N",
            ),
        ),
    )  # fmt: skip


def _fixing(
    job: Job, load: HungLoad, bolts: Mapping[str, BoltChoice], thickness: float
) -> Fixing | None:
    """What holds a bracket; None where its own bolts have no place."""
    bracket, n = load.bracket, load.plies_reached
    if bracket is not None and bracket.bolts:
        choice = bolts.get(load.id)
        if choice is None:
            return None
        crossing = Crossing(FastenerKind.BOLT, choice.spec, 1, n, thickness, drilled=True)
        at = Placed(
            np.array([b.along for b in bracket.bolts], float),
            np.array([b.across for b in bracket.bolts], float),
        )
        return Fixing(crossing, len(bracket.bolts), at, {}, {choice.spec: choice})
    if bracket is None or bracket.fixing is None:
        return None
    nail = fixing_nail(bracket.fixing, job)
    depth = min(nail.length - STEEL - (n - 1) * thickness, thickness)
    drilled = isinstance(nail, Screw) and nail.drill > 0
    crossing = Crossing(nail.kind, nail.key, 1, n, depth, drilled=drilled)
    return Fixing(crossing, bracket.fixing.number, None, {nail.key: nail}, {})


def _unchecked(load: str, why: Words) -> Finding:
    text = said("finding.fixing_unchecked", load=load, why=why)
    where, tip = f"loads.{load}.bracket", said("finding.fixing_tip")
    return Finding("fixing-not-checked", Severity.ERROR, where, text, "", tip)
