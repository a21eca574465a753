"""Twist: loads on one face more than on the other turn the girder about its long axis.

Nothing between the plies resists that; bracing or ties of the building must hold the chords, one
against the other, by a couple. No fastener of this girder is counted on for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job, Role
from girderply.model.girder import Girder, HungLoad
from girderply.strength.load_sets import LoadCase, load_cases
from girderply.units.show import Show
from girderply.wording import Words, said

NOTHING = 1e-3  # of the moment that all loads on one face would make: the faces are equal


@dataclass(frozen=True, slots=True)
class Twist:
    """The largest moment about the long axis over all combinations.

    Attributes:
        combination: id; text: in words.
        moment: N mm, positive where the front face goes down.
        lever: distance of the chords' centrelines where they are farthest apart, mm.
        couple: moment over lever, N: against each chord, if all of it is held there.
    """

    combination: str
    text: Words
    moment: float
    lever: float
    couple: float


def twist_of(job: Job, girder: Girder) -> Twist | None:
    """The largest twist, or None where the faces are always loaded alike.

    A load is taken to hang at the face itself; a bracket that holds it farther out turns more.

    Args:
        job: basis.
        girder: loads, plies, chords.
    """
    cases = load_cases(job.basis, girder)
    found = [(abs(moment(girder, case)), -i) for i, case in enumerate(cases)]
    if not found:
        return None
    _, last = max((round(m, 3), i) for m, i in found)
    case = cases[-last]
    own, lever = moment(girder, case), lever_of(girder)
    whole = sum(abs(v) for v in case.values) * girder.stack / 2
    if abs(own) <= NOTHING * whole or lever <= 0.0:
        return None
    return Twist(case.id, case.text, own, lever, abs(own) / lever)


def moment(girder: Girder, case: LoadCase) -> float:
    """About the long axis, N mm, positive where the front face goes down."""
    return sum(_side(x) * v for x, v in zip(girder.loads, case.values, strict=True)) * (
        girder.stack / 2
    )


def _side(load: HungLoad) -> float:
    return {"front": 1.0, "back": -1.0}.get(str(load.face), 0.0)


def lever_of(girder: Girder) -> float:
    """Greatest vertical distance between the centrelines of top and bottom chords, mm."""
    top = [m for m in girder.members if m.role is Role.TOP_CHORD]
    low = [m for m in girder.members if m.role is Role.BOTTOM_CHORD]
    ends = [p for m in (*top, *low) for p in (m.hook, m.far)]
    lines = []
    for chords, pick in ((top, np.fmax), (low, np.fmin)):
        at = np.full(len(ends), np.nan)
        for m in chords:
            (x0, y0), (x1, y1) = sorted((m.hook, m.far))
            xs = np.array([p[0] for p in ends])
            inside = (x0 - 1e-6 <= xs) & (xs <= x1 + 1e-6) & (x1 > x0)
            y = y0 + (xs - x0) * (y1 - y0) / max(x1 - x0, 1e-9)
            at = np.where(inside, pick(at, y), at)
        lines.append(at)
    apart = lines[0] - lines[1]
    return float(np.nanmax(apart)) if np.isfinite(apart).any() else 0.0


def twist_findings(job: Job, girder: Girder, twist: Twist | None) -> tuple[Finding, ...]:
    """What the building must hold, in words, for every girder with unequal faces."""
    if twist is None:
        return ()
    show = Show(job.info.units)
    text = said(
        "finding.twist",
        arm=show.small(girder.stack / 2),
        moment=show.force(abs(twist.moment) / 1000.0),
        metre=show.span(1000.0),
        couple=show.force(twist.couple),
        lever=show.span(twist.lever),
        combination=twist.text,
    )
    tip = said("finding.twist_tip")
    return (Finding("twist", Severity.WARNING, "girder", text, tip=tip),)
