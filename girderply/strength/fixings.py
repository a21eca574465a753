"""A bracket's own fixings: how many plies they really reach, and whether they carry the load there.

A bracket is steel at the face with plies behind it. What is said to enter further plies is carried
by the fixings' own stack, or it enters the first ply alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from girderply.bases.crossing import Crossing
from girderply.bases.registry import basis_of
from girderply.catalogue.types import BoltChoice, Nail
from girderply.errors import Finding, Severity
from girderply.jobfile.job import BracketSpec, FixingSpec, Job
from girderply.model.girder import Girder, HungLoad
from girderply.strength.cases import load_cases
from girderply.strength.judge import Judge, grain_angle
from girderply.strength.records import Check
from girderply.units.show import Show
from girderply.wording import phrase

WIRE = 600.0  # N/mm2: least tensile strength of nail wire [EN 14592, from memory]
STEEL = 2.0  # mm of a nail's length that the bracket itself takes; common practice, no source
USUAL = Nail("usual bracket nail", 4.0, 40.0, 8.0, WIRE)  # where only the length is known
_TINY = 1e-6  # mm


def fixing_nail(fixing: FixingSpec) -> Nail:
    """The nail of a bracket as the strength layer reads it."""
    key = f"{fixing.d:g} x {fixing.length:g} bracket"
    return Nail(key, fixing.d, fixing.length, 2 * fixing.d, WIRE)


def reached(job: Job, girder: Girder, load: HungLoad) -> int:
    """How many plies the fixings of a load reach deep enough to count, no more than it says.

    Bolts of its own reach all plies. A load without a bracket, or whose bracket says nothing of
    its fixings, is believed: the ledger of assumptions stamps every sheet for it.
    """
    said, bracket = min(load.plies_reached, girder.plies), load.bracket
    if said == 1 or load.face == "top" or bracket is None or bracket.bolts:
        return said
    length, nail = _length(bracket)
    if length is None:
        return said
    least = basis_of(job.basis).point(nail).value
    count = 1
    t = girder.ply_thickness
    while count < said and min(length - STEEL - count * t, t) >= least - _TINY:
        count += 1
    return count


def _length(bracket: BracketSpec) -> tuple[float | None, Nail]:
    if bracket.fixing is not None:
        return bracket.fixing.length, fixing_nail(bracket.fixing)
    return bracket.nail_length, USUAL


def with_reach(job: Job, girder: Girder) -> tuple[Girder, tuple[Finding, ...]]:
    """The girder with every load entering the plies that its fixings reach, and what that changed.

    Args:
        job: basis, units.
        girder: loads as the job says them.
    """
    show, found, loads = Show(job.info.units), [], []
    told: set[str] = set()
    for load in girder.loads:
        count = reached(job, girder, load)
        loads.append(replace(load, plies_reached=count) if count < load.plies_reached else load)
        name = load.entry or load.id
        if count < load.plies_reached and name not in told and load.bracket is not None:
            told.add(name)
            length, nail = _length(load.bracket)
            least = basis_of(job.basis).point(nail)
            text = phrase(
                "finding.reach_short",
                load=name,
                said=load.plies_reached,
                length=show.small(length or 0.0),
                steel=show.small(STEEL),
                least=show.small(least.value),
                count=count,
            )
            where = f"loads.{name}.plies_reached"
            found.append(Finding("reach-less", Severity.WARNING, where, text, least.clause))
    return replace(girder, loads=tuple(loads)), tuple(found)


def fixing_checks(
    job: Job, girder: Girder, bolts: Mapping[str, BoltChoice]
) -> tuple[tuple[Check, ...], tuple[Finding, ...]]:
    """One check per bracket and combination of fixings that enter more than one ply.

    Args:
        job: basis.
        girder: loads with the plies that they enter.
        bolts: by load id, the choice of the bracket's own bolts.

    Returns:
        Checks with ids such as "B.fixing.PV", and a warning for every load whose fixings are not
        known well enough to be checked.
    """
    found: dict[str, Check] = {}
    open_: list[str] = []
    cases = load_cases(job.basis, girder)
    for i, load in enumerate(girder.loads):
        if load.plies_reached == 1 or load.face == "top" or load.bracket is None:
            continue
        made = _fixing(load, bolts, girder.ply_thickness)
        if made is None:
            open_.append(load.id)
            continue
        crossing, number, nails, choice = made
        judge = Judge.of(job, girder, nails, choice)
        alpha = grain_angle(girder.member(load.chord))
        for case in cases:
            value = abs(case.values[i])
            held = judge.standard.at_face(crossing, alpha, case.combination)
            if held is None:
                open_.append(load.id)
                break
            name = f"{load.id}.fixing.{case.combination.code}"
            if not value or (name in found and found[name].demand >= value):
                continue
            found[name] = Check(
                id=name,
                about=load.id,
                subject=phrase(
                    "check.fixing", load=load.id, plies=load.plies_reached, combination=case.text
                ),
                demand=value,
                resistance=number * held.value,
                unit="N",
                clause=held.clause,
                mode=held.mode,
                inputs={"n": (float(number), ""), **held.inputs},
                steps=(
                    *held.steps,
                    phrase(
                        "worked.fixing_sum", n=number, each=f"{held.value:.0f}",
                        total=f"{number * held.value:.0f}",
                    ),
                ),
            )  # fmt: skip
    return tuple(found.values()), _unchecked(open_)


def _fixing(
    load: HungLoad, bolts: Mapping[str, BoltChoice], thickness: float
) -> tuple[Crossing, int, dict[str, Nail], dict[str, BoltChoice]] | None:
    """The fixings as one fastener from the face to the last ply they enter, and how many."""
    bracket, n = load.bracket, load.plies_reached
    if bracket is None:
        return None
    if bracket.bolts:
        choice = bolts.get(load.id)
        if choice is None:
            return None
        crossing = Crossing("bolt", choice.spec, 1, n, thickness, drilled=True)
        return crossing, len(bracket.bolts), {}, {choice.spec: choice}
    if bracket.fixing is None:
        return None
    nail = fixing_nail(bracket.fixing)
    crossing = Crossing("nail", nail.key, 1, n, nail.length - STEEL - (n - 1) * thickness)
    return crossing, bracket.fixing.number, {nail.key: nail}, {}


def _unchecked(names: list[str]) -> tuple[Finding, ...]:
    if not names:
        return ()
    loads = ", ".join(dict.fromkeys(names))
    text = phrase("finding.fixing_unchecked", loads=loads)
    tip = phrase("finding.fixing_tip")
    return (Finding("fixing-not-checked", Severity.WARNING, "loads.plies_reached", text, "", tip),)
