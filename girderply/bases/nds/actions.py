"""Combinations by allowable stress design, and the factor that goes with their duration."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from girderply.bases.cases import (
    Hung,
    Pattern,
    code_of,
    each_once,
    patterns,
    shorter_left_out,
    terms,
)
from girderply.bases.combining import Combination, short_way, terms_of
from girderply.bases.spec import BasisSpec, Case, Kind
from girderply.standards.nds_2018.adjustment import C_D_connection

DURATIONS = ("permanent", "ten years", "two months", "seven days", "ten minutes", "impact")
UPLIFT_PERMANENT = 0.6  # ASCE/SEI 7-16, 2.4.1, combination 7, value from memory
CLAUSE = "NDS 2018, 1.4.4, 2.3.2"
KINDS = (
    Kind("dead", True, "permanent"),
    Kind("live", False, "ten years"),
    Kind("roof live", False, "seven days"),
    Kind("snow", False, "two months"),
    Kind("rain", False, "two months"),
    Kind("wind", False, "ten minutes"),
)
ROOF = ("roof live", "snow", "rain")  # one of them at a time


@dataclass(frozen=True, slots=True)
class Rule:
    """One combination of 2.4.1: factors on dead, live, roof and wind; wind at strength level."""

    number: int
    dead: float
    live: float = 0.0
    roof: float = 0.0
    wind: float = 0.0

    def factor(self, kind: str) -> float:
        """On a variable kind, no unit."""
        return {"live": self.live, "wind": self.wind}.get(kind, self.roof)


# ASCE/SEI 7-16, 2.4.1, without earthquake, fluids and lateral earth; from memory.
RULES = (
    Rule(2, 1.0, live=1.0),
    Rule(3, 1.0, roof=1.0),
    Rule(4, 1.0, live=0.75, roof=0.75),
    Rule(5, 1.0, wind=0.6),
    Rule(6, 1.0, live=0.75, roof=0.75, wind=0.45),
    Rule(7, 0.6, wind=0.6),
)


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


def combinations(spec: BasisSpec, loads: Sequence[Hung]) -> tuple[Combination, ...]:
    """Every combination of the short way, or of the load cases [ASCE/SEI 7-16, 2.4.1]."""
    if spec.cases:
        return each_once(_of_cases(spec, loads))
    return short_way(loads, lambda code: combination(spec, code))


def _of_cases(spec: BasisSpec, loads: Sequence[Hung]) -> Iterator[Combination]:
    for pattern in patterns(spec.cases, loads):
        if pattern.permanent and pattern.heavy:
            yield _made(1, [(c, 1.0) for c in pattern.permanent], [], helps=False)
        for rule in RULES:
            helps = rule.dead < 1.0
            if helps and not (pattern.light and pattern.permanent):
                continue
            always = [(c, rule.dead) for c in pattern.permanent]
            for variable in _acting(rule, pattern):
                yield _made(rule.number, always, variable, helps=helps)


def _acting(rule: Rule, pattern: Pattern) -> Iterator[list[tuple[Case, float]]]:
    """Variable cases of one rule with their factors: at most one kind on the roof."""
    for together in pattern.together():
        for kept in shorter_left_out(together, DURATIONS):
            kinds = {case.kind for case in kept}
            for roof in [kind for kind in ROOF if kind in kinds] or [""]:
                counted = [c for c in kept if c.kind == roof or c.kind not in ROOF]
                found = [(c, rule.factor(c.kind)) for c in counted if rule.factor(c.kind)]
                if _whole(rule, {c.kind for c, _ in found}):
                    yield found


def _whole(rule: Rule, kinds: set[str]) -> bool:
    """True where a rule has what makes it more than a simpler rule with larger factors."""
    live, roof, wind = "live" in kinds, any(k in ROOF for k in kinds), "wind" in kinds
    if rule.number == 4:
        return live and roof
    if rule.number == 6:
        return wind and (live or roof)
    return bool(kinds)


def _made(
    number: int,
    always: list[tuple[Case, float]],
    variable: list[tuple[Case, float]],
    *,
    helps: bool,
) -> Combination:
    both = [*always, *variable]
    duration, modification = shortest([c.duration for c, _ in both])
    code = code_of([c for c, _ in always], [c for c, _ in variable], helps=helps)
    clause = f"ASCE/SEI 7-16, 2.4.1, combination {number}; NDS 2018, 2.3.2"
    return Combination(code, terms(both), duration, modification, clause)
