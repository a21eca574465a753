"""What there is to say about bolts, washers and holes, whatever they carry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from girderply.catalogue.types import BoltChoice
from girderply.errors import Finding, Severity
from girderply.layout.bolt_board import BoltSpot
from girderply.layout.brief import Brief
from girderply.standards.en1995_1_1_2014.bolting import (
    hole_max_bolt,
    washer_outer_min,
    washer_thickness_min,
)
from girderply.wording import phrase
from girderply.wording.words import spec_words

EN_WASHER = "EN 1995-1-1:2004+A2:2014, 10.4.3"
NDS_HOLE = "NDS 2018, 12.1.3.2"
NDS_OVER = (25.4 / 32, 25.4 / 16)  # mm: how much larger than the bolt its hole is


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
    if brief.standard.startswith("NDS"):
        return []
    bolt, washer, show = choice.bolt, choice.washer, brief.show
    faults: list[tuple[str, float, float]] = []
    if washer.outer < washer_outer_min(bolt.d) - 1e-6:
        faults.append(("wide", washer.outer, washer_outer_min(bolt.d)))
    if washer.thickness < washer_thickness_min(bolt.d) - 1e-6:
        faults.append(("thick", washer.thickness, washer_thickness_min(bolt.d)))
    return [
        Finding(
            "washer-too-small",
            Severity.ERROR,
            "fastening.washer",
            phrase(
                f"finding.washer_{name}",
                washer=washer.key,
                bolt=bolt.key,
                size=show.small(size),
                least=show.small(least),
            ),
            EN_WASHER,
            phrase("finding.larger_washer"),
        )
        for name, size, least in faults
    ]


def _hole(brief: Brief, choice: BoltChoice, hole: float) -> list[Finding]:
    d, show = choice.bolt.d, brief.show
    if brief.standard.startswith("NDS"):
        low, high, clause = d + NDS_OVER[0], d + NDS_OVER[1], NDS_HOLE
    else:
        low, high, clause = d, hole_max_bolt(d), EN_WASHER
    if low - 0.05 <= hole <= high + 0.05:
        return []
    return [
        Finding(
            "hole-out-of-range",
            Severity.ERROR,
            "fastening.overrides.hole",
            phrase(
                "finding.hole",
                hole=show.diameter(hole),
                bolt=choice.bolt.key,
                low=show.diameter(low),
                high=show.diameter(high),
            ),
            clause,
        )
    ]


def _rod(brief: Brief, choice: BoltChoice) -> Finding:
    show = brief.show
    return Finding(
        "threaded-rod",
        Severity.NOTE,
        spec_words(choice.spec),
        phrase(
            "finding.rod",
            grip=show.small(choice.grip),
            needed=show.small(choice.needed),
            length=show.small(choice.length),
            note=choice.note,
        ),
    )
