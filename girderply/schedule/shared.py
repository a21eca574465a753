"""A layout designed to the shares: more fasteners near the loads until the plies share as asked."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.layout.brief import Brief
from girderply.schedule.design import Designed, design
from girderply.schedule.plies import PlyResults, loaded, ply_results
from girderply.schedule.solutions import Solution, Solutions
from girderply.strength.sharing.shares import factor, share_limit
from girderply.wording import numeral, said

PENDING: Final = "springs-pending"
SPARES = (1.5, 2.2, 3.3, 5.0)  # times the loads that the transfer is designed for, tried in turn


def solved(brief: Brief, *, springs: bool, known: Solutions | None) -> Solution:
    """The layout of a girder, the shares of its plies, and what could not be met.

    Args:
        brief: with the bare job.
        springs: False leaves the shares for later, and an error says so; not where they are known
            already, or where nothing hangs.
        known: solutions of this girder, to take from and to add to.
    """
    whole = springs or not any(map(loaded, brief.girder.loads))

    def make() -> Solution:
        return designed_to_shares(brief) if whole else designed_without_shares(brief)

    return make() if known is None else known.of(brief, make, whole=whole)


def designed_without_shares(brief: Brief) -> Solution:
    """A first layout by equal shares, whatever the job asks for, and an error that says so.

    Args:
        brief: girder and rules.
    """
    fastening = replace(brief.job.fastening, design_by="equal shares")
    equal = replace(brief, job=replace(brief.job, fastening=fastening))
    moves = laid_out_by_shares(brief.job)
    text = said("finding.springs_pending_layout" if moves else "finding.springs_pending")
    pending = Finding(PENDING, Severity.ERROR, "", text)
    return design(equal), PlyResults(findings=(pending,)), ()


def laid_out_by_shares(job: Job) -> bool:
    """Whether the shares of the plies may move or add fasteners, or let fewer do."""
    asked = job.fastening
    limited = asked.share_limit is not None and asked.design_to_load
    return asked.by_computed or limited


def designed_to_shares(brief: Brief) -> Solution:
    """Lay out a girder; where the job limits the shares, strengthen it until they are met.

    Fasteners are added where the loads hang, which brings the plies together most. Of layouts that
    do not meet the limit the nearest is kept, and an error says how near it came. A transfer that
    is designed by computed shares always has a limit: fasteners that pass less leave more in the
    ply that is loaded, so that without one every layout, and none at all, would carry its loads.
    Where the job gives none, the usual one holds and an error says what there is to agree upon.

    Args:
        brief: girder and rules.
    """
    designed = design(brief)
    plies = ply_results(brief, designed)
    limit = brief.job.fastening.share_limit
    if limit is None:
        return designed, plies, (*_not_agreed(brief, plies), *_by_computed(brief, plies))
    if not plies.beyond:
        return designed, plies, tuple(_by_computed(brief, plies))
    first = _most(plies)
    for spare in SPARES if brief.job.fastening.design_to_load else ():
        trial = design(brief, spare=spare)
        found = ply_results(brief, trial)
        if _most(found) < _most(plies) and _held(trial) >= _held(designed):
            designed, plies = trial, found
        if not plies.beyond:
            return designed, plies, tuple(_by_computed(brief, plies))
    text = said(
        "finding.share_limit",
        asked=factor(1.0 + limit),
        reached=factor(_most(plies)),
        first=factor(first),
        spare=f"{SPARES[-1]:g}",
    )
    tip = said("finding.share_limit_tip")
    found_ = Finding("share-limit", Severity.ERROR, "fastening.share_limit", text, tip=tip)
    return designed, plies, (found_, *_by_computed(brief, plies))


def _not_agreed(brief: Brief, plies: PlyResults) -> Iterator[Finding]:
    """A share that the transfer leans on, and that nobody has said the ply is made for."""
    limit = share_limit(brief.job.fastening)
    if limit is None or not plies.beyond:
        return
    most = plies.shares.at_bearings[0] if plies.shares else None
    if most is not None:
        asked = numeral(math.ceil((most.share - 1.0) * 100 - 1e-7) / 100, ".2f")
        text = said(
            "finding.share_not_agreed",
            ply=most.ply, share=factor(most.share), limit=factor(1.0 + limit),
        )  # fmt: skip
        tip = said("finding.share_not_agreed_tip", asked=asked)
        yield Finding("share-limit", Severity.ERROR, "fastening.share_limit", text, tip=tip)


def _by_computed(brief: Brief, plies: PlyResults) -> Iterator[Finding]:
    """That the transfer leans on what the plies keep: to be told in front."""
    if brief.job.fastening.by_computed and plies.shares is not None:
        most = plies.shares.at_bearings
        text = said(
            "finding.by_computed",
            limit=factor(1.0 + plies.shares.limit),
            most=factor(most[0].share if most else 1.0),
        )
        tip = said("finding.by_computed_tip")
        yield Finding("by-computed-shares", Severity.WARNING, "fastening.design_by", text, tip=tip)


def _most(plies: PlyResults) -> float:
    """The largest share at a bearing; 1 where nothing is known."""
    shares = plies.shares.at_bearings if plies.shares else ()
    return shares[0].share if shares else 1.0


def _held(designed: Designed) -> bool:
    """Whether the transfer holds: shares are never bought with a failed check."""
    return all(c.ok for c in designed.checks if c.interface)
