"""Combinations by allowable stress design, and the factor that goes with their duration."""

from __future__ import annotations

from collections.abc import Iterable

from girderply.bases.actions import Combination, terms_of
from girderply.bases.spec import BasisSpec
from girderply.standards.nds_2018.adjustment import C_D_connection

DURATIONS = ("permanent", "ten years", "two months", "seven days", "ten minutes", "impact")
UPLIFT_PERMANENT = 0.6  # ASCE/SEI 7-16, 2.4.1, combination 7, value from memory
CLAUSE = "NDS 2018, 1.4.4, 2.3.2"


def combination(spec: BasisSpec, code: str) -> Combination:
    """One combination of the short way.

    [NDS 2018, 1.4.4, ASCE/SEI 7-16, 2.4.1], from memory. A given design value goes with the
    duration of the variable load; where loads with parts hang beside it, it counts in "permanent
    and variable".
    """
    always, sometimes, up = (
        spec.permanent_duration,
        spec.variable_duration,
        spec.uplift_duration,
    )
    factors, durations = {
        "P": ((1.0, 0.0, 0.0, 0.0), (always,)),
        "PV": ((1.0, 1.0, 0.0, 1.0), (always, sometimes)),
        "U": ((UPLIFT_PERMANENT, 0.0, -1.0, 0.0), (always, up)),
        "D": ((0.0, 0.0, 0.0, 1.0), (sometimes,)),
    }[code]
    duration, modification = shortest(durations)
    return Combination(code, terms_of(*factors), duration, modification, CLAUSE)


def shortest(durations: Iterable[str]) -> tuple[str, float]:
    """The shortest duration and its C_D, no more than 1.6 in a connection [NDS 2018, 11.3.2]."""
    best = max(durations, key=DURATIONS.index)
    return best, C_D_connection(best)
