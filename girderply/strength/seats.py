"""Every ply on its bearing: compression across the grain under its own, unequal reaction.

The plies and their bearings are the truss designer's, who may have plates or blocks there that a
job does not tell: what does not fit is a warning to him, not a verdict on the fastening.
"""

from __future__ import annotations

import numpy as np

from girderply.bases.answers import Seat
from girderply.bases.registry import basis_of
from girderply.catalogue.timbers_known import timber
from girderply.errors import CatalogueError, Finding, Severity
from girderply.jobfile.job import Job
from girderply.model.girder import Girder
from girderply.strength.check_record import Check
from girderply.strength.in_force import plain
from girderply.strength.load_shares import state_words
from girderply.strength.sharing.ply_forces import PlyForces
from girderply.units.show import Show
from girderply.wording import Later, said


def seat_checks(
    job: Job, girder: Girder, found: PlyForces
) -> tuple[tuple[Check, ...], tuple[Finding, ...]]:
    """One check per bearing and combination, for the ply that is pressed most.

    [EN 1995-1-1:2004+A2:2014, 6.1.5; NDS 2018, 3.10.2] From the hung loads of the job alone: what
    else the plies carry comes on top, and is the truss designer's.

    Args:
        job: basis, moisture.
        girder: bearings, chords, ply thickness.
        found: reactions of every ply in every state.

    Returns:
        Records with ids such as "B1.seat.PV", of several cases of a combination the hardest; and a
        note where the basis has no figure for the timber.
    """
    hardest: dict[str, Check] = {}
    for b in range(len(girder.bearings)):
        for c in range(len(found.cases)):
            try:
                check = _check(job, girder, found, b, c)
            except CatalogueError as fault:
                text = said("finding.no_seat", fault=str(fault))
                return (), (Finding("seat-not-checked", Severity.NOTE, "girder.timber", text),)
            if check and (
                check.id not in hardest or check.utilisation > hardest[check.id].utilisation
            ):
                hardest[check.id] = check
    return tuple(hardest.values()), ()


def seat_findings(job: Job, seats: tuple[Check, ...]) -> tuple[Finding, ...]:
    """A warning for every bearing where a ply is pressed more than its timber takes."""
    show = Show(job.info.units)
    worst: dict[str, Check] = {}
    for seat in seats:
        known = worst.get(seat.about)
        if not seat.ok and (known is None or seat.utilisation > known.utilisation):
            worst[seat.about] = seat
    return tuple(
        Finding(
            "seat-pressed",
            Severity.WARNING,
            seat.id,
            said(
                "finding.seat_pressed",
                subject=seat.subject,
                demand=show.force(seat.demand),
                resistance=show.force(seat.resistance),
            ),
            seat.clause,
            said("finding.seat_tip"),
        )
        for seat in worst.values()
    )


def _check(job: Job, girder: Girder, found: PlyForces, b: int, c: int) -> Check | None:
    most = found.reactions[:, c, :, b]
    state, ply = np.unravel_index(int(np.argmax(np.round(most, 6))), most.shape)
    reaction = float(most[state, ply])
    if reaction <= 0.0:
        return None  # nothing presses: it is lifted
    case, bearing = found.cases[c], girder.bearings[b]
    node = int(found.mesh.bearings[b])
    member = girder.members[int(found.mesh.member[node])]
    s, half = float(found.mesh.station[node]), bearing.width / 2
    low, high = max(s - half, 0.0), min(s + half, member.length)
    basis = basis_of(job.basis)
    resisted = basis.seat(
        job.basis,
        Seat(
            b=girder.ply_thickness,
            length=max(high - low, 0.0),
            to_ends=(low, member.length - high),
            depth=member.depth,
            timber=timber(girder.timber_of(member)),
            combination=case.combination,
            moisture=job.girder.moisture,
        ),
    )
    equal, show = float(most[state].mean()), Show(job.info.units)
    return Check(
        id=f"B{b + 1}.seat.{case.combination.code}",
        about=f"B{b + 1}",
        ply=int(ply) + 1,
        subject=said("check.seat", bearing=b + 1, ply=int(ply) + 1, combination=case.text),
        demand=reaction,
        resistance=resisted.value,
        unit="N",
        clause=resisted.clause,
        mode=resisted.mode,
        inputs=resisted.inputs,
        steps=Later(lambda: [
            said(
                "worked.seat_reaction", ply=int(ply) + 1, reaction=plain(show, reaction),
                equal=plain(show, equal), unit="lbf" if show.imperial else "N",
                state=state_words(found.states[state].bolts, found.states[state].age),
            ),
            *resisted.steps,
        ]),
    )  # fmt: skip
