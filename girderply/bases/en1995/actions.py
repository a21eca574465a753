"""Combinations by EN 1990, and the factor that goes with their duration."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from girderply.bases.cases import Hung, code_of, each_once, patterns, shorter_left_out, terms
from girderply.bases.combining import Combination, short_way, terms_of
from girderply.bases.spec import BasisSpec, Case, Kind
from girderply.standards.en1995_1_1_2014.design_values import DURATIONS, k_mod

CLAUSE = "EN 1990:2002, 6.4.3.2, Eq. (6.10)"
# Combination factors psi_0: the largest that EN 1990:2002, Table A1.1 recommends for the kind (1.0
# storage, 0.7 snow above 1000 m or in the north, 0.6 wind); durations by EN 1995-1-1, Table 2.2,
# where it leaves a choice the longer one; both from memory.
KINDS = (
    Kind("permanent", True, "permanent"),
    Kind("imposed", False, "medium", 1.0),
    Kind("snow", False, "medium", 0.7),
    Kind("wind", False, "short", 0.6),
)


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


def combinations(spec: BasisSpec, loads: Sequence[Hung]) -> tuple[Combination, ...]:
    """Every combination of the short way, or of the load cases.

    [EN 1990:2002, 6.4.3.2, Eq. (6.10)]: permanent actions with their larger or smaller factor, one
    variable action leading, others that hurt at the same time with their combination factors.
    """
    if spec.cases:
        return each_once(_of_cases(spec, loads))
    return short_way(loads, lambda code: combination(spec, code))


def _of_cases(spec: BasisSpec, loads: Sequence[Hung]) -> Iterator[Combination]:
    heavy, light = spec.number("gamma_permanent"), spec.number("gamma_permanent_favourable")
    for pattern in patterns(spec.cases, loads):
        for helps in (False, True):
            if not (pattern.light if helps else pattern.heavy):
                continue
            always = [(c, light if helps else heavy) for c in pattern.permanent]
            if always and not helps:
                yield _made(spec, always, [], helps=False)
            for together in pattern.together():
                for acting in shorter_left_out(together, DURATIONS):
                    for leader in acting:
                        yield _made(spec, always, _led(spec, leader, acting), helps=helps)


def _led(spec: BasisSpec, leader: Case, acting: tuple[Case, ...]) -> list[tuple[Case, float]]:
    """Variable cases with their factors, the leading one first."""
    q = spec.number("gamma_variable")
    rest = [(c, q * c.factor) for c in acting if c is not leader and c.factor]
    return [(leader, q), *rest]


def _made(
    spec: BasisSpec,
    always: list[tuple[Case, float]],
    variable: list[tuple[Case, float]],
    *,
    helps: bool,
) -> Combination:
    both = [*always, *variable]
    duration, modification = shortest(spec, [c.duration for c, _ in both])
    code = code_of([c for c, _ in always], [c for c, _ in variable], helps=helps)
    return Combination(code, terms(both), duration, modification, CLAUSE)
