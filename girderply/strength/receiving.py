"""A ply that receives its share of a load from its neighbours, beside the load.

The fasteners between the plies hang the share on the ply, as a bracket hangs the whole load on the
first one; how far from the loaded edge they reach decides, and the shear of the ply's own member.
"""

from __future__ import annotations

import numpy as np

from girderply.errors import Finding, Severity
from girderply.model.girder import Girder, Member
from girderply.model.hung import upward
from girderply.strength.cases import LoadCase
from girderply.strength.demand import entering
from girderply.strength.records import Check
from girderply.strength.splitting import FULL, Beneath, Beside, Stand, across_check
from girderply.strength.zones import Zone
from girderply.wording import phrase


def receiving_checks(stand: Stand) -> tuple[Check, ...]:
    """One check per zone and combination, for the receiving ply that is held lowest.

    [EN 1995-1-1:2004+A2:2014, 8.1.4; NDS 2018, 3.4.3.3]

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
        for c, case in enumerate(stand.shear.cases):
            if not any(case.values[i] for i in mine):
                continue
            check = _check(stand, c, case, zone, mine)
            if check and (check.id not in found or check.utilisation > found[check.id].utilisation):
                found[check.id] = check
    return tuple(found.values())


def _lowest(stand: Stand, member: Member, zone: Zone, into: np.ndarray) -> tuple[int, float] | None:
    """The receiving ply whose fasteners reach least far from its loaded edge, and h_e, mm."""
    columns, index = stand.columns, stand.index
    inside = (columns.member[index] == zone.chord) & (columns.station[index] >= zone.start)
    here = index[inside & (columns.station[index] <= zone.end)]
    low = np.minimum(columns.from_ply[here], columns.to_ply[here])
    high = np.maximum(columns.from_ply[here], columns.to_ply[here])
    height = columns.offset[here] * upward(member) * (1.0 if into.sum() > 0 else -1.0)
    plies = []
    for ply, own in enumerate(into.tolist(), 1):
        mine = (low <= ply) & (ply <= high)
        if own == 0.0 and mine.any():
            plies.append((member.depth / 2 + float(height[mine].max()), ply))
    if not plies:
        return None
    h_e, ply = min(plies)
    return ply, h_e


def _check(stand: Stand, c: int, case: LoadCase, zone: Zone, mine: list[int]) -> Check | None:
    girder = stand.girder
    member = girder.member(zone.chord)
    into = np.zeros(girder.plies)
    for i in mine:
        into += entering(girder.loads[i], case.values[i], girder.plies)
    lowest = _lowest(stand, member, zone, into)
    if lowest is None or not into.any() or lowest[1] >= FULL * member.depth:
        return None
    ply, h_e = lowest
    beside = Beside(stand, c, member, zone.station, zone.station)
    demand, steps = beside.receiving(ply - 1, float(into.sum()))
    return across_check(
        stand,
        Beneath(
            id=f"{zone.id}.split.ply{ply}.{case.combination.code}",
            about=zone.id,
            ply=ply,
            subject=phrase(
                "check.split_receiving",
                zone=zone.id,
                chord=zone.chord,
                ply=ply,
                combination=case.text,
            ),
            mode=phrase("check.split_held"),
            demand=demand,
            member=member,
            station=zone.station,
            h_e=h_e,
            combination=case.combination,
            steps=(
                *steps,
                phrase("worked.split_h_e", h_e=f"{h_e:.0f}",
                       reaches=phrase("worked.farthest_fastener")),
            ),
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
    loads = phrase("finding.and_others", loads=names) if len(bare) > 6 else names
    text = phrase("finding.split_no_bracket", loads=loads)
    tip = phrase("finding.give_bracket")
    return (Finding("splitting-not-checked", Severity.WARNING, "loads", text, "", tip),)
