"""A layout designed to the shares: more fasteners near the loads until the plies share as asked."""

from __future__ import annotations

from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.schedule.design import Designed, design
from girderply.schedule.plies import PlyResults, ply_results
from girderply.strength.sharing.shares import factor
from girderply.wording import phrase

SPARES = (1.5, 2.2, 3.3, 5.0)  # times the loads that the transfer is designed for, tried in turn


def designed_to_shares(brief: Brief) -> tuple[Designed, PlyResults, tuple[Finding, ...]]:
    """Lay out a girder; where the job limits the shares, strengthen it until they are met.

    Fasteners are added where the loads hang, which brings the plies together most. Of layouts that
    do not meet the limit the nearest is kept, and an error says how near it came.

    Args:
        brief: girder and rules.
    """
    designed = design(brief)
    plies = ply_results(brief, designed.layout)
    limit = brief.job.fastening.share_limit
    if limit is None or not _over(plies):
        return designed, plies, ()
    first = _most(plies)
    for spare in SPARES if brief.job.fastening.design_to_load else ():
        trial = design(brief, spare=spare)
        found = ply_results(brief, trial.layout)
        if _most(found) < _most(plies) and _held(trial) >= _held(designed):
            designed, plies = trial, found
        if not _over(plies):
            return designed, plies, ()
    text = phrase(
        "finding.share_limit",
        asked=factor(1.0 + limit),
        reached=factor(_most(plies)),
        first=factor(first),
        spare=f"{SPARES[-1]:g}",
    )
    tip = phrase("finding.share_limit_tip")
    found_ = Finding("share-limit", Severity.ERROR, "fastening.share_limit", text, tip=tip)
    return designed, plies, (found_,)


def _most(plies: PlyResults) -> float:
    """The largest share at a bearing; 1 where nothing is known."""
    shares = plies.shares.at_bearings if plies.shares else ()
    return shares[0].share if shares else 1.0


def _over(plies: PlyResults) -> bool:
    return plies.shares is not None and bool(plies.shares.over(plies.shares.at_bearings))


def _held(designed: Designed) -> bool:
    """Whether the transfer holds: shares are never bought with a failed check."""
    return all(c.ok for c in designed.checks if c.interface)
