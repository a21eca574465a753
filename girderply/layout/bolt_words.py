"""What there is to say about bolts, washers and holes, whatever they carry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from girderply.catalogue.catalogue_types import BoltChoice
from girderply.errors import Finding, Severity
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.brief import Brief
from girderply.wording import said
from girderply.wording.words import spec_words


def bolt_findings(
    brief: Brief, spots: Sequence[BoltSpot], choices: Mapping[tuple[str, str], BoltChoice]
) -> list[Finding]:
    """Washers and holes that the standard does not allow, and rods instead of bolts."""
    found: list[Finding] = []
    for key in sorted(choices):
        holes = sorted({s.hole for s in spots if s.choice == key})
        found += _washer(brief, choices[key])
        for hole in holes:
            found += _hole(brief, choices[key], hole)
        if choices[key].threaded_rod:
            found.append(_rod(brief, choices[key]))
    return found


def _washer(brief: Brief, choice: BoltChoice) -> list[Finding]:
    bolt, washer, show = choice.bolt, choice.washer, brief.show
    least = brief.basis.washers(bolt)
    sizes = (
        ("wide", washer.outer, least.outer),
        ("thick", washer.thickness, least.thickness),
    )
    faults = [row for row in sizes if row[1] < row[2] - 1e-6]
    return [
        Finding(
            "washer-too-small",
            Severity.ERROR,
            "fastening.washer",
            said(
                f"finding.washer_{name}",
                washer=washer.key,
                bolt=bolt.key,
                size=show.small(size),
                least=show.small(asked),
            ),
            least.clause,
            said("finding.larger_washer"),
        )
        for name, size, asked in faults
    ]


def _hole(brief: Brief, choice: BoltChoice, hole: float) -> list[Finding]:
    show = brief.show
    allowed = brief.basis.bolt_hole(choice.bolt)
    if allowed.low - 0.05 <= hole <= allowed.high + 0.05:
        return []
    return [
        Finding(
            "hole-out-of-range",
            Severity.ERROR,
            "fastening.overrides.hole",
            said(
                "finding.hole",
                hole=show.diameter(hole),
                bolt=choice.bolt.key,
                low=show.diameter(allowed.low),
                high=show.diameter(allowed.high),
            ),
            allowed.clause,
        )
    ]


def _rod(brief: Brief, choice: BoltChoice) -> Finding:
    show = brief.show
    return Finding(
        "threaded-rod",
        Severity.NOTE,
        spec_words(choice.spec),
        said(
            "finding.rod",
            grip=show.small(choice.grip),
            needed=show.small(choice.needed),
            length=show.small(choice.length),
            note=choice.note,
        ),
    )
