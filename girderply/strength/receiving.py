"""Splitting of a ply that receives its share of a load from its neighbours: EN 1995-1-1, 8.1.4.

The fasteners between the plies hang the share on the ply, as a bracket hangs the whole load on the
first one; how far from the loaded edge they reach decides. All of them are taken to act at the
load's own place, which gives no less shear than spread along the zone.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import cos

import numpy as np

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.model.girder import Girder, Member
from girderply.model.hung import upward
from girderply.strength.columns import FastenerColumns, transfer_fasteners
from girderply.strength.demand import Demand
from girderply.strength.records import Check
from girderply.strength.splitting import FULL, Split, larger_side, split_check, to_end
from girderply.wording import phrase


def receiving_checks(
    job: Job, girder: Girder, asked: Iterable[Demand], fasteners: FastenerColumns
) -> tuple[Check, ...]:
    """One check per zone and combination, for the receiving ply that is held lowest.

    [EN 1995-1-1:2004+A2:2014, 8.1.4, Eq. (8.2) to (8.4)]

    Args:
        job: basis and the kind that carries.
        girder: members, joints, ply thickness.
        asked: demands of all zones; only those with every face loaded alike are read.
        fasteners: columns of all fasteners.

    Returns:
        Checks with ids such as "L1-3.split.ply2.PV"; none where the fasteners reach the far edge,
        nor where none crosses (that is a failed check of its own).
    """
    index = transfer_fasteners(fasteners, job.fastening.transfer_by)
    found = []
    for demand in asked:
        if demand.id == f"{demand.zone.id}.{demand.combination.code}":
            found.append(_check(job, girder, demand, fasteners, index))
    return tuple(check for check in found if check is not None)


def _lowest(
    member: Member, demand: Demand, columns: FastenerColumns, index: np.ndarray
) -> tuple[int, float] | None:
    """The receiving ply whose fasteners reach least far from its loaded edge, and h_e, mm."""
    zone = demand.zone
    inside = (columns.member[index] == zone.chord) & (columns.station[index] >= zone.start)
    here = index[inside & (columns.station[index] <= zone.end)]
    low = np.minimum(columns.from_ply[here], columns.to_ply[here])
    high = np.maximum(columns.from_ply[here], columns.to_ply[here])
    height = columns.offset[here] * upward(member) * (1.0 if demand.P > 0 else -1.0)
    plies = []
    for ply, into in enumerate(demand.entering, 1):
        mine = (low <= ply) & (ply <= high)
        if into == 0.0 and mine.any():
            plies.append((member.depth / 2 + float(height[mine].max()), ply))
    if not plies:
        return None
    h_e, ply = min(plies)
    return ply, h_e


def _check(
    job: Job, girder: Girder, demand: Demand, columns: FastenerColumns, index: np.ndarray
) -> Check | None:
    member = girder.member(demand.zone.chord)
    lowest = _lowest(member, demand, columns, index)
    if lowest is None or not demand.P:
        return None
    ply, h_e = lowest
    h = member.depth
    if h_e >= FULL * h:
        return None
    share = abs(demand.P) / girder.plies * abs(cos(member.angle))
    return split_check(
        job,
        girder,
        Split(
            id=f"{demand.zone.id}.split.ply{ply}.{demand.combination.code}",
            about=demand.zone.id,
            ply=ply,
            subject=phrase(
                "check.split_receiving",
                zone=demand.zone.id,
                chord=demand.zone.chord,
                ply=ply,
                combination=demand.text,
            ),
            mode=phrase("check.split_held"),
            force=abs(share),
            side=larger_side(girder, member, demand.zone.station),
            h=h,
            h_e=h_e,
            combination=demand.combination,
            to_end=to_end(member, demand.zone.station),
            enters=phrase(
                "worked.split_received",
                ply=ply,
                load=f"{abs(demand.P):.0f}",
                plies=girder.plies,
                force=f"{abs(share):.0f}",
            ),
            reaches=phrase("worked.farthest_fastener"),
        ),
    )


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
