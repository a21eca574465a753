"""Combinations by EN 1990, and the factor that goes with their duration."""

from __future__ import annotations

from collections.abc import Iterable

from girderply.bases.actions import Combination, terms_of
from girderply.bases.spec import BasisSpec
from girderply.standards.en1995_1_1_2014.basis import DURATIONS, k_mod

CLAUSE = "EN 1990:2002, 6.4.3.2, Eq. (6.10)"


def combination(spec: BasisSpec, code: str) -> Combination:
    """One combination of the short way.

    [EN 1990:2002, 6.4.3.2, Eq. (6.10)], from memory. A given design value goes with the duration
    of the variable load; where loads with parts hang beside it, it counts in "permanent and
    variable".
    """
    g, q = spec.number("gamma_permanent"), spec.number("gamma_variable")
    helps = spec.number("gamma_permanent_favourable")
    always, sometimes, up = (
        spec.permanent_duration,
        spec.variable_duration,
        spec.uplift_duration,
    )
    factors, durations = {
        "P": ((g, 0.0, 0.0, 0.0), (always,)),
        "PV": ((g, q, 0.0, 1.0), (always, sometimes)),
        "U": ((helps, 0.0, -q, 0.0), (always, up)),
        "D": ((0.0, 0.0, 0.0, 1.0), (sometimes,)),
    }[code]
    duration, modification = shortest(spec, durations)
    return Combination(code, terms_of(*factors), duration, modification, CLAUSE)


def shortest(spec: BasisSpec, durations: Iterable[str]) -> tuple[str, float]:
    """The shortest duration class and its k_mod [EN 1995-1-1:2004+A2:2014, 3.1.3(2)]."""
    best = max(durations, key=DURATIONS.index)
    return best, k_mod(int(spec.number("service_class")), best)
