"""A ply that receives its share of a load from its neighbours, beside the load.

The fasteners between the plies hang the share on the ply, as a bracket hangs the whole load on the
first one; how far from the loaded edge they reach decides, and the shear of the ply's own member.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from girderply.errors import Finding, Severity
from girderply.model.girder import Girder, Member
from girderply.model.hung import upward
from girderply.strength.beside_bracket import FULL, Beneath, Beside, Stand, across_check
from girderply.strength.check_record import Check
from girderply.strength.demand import entering
from girderply.strength.load_sets import LoadCase
from girderply.strength.zones import Zone
from girderply.wording import said


def receiving_checks(stand: Stand) -> tuple[Check, ...]:
    """One check per zone, combination and ply that receives a share there.

    [EN 1995-1-1:2004+A2:2014, 8.1.4; NDS 2018, 3.4.3.3]

    Plies that are held at one height need not have one shear, so that each is told.

    Args:
        stand: girder, shear, fasteners.

    Returns:
        Checks with ids such as "L1-3.split.ply2.PV", of several cases of a combination the
        hardest; none where the fasteners reach the far edge, nor where none crosses (that is a
        failed check of its own).
    """
    at = {load.id: i for i, load in enumerate(stand.girder.loads)}
    found: dict[str, Check] = {}
    for zone in stand.zones:
        mine = [at[load.id] for load in zone.loads]
        inside = _Inside.of(stand, zone)
        for c, case in enumerate(stand.shear.cases):
            if not any(case.values[i] for i in mine):
                continue
            for check in _checks(stand, c, case, inside, mine):
                known = found.get(check.id)
                if known is None or check.utilisation > known.utilisation:
                    found[check.id] = check
    return tuple(found.values())


@dataclass(frozen=True, slots=True)
class _Inside:
    """The fasteners of one zone by ply: how far above the middle of the chord the farthest is.

    Attributes:
        highest, lowest: (n,) mm, as the girder stands; -inf and inf in a ply without any.
    """

    zone: Zone
    member: Member
    highest: np.ndarray
    lowest: np.ndarray

    @classmethod
    def of(cls, stand: Stand, zone: Zone) -> _Inside:
        """Look at every ply once, whatever the combinations.

        A ply with no fastener nearer to this load than to the next is held by those within reach.
        """
        member = stand.girder.member(zone.chord)
        here = _heights(stand, zone, (zone.start, zone.end))
        far = _heights(stand, zone, (zone.low, zone.high))
        bare = np.isinf(here[0])
        highest, lowest = np.where(bare, far, here)
        return cls(zone, member, highest, lowest)

    def held(self, into: np.ndarray) -> list[tuple[int, float]]:
        """Every receiving ply with h_e, from its loaded edge to the farthest fastener in it, mm."""
        reach = self.highest if into.sum() > 0 else -self.lowest
        return [
            (ply, self.member.depth / 2 + height)
            for ply, (own, height) in enumerate(zip(into.tolist(), reach.tolist(), strict=True), 1)
            if own == 0.0 and height > -np.inf
        ]


def _heights(stand: Stand, zone: Zone, ends: tuple[float, float]) -> np.ndarray:
    """(2, n) mm, highest and lowest fastener in each ply between two stations of a chord."""
    columns, index = stand.columns, stand.index
    inside = (columns.member[index] == zone.chord) & (columns.station[index] >= ends[0])
    here = index[inside & (columns.station[index] <= ends[1])]
    low = np.minimum(columns.from_ply[here], columns.to_ply[here])
    high = np.maximum(columns.from_ply[here], columns.to_ply[here])
    height = columns.offset[here] * upward(stand.girder.member(zone.chord))
    plies = np.arange(1, stand.girder.plies + 1)[:, None]
    mine = (low <= plies) & (plies <= high)
    return np.array(
        [
            np.where(mine, height, -np.inf).max(axis=1, initial=-np.inf),
            np.where(mine, height, np.inf).min(axis=1, initial=np.inf),
        ]
    )


def _checks(
    stand: Stand, c: int, case: LoadCase, inside: _Inside, mine: list[int]
) -> Iterator[Check]:
    girder, zone, member = stand.girder, inside.zone, inside.member
    into = np.zeros(girder.plies)
    for i in mine:
        into += entering(girder.loads[i], case.values[i], girder.plies)
    if not into.any():
        return
    for ply, h_e in inside.held(into):
        if h_e < FULL * member.depth:
            check = _check(stand, c, zone, member, (ply, h_e, float(into.sum())))
            if check is not None:
                yield check


def _check(
    stand: Stand, c: int, zone: Zone, member: Member, held: tuple[int, float, float]
) -> Check | None:
    """Of one ply, held so high, of a load of so much, N."""
    ply, h_e, whole = held
    case = stand.shear.cases[c]
    beside = Beside(stand, c, member, zone.station, zone.station)
    demand, steps = beside.receiving(ply - 1, whole)
    return across_check(
        stand,
        Beneath(
            id=f"{zone.id}.split.ply{ply}.{case.combination.code}",
            about=zone.id,
            ply=ply,
            subject=said(
                "check.split_receiving",
                zone=zone.id,
                chord=zone.chord,
                ply=ply,
                combination=case.text,
            ),
            mode=said("check.split_held"),
            demand=demand,
            member=member,
            station=zone.station,
            h_e=h_e,
            combination=case.combination,
            steps=lambda: [
                *steps(),
                said("worked.split_h_e", h_e=stand.show.small(h_e),
                       reaches=said("worked.farthest_fastener")),
            ],
        ),
    )  # fmt: skip


def unchecked_notes(girder: Girder) -> tuple[Finding, ...]:
    """What is not checked for splitting under a hung load, and why; never silent."""
    hung = [x for x in girder.loads if x.face != "top"]
    if not hung:
        return ()
    bare = [x.id for x in hung if x.bracket is None]
    if not bare:
        return ()
    names = ", ".join(bare[:6])
    loads = said("finding.and_others", loads=names) if len(bare) > 6 else names
    text = said("finding.split_no_bracket", loads=loads)
    tip = said("finding.give_bracket")
    return (Finding("splitting-not-checked", Severity.WARNING, "loads", text, "", tip),)
