"""The spring model of one girder, asked in the ways that the sharing page shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from girderply.schedule.types import Schedule

if TYPE_CHECKING:
    from girderply.strength.sharing import SharingReport


@dataclass(frozen=True, slots=True)
class SharingReports:
    """The same girder under the same load, thought of in several ways.

    Attributes:
        tight: ultimate state, bolts tight in their holes.
        gap: the same with the clearance of bolts, or None where no bolt has any.
        service: loads without factors, bolts tight.
    """

    tight: SharingReport
    gap: SharingReport | None
    service: SharingReport


def sharing_reports(schedule: Schedule) -> SharingReports:
    """Put the equal share to the test: bolts tight, with clearance, and in service."""
    from girderply.strength.sharing import sharing_of

    return SharingReports(
        sharing_of(schedule),
        sharing_of(schedule, bolt_slip="gap") if has_clearance(schedule) else None,
        sharing_of(schedule, state="serviceability", raise_load=False),
    )


def has_clearance(schedule: Schedule) -> bool:
    """Whether any bolt stands in a hole wider than its shank."""
    f = schedule.fasteners
    bolted = f.bolted
    pairs = set(zip(f.spec[bolted].tolist(), f.drilled[bolted].tolist(), strict=True))
    known = schedule.bolts
    return any(spec in known and hole > known[spec].bolt.d + 1e-6 for spec, hole in pairs)
