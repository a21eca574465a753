"""Splitting of a chord under a load hung on it: EN 1995-1-1, 8.1.4.

Only the plies that the bracket's fixings reach are loaded directly; each is checked with its own
part. The shear either side of the bracket is the truss designer's; here the chord between the two
neighbouring joints is taken as a simple beam, which gives the larger side no less than half.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos

import numpy as np

from girderply.bases.actions import Combination
from girderply.bases.answers import Across
from girderply.bases.registry import basis_of
from girderply.catalogue.timbers_known import timber
from girderply.jobfile.job import BracketSpec, Job
from girderply.model.girder import Girder, HungLoad, Member
from girderply.strength.demand import Demand, entering
from girderply.strength.records import Check
from girderply.wording import numeral, phrase

TOP_FIXING = 20.0  # mm from a bracket's edge to its outermost nail; common practice, no source
FULL = 0.99  # of the depth: the fixings reach the far edge
CLAUSE = "EN 1995-1-1:2004+A2:2014, 8.1.4"


def splitting_checks(job: Job, girder: Girder, asked: Iterable[Demand]) -> tuple[Check, ...]:
    """One check per bracket and combination, where the bracket's footprint is known.

    [EN 1995-1-1:2004+A2:2014, 8.1.4, Eq. (8.2) to (8.4)]

    A bracket whose fixings reach the far edge of the chord cannot split it and has no check; nor
    has a load without a bracket, of which nothing is known.

    Args:
        job: basis.
        girder: members, joints, ply thickness.
        asked: demands of all zones; only those with every face loaded are read.

    Returns:
        Checks with ids such as "L1-3.split.PV".
    """
    found = []
    for demand in asked:
        if demand.id != f"{demand.zone.id}.{demand.combination.code}":
            continue
        for load in demand.zone.loads:
            found.append(_split(job, girder, demand, load))
    return tuple(check for check in found if check is not None)


def _split(job: Job, girder: Girder, demand: Demand, load: HungLoad) -> Check | None:
    value = demand.combination.value(load)
    member = girder.member(load.chord)
    if load.bracket is None or not value:
        return None
    h = member.depth
    h_e = fixing_height(load.bracket, h, downward=value > 0)
    if h_e >= FULL * h:
        return None
    each = max(abs(v) for v in entering(load, value, girder.plies)) * abs(cos(member.angle))
    return split_check(
        job,
        girder,
        Split(
            id=f"{load.id}.split.{demand.combination.code}",
            about=load.id,
            subject=phrase(
                "check.split_loaded", load=load.id, chord=load.chord, combination=demand.text
            ),
            force=each,
            side=larger_side(girder, member, load.station),
            h=h,
            h_e=h_e,
            combination=demand.combination,
            to_end=to_end(member, load.station),
            enters=phrase("worked.split_one_ply", force=f"{each:.0f}"),
            reaches=phrase("worked.farthest_fixing", inside=f"{TOP_FIXING:.0f}"),
        ),
    )


@dataclass(frozen=True, slots=True)
class Split:
    """What one check of 8.1.4 is made from.

    Attributes:
        id, about, subject: of the check. ply: that receives its share, else 0.
        force: across the grain on one ply, N. side: share of it on the larger side.
        h: depth of the chord, mm. h_e: from the loaded edge to the farthest fastener, mm.
        combination: its duration counts. to_end: from the nearer end of the chord, mm.
        enters, reaches: how the force and h_e came about, for the worked lines.
        mode: in words, instead of the basis' own.
    """

    id: str
    about: str
    subject: str
    force: float
    side: float
    h: float
    h_e: float
    combination: Combination
    to_end: float
    enters: str
    reaches: str
    ply: int = 0
    mode: str = ""


def split_check(job: Job, girder: Girder, s: Split) -> Check | None:
    """Shear beside a force across the grain against what the basis gives the ply there.

    None where the basis asks for nothing.
    """
    found = basis_of(job.basis).across(
        job.basis,
        Across(
            b=girder.ply_thickness,
            h=s.h,
            h_e=s.h_e,
            to_end=s.to_end,
            timber=timber(girder.timber),
            combination=s.combination,
            moisture=job.girder.moisture,
        ),
    )
    if found is None:
        return None
    return Check(
        id=s.id,
        about=s.about,
        ply=s.ply,
        subject=s.subject,
        demand=s.force * s.side,
        resistance=found.value,
        unit="N",
        clause=found.clause,
        mode=s.mode or found.mode,
        inputs=found.inputs,
        steps=(
            phrase(
                "worked.split_shear",
                enters=s.enters,
                side=numeral(s.side, ".3f"),
                force=f"{s.force:.0f}",
                shear=f"{s.force * s.side:.0f}",
            ),
            phrase("worked.split_h_e", h_e=f"{s.h_e:.0f}", reaches=s.reaches),
            *found.steps,
        ),
    )


def to_end(member: Member, station: float) -> float:
    """From a place on a member to its nearer end, mm."""
    return max(0.0, min(station, member.length - station))


def fixing_height(bracket: BracketSpec, depth: float, *, downward: bool) -> float:
    """h_e: from the loaded edge of the chord to the bracket's farthest fixing, mm.

    Bolts where the bracket has them, else nails up to 20 mm from the bracket's edge; never less
    than to the bracket's middle.

    Args:
        bracket: size, offset and bolts.
        depth: of the chord, mm.
        downward: True for a load that pulls down, so that the lower edge is the loaded one.
    """
    middle = bracket.offset if downward else -bracket.offset
    if bracket.bolts:
        sign = 1.0 if downward else -1.0
        reach = max(sign * bolt.across for bolt in bracket.bolts)
    else:
        reach = max(bracket.height / 2 - TOP_FIXING, 0.0)
    return depth / 2 + middle + reach


def larger_side(girder: Girder, member: Member, station: float) -> float:
    """Share of a load that the larger side carries: simple beam between the nearest joints.

    Args:
        girder: its joints.
        member: the chord.
        station: of the load, mm.

    Returns:
        0.5 (half-way) to 1 (at a joint, or where no joints lie on both sides).
    """
    at = {j.id: (j.x, j.y) for j in girder.joints}
    points = np.array([at[j] for j in member.joints if j in at]).reshape(-1, 2)
    local = member.to_local(points)[:, 0].tolist()
    before = [s for s in local if s <= station]
    after = [s for s in local if s > station]
    if not before or not after:
        return 1.0
    left, right = station - max(before), min(after) - station
    return float(max(left, right) / (left + right))
