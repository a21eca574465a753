"""The loaded ply beside a bracket: splitting, or shear at the connection, as the basis has it.

The bracket's force goes into the plies that its fixings reach. Beside it their member has its own
shear, from the frame with all loads of the combination, and what the bracket's load has still to
pass to the other plies on that side. Brackets on one face whose footprints overlap are one
connection, however many entries of the job they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import cos

import numpy as np
from numpy.typing import NDArray

from girderply.bases.answers import Across, Resisted
from girderply.bases.combining import Combination
from girderply.bases.registry import basis_of
from girderply.catalogue.timbers_known import timber
from girderply.jobfile.job import BracketSpec, Job
from girderply.model.girder import Girder, HungLoad, Member
from girderply.strength.check_record import Check
from girderply.strength.demand import entering
from girderply.strength.in_force import plain
from girderply.strength.shear import MemberShear
from girderply.strength.stack_columns import FastenerColumns
from girderply.strength.zones import Zone
from girderply.units.show import Show
from girderply.wording import Later, Said, Words, numeral, said

TOP_FIXING = 20.0  # mm from a bracket's edge to its outermost nail; common practice, no source
FULL = 0.99  # of the depth: the fixings reach the far edge
_TINY = 1e-6  # mm
Lines = Callable[[], Sequence[Words]]  # worked lines, said when they are read


@dataclass(frozen=True, slots=True)
class Stand:
    """What the checks beside connections are made from.

    Attributes:
        job, girder: basis, members.
        shear: of the members. zones: of all hung loads.
        columns, index: fasteners, and which of them carry.
        known: what the basis has answered already: plies and cases often ask alike.
    """

    job: Job
    girder: Girder
    shear: MemberShear
    zones: Sequence[Zone]
    columns: FastenerColumns
    index: NDArray[np.intp]
    known: dict[Across, Resisted | None] = field(default_factory=dict)

    def resisted(self, ask: Across) -> Resisted | None:
        """What the basis gives a ply beside a connection; None where it asks for nothing."""
        if ask not in self.known:
            self.known[ask] = basis_of(self.job.basis).across(self.job.basis, ask)
        return self.known[ask]

    @property
    def show(self) -> Show:
        """Writes the job's units."""
        return Show(self.job.info.units)

    def sides(self, zone: Zone) -> tuple[float, float]:
        """Part of the fasteners that may serve a zone on either side of it; 1 where none stands."""
        here = self.index[self.columns.member[self.index] == zone.chord]
        s = self.columns.station[here]
        s = s[(zone.low - _TINY <= s) & (s <= zone.high + _TINY)]
        if not len(s):
            return 1.0, 1.0
        away = s - zone.station
        before = float(np.mean(away < -_TINY) + np.mean(np.abs(away) <= _TINY) / 2)
        return before, 1.0 - before


def splitting_checks(stand: Stand) -> tuple[Check, ...]:
    """One check per bracket and combination, where the bracket's footprint is known.

    [EN 1995-1-1:2004+A2:2014, 8.1.4; NDS 2018, 3.4.3.3]

    A bracket whose fixings reach the far edge of the chord cannot split it and has no check; nor
    has a load without a bracket, of which nothing is known.

    Args:
        stand: girder, shear, fasteners.

    Returns:
        Checks with ids such as "L1-3.split.PV"; of several cases of a combination the hardest.
    """
    zone_of = {load.id: zone for zone in stand.zones for load in zone.loads}
    found: dict[str, Check] = {}
    for i, load in enumerate(stand.girder.loads):
        if load.bracket is None or load.face == "top":
            continue
        for c, case in enumerate(stand.shear.cases):
            if not case.values[i]:
                continue
            check = _split(stand, c, i, zone_of[load.id])
            if check and (check.id not in found or check.demand > found[check.id].demand):
                found[check.id] = check
    return tuple(found.values())


def _split(stand: Stand, c: int, i: int, zone: Zone) -> Check | None:
    girder, case, load = stand.girder, stand.shear.cases[c], stand.girder.loads[i]
    member = girder.member(load.chord)
    value = case.values[i]
    if load.bracket is None:
        return None
    h_e = fixing_height(load.bracket, member.depth, downward=value > 0)
    together = connected(girder, load)
    own = Beside(stand, c, member, *_ends(girder, together))
    loaded = np.zeros(girder.plies)
    for j in together:
        loaded += entering(girder.loads[j], case.values[j], girder.plies)
    demand, steps = own.loaded(loaded, sum(case.values[j] for j in together), stand.sides(zone))
    return across_check(
        stand,
        Beneath(
            id=f"{load.id}.split.{case.combination.code}",
            about=load.id,
            subject=said(
                "check.split_loaded", load=load.id, chord=load.chord, combination=case.text
            ),
            demand=demand,
            member=member,
            station=load.station,
            h_e=h_e,
            combination=case.combination,
            steps=lambda: [
                *steps(),
                said(
                    "worked.split_h_e", h_e=stand.show.small(h_e),
                    reaches=said("worked.farthest_fixing", inside=stand.show.small(TOP_FIXING)),
                ),
            ],
        ),
    )  # fmt: skip


