"""Combinations of what hangs on a girder: factors, duration, modification."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from typing import Protocol

from girderply.wording import Words, figures, said

# The short way of a job: each load gives these parts. Uplift is written as a positive value.
PERMANENT, VARIABLE, UPLIFT, GIVEN = "permanent", "variable", "uplift", "design"
PARTS = (PERMANENT, VARIABLE, UPLIFT, GIVEN)
SYMBOLS = {PERMANENT: "G", VARIABLE: "Q", UPLIFT: "U"}


class Parts(Protocol):
    """A load as a combination sees it."""

    def part(self, name: str) -> float:
        """Value of one part or case, N; 0 where the load has none."""


@dataclass(frozen=True, slots=True)
class Term:
    """A part or case with the factor on it; no unit."""

    part: str
    factor: float
    symbol: str = ""


@dataclass(frozen=True, slots=True)
class Combination:
    """One combination of the parts or cases of the loads, with the factors it puts on them.

    Attributes:
        code: P permanent, PV permanent and variable, U uplift, D design values as given; C1, C2
            and so on of load cases.
        terms: what counts, and how much; a part that is not among them does not count.
        duration: load-duration class that governs it.
        modification: factor of that duration on resistances, no unit.
        clause: where the factors come from.
        words: instead of the factors' own text, where the faces are loaded unlike.
    """

    code: str
    terms: tuple[Term, ...]
    duration: str
    modification: float
    clause: str
    words: Words = ""

    @property
    def text(self) -> Words:
        """Such as "1.35 G + 1.5 Q"."""
        if self.words:
            return self.words
        named = [
            f"{'- ' if t.factor < 0 else '+ '}{abs(t.factor):g} {t.symbol}"
            for t in self.terms
            if t.factor and t.symbol
        ]
        parts = figures(" ".join(named).removeprefix("+ "))
        if not self.factor(GIVEN):
            return parts
        return said("check.parts_and_given", parts=parts) if named else said("check.given")

    def factor(self, part: str) -> float:
        """Factor on a part or case; 0 where it does not count."""
        return sum(term.factor for term in self.terms if term.part == part)

    def value(self, load: Parts) -> float:
        """Value of one load in this combination, N, downward positive."""
        return sum(term.factor * load.part(term.part) for term in self.terms)

    def without(self, parts: Collection[str]) -> Combination:
        """The same without the terms of these parts."""
        return replace(self, terms=tuple(t for t in self.terms if t.part not in parts))

    def of(self, loads: Iterable[Parts]) -> Combination:
        """The same without the terms that none of these loads has."""
        known = tuple(loads)
        return self.without([t.part for t in self.terms if not any(x.part(t.part) for x in known)])


def parts_in(loads: Iterable[Parts]) -> tuple[str, ...]:
    """Codes of the combinations that the parts of these loads make, in the short way."""
    known = tuple(loads)
    has = {part: any(load.part(part) for load in known) for part in PARTS}
    parts = has[PERMANENT] or has[VARIABLE] or has[UPLIFT]
    wanted = {
        "P": has[PERMANENT],
        "PV": has[VARIABLE] or (has[GIVEN] and parts),
        "U": has[UPLIFT],
        "D": has[GIVEN] and not parts,
    }
    return tuple(code for code, wants in wanted.items() if wants)


def short_way(
    loads: Iterable[Parts], by_code: Callable[[str], Combination]
) -> tuple[Combination, ...]:
    """Combinations of loads that give parts; design values count only where there are some.

    Args:
        loads: hung together.
        by_code: the basis' own combination of this code.
    """
    known = tuple(loads)
    unsaid = [] if any(load.part(GIVEN) for load in known) else [GIVEN]
    return tuple(by_code(code).without(unsaid) for code in parts_in(known))


def in_use(parts: Iterable[str], duration: str) -> Combination:
    """All that presses down, without factors, as in use.

    Args:
        parts: parts or cases that count.
        duration: that it is said to have.
    """
    terms = tuple(Term(part, 1.0, SYMBOLS.get(part, part)) for part in parts)
    return Combination("S", terms, duration, 1.0, "")


def terms_of(permanent: float, variable: float, uplift: float, given: float) -> tuple[Term, ...]:
    """Terms of the short way; those with factor 0 are left out.

    Args:
        permanent: factor; and so on, all without unit; `uplift` negative where it lifts.
        variable: factor.
        uplift: factor.
        given: factor on design values.
    """
    factors = zip(PARTS, (permanent, variable, uplift, given), strict=True)
    return tuple(Term(part, factor, SYMBOLS.get(part, "")) for part, factor in factors if factor)
