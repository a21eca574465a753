"""From a job to the one result object."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from girderply import catalogue
from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job
from girderply.jobfile.logo import read_logo
from girderply.layout.brief import Brief
from girderply.model.build_girder import build_girder
from girderply.model.girder import Girder
from girderply.model.mass import ply_mass
from girderply.schedule.advice import advice
from girderply.schedule.assumed import ledger, ledger_findings
from girderply.schedule.bent import with_bends
from girderply.schedule.brackets import bracket_marks
from girderply.schedule.case_list import changed_findings
from girderply.schedule.contract import content_hash
from girderply.schedule.design import Designed
from girderply.schedule.designer import designer_findings, sign_findings
from girderply.schedule.finish import finish_findings, finishes, with_finish
from girderply.schedule.halves import halves_findings
from girderply.schedule.look_up import looked_up, make_brief, refuse_unknown_members
from girderply.schedule.order import masses, order_list
from girderply.schedule.plausible import plausible_findings
from girderply.schedule.plies import PlyResults, with_computed, with_fixings
from girderply.schedule.reachable import reach_faults
from girderply.schedule.shared import PENDING, solved
from girderply.schedule.slips import slip_findings
from girderply.schedule.solutions import Solutions, bare
from girderply.schedule.suited import suited
from girderply.schedule.sums import sums_of
from girderply.schedule.telling import mark_transfer, told
from girderply.schedule.types import Schedule
from girderply.schedule.unusual import unusual_findings
from girderply.strength.fixings import with_reach
from girderply.strength.net_section import net_section_notes
from girderply.strength.receiving import unchecked_notes
from girderply.strength.standing import standing_findings
from girderply.strength.twist import twist_findings, twist_of
from girderply.wording import said

_RANK = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}


def build_schedule(job: Job, *, springs: bool = True, known: Solutions | None = None) -> Schedule:
    """Decide everything about one girder.

    Args:
        job: a job that has been read and checked.
        springs: False leaves the shares of the plies out, for a first look: an error among the
            findings says so, so that the schedule counts as failed whatever else holds.
        known: earlier layouts, used again where only the papers of the job are others.

    Returns:
        The schedule; failed checks and findings are in it.

    Raises:
        JobError: the girder cannot be built, or names something that is not known.
    """
    girder, found = build_girder(bare(job))
    refuse_unknown_members(job, girder)
    return decided(job, girder, found, springs=springs, known=known)


def decided(
    job: Job,
    girder: Girder,
    found: Sequence[Finding],
    assembled: Callable[[Brief], Brief] = lambda brief: brief,
    *,
    springs: bool = True,
    known: Solutions | None = None,
) -> Schedule:
    """Decide everything about a girder that is built.

    Args:
        job: that describes it.
        girder: as it is built.
        found: on the way.
        assembled: changes how its plies are put together.
        springs: False leaves the shares of the plies out, and an error says so.
        known: earlier layouts of this girder.
    """
    girder, reach_findings = with_reach(bare(job), girder)
    brief, taken = suited(assembled(make_brief(job, girder)))
    # all else that can be unknown was looked up for the brief
    of_bare = replace(brief, job=bare(brief.job))
    designed, plies, unmet = looked_up(
        "girder.timber", lambda: solved(of_bare, springs=springs, known=known)
    )
    designed = with_computed(designed, plies.found)
    designed, fixing_notes = with_fixings(brief, designed)
    findings = [*unmet, *plies.findings, *taken, *found, *reach_findings, *fixing_notes]
    findings += [*_range_findings(brief), *told(brief, designed)]
    findings += advice(brief, designed)
    findings += reach_faults(brief, designed.layout)
    findings += unchecked_notes(girder)
    findings += twist_findings(job, girder, twist_of(job, girder))
    findings += changed_findings(job)
    findings += _tolerance_findings(brief)
    findings += net_section_notes(job, girder, designed.layout.fasteners)
    schedule = _assemble(brief, designed, plies, findings)
    pending = any(f.code == PENDING for f in plies.findings)
    return schedule if pending else replace(schedule, content_hash=content_hash(schedule))


def _range_findings(brief: Brief) -> list[Finding]:
    """A girder outside what the rule set speaks of."""
    rules, girder, show = brief.rules, brief.girder, brief.show
    low, high = rules.thickness
    if low - 0.5 <= girder.ply_thickness <= high + 0.5:
        return []
    return [
        Finding(
            "thickness-not-covered",
            Severity.WARNING,
            "girder.ply_thickness",
            said(
                "finding.ply_range",
                ply=show.small(girder.ply_thickness),
                rules=rules.name,
                low=show.small(low),
                high=show.small(high),
            ),
            rules.source,
        )
    ]


def _tolerance_findings(brief: Brief) -> list[Finding]:
    """Tolerances wider than usual: the distances between nails and to edges pay for them."""
    show, rules = brief.show, brief.rules
    wide = (
        ("tolerance", rules.tolerance, 10.0),
        ("alignment_tolerance", rules.alignment_tolerance, 5.0),
    )
    return [
        Finding(
            "tolerance-wide",
            Severity.WARNING,
            f"fastening.override.{name}",
            said(f"finding.{name}_wide", value=show.small(value), usual=show.small(usual)),
        )
        for name, value, usual in wide
        if value > usual + 1e-6
    ]


def _assemble(
    brief: Brief, designed: Designed, plies: PlyResults, findings: list[Finding]
) -> Schedule:
    job, girder, layout = brief.job, brief.girder, designed.layout
    assumed, bent = ledger(brief), with_bends(brief, layout)
    findings = [*findings, *bent.findings, *ledger_findings(job, assumed)]
    order = order_list(layout.fasteners, layout.nails, layout.bolts, job.fastening.order_allowance)
    finished = finishes(job, layout)
    findings += finish_findings(finished)
    timber = catalogue.timber(girder.timber)
    schedule = Schedule(
        job=job,
        girder=girder,
        rules=brief.rules,
        fasteners=mark_transfer(brief, bent.fasteners),
        stages=bent.stages,
        patterns=layout.patterns,
        brackets=bracket_marks(brief),
        nails=layout.nails,
        bolts=layout.bolts,
        order=with_finish(order, finished),
        masses=masses(ply_mass(girder, timber.rho_mean), girder.plies, order),
        checks=tuple(sorted(designed.checks, key=lambda c: c.ok)),
        findings=tuple(sorted(findings, key=lambda f: _RANK[f.severity])),
        strengthened=designed.strengthened,
        assumed=assumed,
        shares=plies.shares,
        load_shares=designed.shares,
        twist=twist_of(job, girder),
        forces=plies.forces,
        reactions=plies.reactions,
        seats=plies.seats,
        runs=layout.runs,
        logo=read_logo(job.folder, job.info.logo) if job.info.logo else None,
    )
    return _looked_over(schedule)


def _looked_over(schedule: Schedule) -> Schedule:
    """The schedule with its sums, and with what a person would ask about its input."""
    sums = sums_of(schedule.job, schedule.girder, schedule.masses.total)
    asked = [
        *standing_findings(schedule.girder),
        *plausible_findings(schedule, sums),
        *slip_findings(schedule.job, schedule.girder),
        *unusual_findings(schedule.job, schedule.girder),
        *halves_findings(schedule.job, schedule.girder),
        *designer_findings(schedule, sums),
        *sign_findings(schedule),
    ]
    findings = sorted([*asked, *schedule.findings], key=lambda f: _RANK[f.severity])
    return replace(schedule, sums=sums, findings=tuple(findings))
