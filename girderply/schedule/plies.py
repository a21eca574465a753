"""What the springs say about every ply, for the schedule: shares, forces, reactions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.layout.brief import Brief
from girderply.schedule.design import Designed
from girderply.strength.check_record import Check
from girderply.strength.fixings import fixing_checks
from girderply.strength.load_shares import LoadShares
from girderply.strength.seats import seat_checks, seat_findings
from girderply.strength.sharing import FrameError
from girderply.strength.sharing.member_forces import (
    MemberForces,
    Reaction,
    member_forces,
    reactions,
)
from girderply.strength.sharing.newton import NotSettledError
from girderply.strength.sharing.ply_forces import PlyForces, ply_forces
from girderply.strength.sharing.shares import (
    LIMIT,
    PlyShare,
    Shares,
    share_findings,
    share_limit,
    shares_of,
)
from girderply.strength.twist import Twist
from girderply.wording import said

Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlyResults:
    """What is told of the plies; empty where nothing hangs or nothing can be computed.

    Attributes:
        found: the solution it was read from, or None.
        findings: what the truss designer must know, or why there is no answer.
    """

    found: PlyForces | None = None
    shares: Shares | None = None
    forces: tuple[MemberForces, ...] = ()
    reactions: tuple[Reaction, ...] = ()
    seats: tuple[Check, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def beyond(self) -> bool:
        """A ply takes more at a bearing than the limit of the shares."""
        return self.shares is not None and bool(self.shares.over(self.shares.at_bearings))


def ply_results(brief: Brief, designed: Designed) -> PlyResults:
    """Solve the plies on the springs of a finished layout.

    Args:
        brief: job and girder.
        designed: its layout, and the solution where it was needed for the design.
    """
    layout = designed.layout
    job, girder = brief.job, brief.girder
    if not any(map(loaded, girder.loads)):
        return PlyResults()
    try:
        parts = (layout.fasteners, layout.nails, layout.bolts)
        found = designed.found or ply_forces(job, girder, *parts)
    except FrameError as fault:
        return PlyResults(findings=(fault.finding, *_unknown(job)))
    except NotSettledError:
        text = said("sharing.unsettled")
        unsettled = Finding("sharing-unsettled", Severity.WARNING, "fasteners", text)
        return PlyResults(findings=(unsettled, *_unknown(job)))
    asked = share_limit(job.fastening)
    shares = shares_of(found, girder, LIMIT if asked is None else asked)
    seats, notes = seat_checks(job, girder, found)
    return PlyResults(
        found, shares, member_forces(found, girder), reactions(found, girder), seats,
        (*share_findings(shares), *seat_findings(job, seats), *notes),
    )  # fmt: skip


def _unknown(job: Job) -> Iterator[Finding]:
    """An error where the transfer should be designed by shares that cannot be computed."""
    if job.fastening.by_computed:
        text = said("finding.shares_unknown")
        yield Finding("shares-unknown", Severity.ERROR, "fastening.design_by", text)


def with_computed(designed: Designed, found: PlyForces | None) -> Designed:
    """The design with the checks of the plies beside what hangs on them.

    Args:
        designed: its checks are of what passes between plies.
        found: what the springs say: computed shares count where they are more than equal ones; or
            None.
    """
    across = designed.checker.across(designed.layout.fasteners, found)
    return replace(designed, checks=(*(c for c in designed.checks if c.interface), *across))


def with_fixings(brief: Brief, designed: Designed) -> tuple[Designed, tuple[Finding, ...]]:
    """The design with the checks of the brackets' own fixings, and what could not be checked."""
    f = designed.layout.fasteners
    own = f.bolted & (f.purpose == "assembly") & (f.load != "")
    bolts = {
        str(load): designed.layout.bolts[str(spec)]
        for load, spec in zip(f.load[own], f.spec[own], strict=True)
    }
    checks, notes = fixing_checks(brief.job, brief.girder, bolts)
    return replace(designed, checks=(*designed.checks, *checks)), notes


def loaded(load: Any) -> bool:
    """Whether a hung load has any part at all."""
    return any((load.permanent, load.variable, load.uplift, load.design))


def shares_part(shares: Shares | None, kept: Sequence[LoadShares]) -> Plain | None:
    """For the contract: the worst share of every ply, the largest first; by load where it counts.

    Args:
        shares: worst of every ply.
        kept: what every ply keeps of every load, where the transfer is designed by it.
    """
    if shares is None:
        return None
    by_load = [
        {
            "state": f"{one.bolts}, {one.age}",
            "combinations": list(one.cases),
            "kept": {load: list(parts) for load, parts in one.kept.items()},
        }
        for one in kept
    ]
    return {
        "limit": shares.limit,
        "worst": [_share(s) for s in shares.worst],
        "by_load": by_load,
    }


def _share(share: PlyShare) -> Plain:
    return {
        "ply": share.ply,
        "bearing": share.bearing or None,
        "member": share.member or None,
        "combination": share.combination,
        "share": share.share,
        "state": f"{share.state.bolts}, {share.state.age}",
        "text": share.text,
    }


def twist_part(twist: Twist | None) -> Plain | None:
    """For the contract: moment about the long axis, N mm, and the couple on the chords, N."""
    if twist is None:
        return None
    return {
        "combination": twist.combination,
        "moment_Nmm": twist.moment,
        "lever_mm": twist.lever,
        "couple_N": twist.couple,
        "text": twist.text,
    }


def force_part(force: MemberForces) -> Plain:
    """For the contract: one member of one ply in one combination; N, and N mm for moments."""
    return {
        "member": force.member,
        "ply": force.ply,
        "combination": force.combination,
        "N": force.N,
        "V": force.V,
        "M": force.M,
        "equal": dict(zip("NVM", map(float, force.equal), strict=True)),
    }


def reaction_part(reaction: Reaction) -> Plain:
    """For the contract: one ply on one bearing in one combination, N, upward positive."""
    return {
        "bearing": reaction.bearing,
        "x_mm": reaction.x,
        "ply": reaction.ply,
        "combination": reaction.combination,
        "most": reaction.most,
        "least": reaction.least,
        "equal": reaction.equal,
    }
