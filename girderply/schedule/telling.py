"""What the design has to say in findings, and which fasteners carry which load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.records import Fasteners
from girderply.schedule.design import Designed
from girderply.schedule.types import Strengthening
from girderply.strength.check_record import Check
from girderply.strength.checks import zone_of
from girderply.strength.stack_columns import transfer_fasteners
from girderply.strength.zones import reach_of, zones
from girderply.wording import Said, joined, numeral, said
from girderply.wording.words import kind_words

NAMED = 3  # zones that a finding names one by one


def mark_transfer(brief: Brief, fasteners: Fasteners) -> Fasteners:
    """The fasteners with purpose and load set for those that carry in a load's zone."""
    found = zones(brief.girder, reach_of(brief.job, brief.rules))
    index = transfer_fasteners(fasteners, brief.job.fastening.transfer_by)
    if not found or not len(index):
        return fasteners
    owner = zone_of(fasteners, index, found)
    load = fasteners.load.astype(object)
    purpose = fasteners.purpose.astype(object)
    carrying = index[owner != ""]
    load[index] = np.where(owner != "", owner, load[index])
    purpose[carrying] = "transfer"
    return replace(fasteners, load=load.astype(np.str_), purpose=purpose.astype(np.str_))


def told(brief: Brief, designed: Designed) -> list[Finding]:
    """Findings of the layout and of the design, in the order of the work."""
    failed = [c for c in designed.checks if not c.ok]
    return [
        *designed.layout.findings,
        *_strengthened(brief, designed),
        *(_failed(brief, c) for c in failed),
    ]


def _strengthened(brief: Brief, designed: Designed) -> list[Finding]:
    """One finding per member and stage, with its zones or how many there are."""
    show = brief.show
    found = []
    for (member, stage), zones_ in groupby(
        sorted(designed.strengthened, key=lambda s: (s.member, s.stage, s.start)),
        key=lambda s: (s.member, s.stage),
    ):
        parts = list(zones_)
        values = {
            "member": member,
            "stage": stage,
            "kind": kind_words(parts[0].kind, 2),
            "pieces": _zones(brief, parts),
        }
        usual = show.span(parts[0].usual)
        found.append(
            Finding(
                "zone-strengthened",
                Severity.NOTE,
                member,
                said("finding.more_nails_usual", usual=usual, **values)
                if parts[0].usual
                else said("finding.more_nails", **values),
                brief.basis.name,
            )
        )
    return found


def _zones(brief: Brief, parts: Sequence[Strengthening]) -> Said:
    """Every zone, or what they have in common where they would fill a page."""
    if len(parts) <= NAMED:
        return joined(said("sheet.semicolon"), [_zone(brief, s) for s in parts])
    if parts[0].kind == FastenerKind.BOLT:
        return said("finding.zones_bolts", count=len(parts), bolts=sum(s.count for s in parts))
    least, most = (brief.show.span(f(s.centres for s in parts)) for f in (min, max))
    return said("finding.zones_nails", count=len(parts), least=least, most=most)


def _zone(brief: Brief, s: Strengthening) -> Said:
    show = brief.show
    values = {"start": show.span(s.start), "end": show.span(s.end), "load": s.load}
    force = show.force(s.demand)
    if s.kind == FastenerKind.BOLT:
        return said("finding.zone_bolts", count=s.count, force=force, **values)
    return said("finding.zone_centres", centres=show.span(s.centres), force=force, **values)


def _failed(brief: Brief, check: Check) -> Finding:
    show = brief.show
    inf = check.utilisation == float("inf")
    values = {
        "subject": check.subject,
        "demand": show.force(check.demand),
        "resistance": show.force(check.resistance),
    }
    return Finding(
        "check-failed",
        Severity.ERROR,
        check.id,
        said("finding.failed_nothing", **values)
        if inf
        else said("finding.failed", ratio=numeral(check.utilisation, ".2f"), **values),
        check.clause,
    )