def connected(girder: Girder, load: HungLoad) -> list[int]:
    """Positions of the loads of one face and chord whose connections overlap, one with the next."""
    mine = sorted(
        (x.station, i)
        for i, x in enumerate(girder.loads)
        if (x.chord, x.face) == (load.chord, load.face)
    )
    groups: list[list[int]] = []
    reach = -np.inf
    for _, i in sorted(mine, key=lambda v: (v[0] - _half(girder.loads[v[1]]), v[1])):
        x = girder.loads[i]
        if not groups or x.station - _half(x) > reach + _TINY:
            groups.append([])
            reach = -np.inf
        groups[-1].append(i)
        reach = max(reach, x.station + _half(x))
    return next(g for g in groups if any(girder.loads[i] is load for i in g))


def _half(load: HungLoad) -> float:
    """Half the length along the chord that a load's connection takes, mm."""
    return load.bracket.width / 2 if load.bracket else 0.0


def _ends(girder: Girder, together: Iterable[int]) -> tuple[float, float]:
    """Stations where a connection begins and ends, mm."""
    loads = [girder.loads[i] for i in together]
    return min(x.station - _half(x) for x in loads), max(x.station + _half(x) for x in loads)


@dataclass(frozen=True, slots=True)
class Beside:
    """Shear of the plies beside one connection in one combination."""

    stand: Stand
    case: int
    member: Member
    low: float
    high: float

    @property
    def _unit(self) -> str:
        return "lbf" if self.stand.show.imperial else "N"

    def _said(self, newton: float) -> str:
        return plain(self.stand.show, newton)

    def loaded(
        self, into: NDArray[np.float64], whole: float, sides: tuple[float, float]
    ) -> tuple[float, Lines]:
        """Largest of the loaded plies, N, and its worked lines.

        Args:
            into: (n,) what enters each ply here, N, downward positive.
            whole: its sum, N.
            sides: part of what the other plies get that is passed on either side.
        """
        n, c = len(into), cos(self.member.angle)
        equal = self.stand.shear.beside(self.case, self.member.id, self.low, self.high)
        plies = tuple(np.flatnonzero(into).tolist())
        most, gives = 0.0, 0.0
        for p in plies:
            passed = float(into[p] - whole / n) * c
            left, right = abs(float(into[p]) * c), 0.0
            if equal is not None:
                left, right = abs(equal[0] + passed * sides[0]), abs(equal[1] - passed * sides[1])
            if max(left, right) >= most:
                most, gives = max(left, right), passed
        if equal is None or not plies:
            return self._larger(most, plies, lambda: [self._no_frame(most)] if plies else [])
        return self._larger(
            most, plies,
            lambda: [
                said(
                    "worked.split_equal", unit=self._unit,
                    left=self._said(abs(equal[0])), right=self._said(abs(equal[1])),
                    passed=self._said(abs(gives)), before=numeral(100 * sides[0], ".0f"),
                    after=numeral(100 * sides[1], ".0f"), shear=self._said(most),
                )
            ],
        )  # fmt: skip

    def receiving(self, ply: int, whole: float) -> tuple[float, Lines]:
        """Of a ply (0-based) that receives its share, N, and its worked lines."""
        equal = self.stand.shear.beside(self.case, self.member.id, self.low, self.high)
        if equal is None:
            most = abs(whole / self.stand.girder.plies * cos(self.member.angle))
            return self._larger(most, (ply,), lambda: [self._no_frame(most)])
        return self._larger(
            max(abs(equal[0]), abs(equal[1])), (ply,),
            lambda: [
                said(
                    "worked.split_member", unit=self._unit, ply=ply + 1,
                    left=self._said(abs(equal[0])), right=self._said(abs(equal[1])),
                )
            ],
        )  # fmt: skip

    def _no_frame(self, most: float) -> Said:
        return said("worked.split_no_frame", shear=self._said(most), unit=self._unit)

    def _larger(self, most: float, plies: tuple[int, ...], told: Lines) -> tuple[float, Lines]:
        """The computed shares go before where they give more."""
        if self.stand.shear.computed is None:
            return most, told
        found = self.stand.shear.by_springs(self.case, self.member.id, self.low, self.high, plies)
        larger = max(most, found)
        return larger, lambda: [
            *told(),
            said(
                "worked.split_springs", unit=self._unit, shear=self._said(found),
                most=self._said(larger),
            ),
        ]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Beneath:
    """What one check beside a connection is made from.

    Attributes:
        id, about, subject: of the check. ply: that receives its share, else 0.
        demand: shear of the ply's member beside the connection, N.
        member, station: where, mm. h_e: from the loaded edge to the farthest fastener, mm.
        combination: its duration counts. steps: how the demand and h_e came about.
        mode: in words, instead of the basis' own.
    """

    id: str
    about: str
    subject: Words
    demand: float
    member: Member
    station: float
    h_e: float
    combination: Combination
    steps: Lines
    ply: int = 0
    mode: Words = ""


def across_check(stand: Stand, b: Beneath) -> Check | None:
    """Shear beside a force across the grain against what the basis gives the ply there.

    None where the basis asks for nothing.
    """
    job, girder = stand.job, stand.girder
    found = stand.resisted(
        Across(
            b=girder.ply_thickness,
            h=b.member.depth,
            h_e=b.h_e,
            to_end=max(0.0, min(b.station, b.member.length - b.station)),
            timber=timber(girder.timber_of(b.member)),
            combination=b.combination,
            moisture=job.girder.moisture,
        )
    )
    if found is None:
        return None
    return Check(
        id=b.id,
        about=b.about,
        ply=b.ply,
        subject=b.subject,
        demand=b.demand,
        resistance=found.value,
        unit="N",
        clause=found.clause,
        mode=b.mode or found.mode,
        inputs=found.inputs,
        steps=Later(lambda: (*b.steps(), *found.steps)),
    )


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
