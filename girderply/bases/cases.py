"""Which load cases act together: every way in which they can add up, and no other.

A combination is asked for where it hurts. What hurts at one place may help at another, so the
actions are taken for every pattern of effect: a force on the front face counts down or up, one on
the back face down or up, or only one of the faces counts. A case of which every load hurts in a
pattern always counts in it, one of which none does never counts, and one that does both counts
and does not, each in its turn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, combinations, product
from typing import Protocol

from girderply.bases.combining import Combination, Parts, Term
from girderply.bases.spec import Case

FACES = ("front", "back")


class Hung(Parts, Protocol):
    """A hung load as load cases see it."""

    @property
    def face(self) -> str:
        """Front, back, or top for one that enters all plies alike."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """Cases by what they do to one pattern of effect.

    Attributes:
        always: variable cases that only hurt. perhaps: those that hurt here and help there.
        permanent: permanent cases that a job has.
        heavy: whether permanent actions may hurt. light: whether they may help.
    """

    always: tuple[Case, ...]
    perhaps: tuple[Case, ...]
    permanent: tuple[Case, ...]
    heavy: bool
    light: bool

    def together(self) -> Iterator[tuple[Case, ...]]:
        """Sets of variable cases that may act at once, the fullest first; none among them."""
        for extra in _subsets(self.perhaps):
            yield from _exclusive((*self.always, *extra))


def patterns(cases: Sequence[Case], loads: Sequence[Hung]) -> tuple[Pattern, ...]:
    """Cases sorted for every pattern of effect that these loads can have, each pattern once.

    Args:
        cases: of the job, in its order.
        loads: hung together.
    """
    faces = [face for face in FACES if any(x.face == face for x in loads)]
    every = [
        dict(zip(faces, signs, strict=True)) for signs in product((1, -1, 0), repeat=len(faces))
    ]
    found = [_pattern(cases, loads, signs) for signs in every if any(signs.values()) or not faces]
    if not faces:
        found = [_pattern(cases, loads, {"top": sign}) for sign in (1, -1)]
    return tuple(dict.fromkeys(p for p in found if p is not None))


def _pattern(cases: Sequence[Case], loads: Sequence[Hung], signs: dict[str, int]) -> Pattern | None:
    """One pattern; None where nothing hurts in it."""
    sides = {sign for sign in signs.values() if sign}
    weight = {**signs, "top": next(iter(sides)) if len(sides) == 1 else 0}
    effects = {c: [weight.get(x.face, 0) * x.part(c.id) for x in loads] for c in cases}
    hurts = {c for c, each in effects.items() if any(v > 0 for v in each)}
    helps = {c for c, each in effects.items() if any(v < 0 for v in each)}
    variable = [c for c in cases if not c.permanent]
    permanent = tuple(c for c in cases if c.permanent and any(x.part(c.id) for x in loads))
    if not hurts:
        return None
    heavy = any(c in hurts for c in permanent)
    light = any(c in helps for c in permanent)
    return Pattern(
        tuple(c for c in variable if c in hurts - helps),
        tuple(c for c in variable if c in hurts & helps),
        permanent,
        heavy or not light,
        light,
    )


def _subsets(cases: tuple[Case, ...]) -> Iterable[tuple[Case, ...]]:
    """Every choice among a few; all, each alone or none of many."""
    if len(cases) > 4:
        return (cases, *((case,) for case in cases), ())
    sizes = range(len(cases), -1, -1)
    return chain.from_iterable(combinations(cases, size) for size in sizes)


def _exclusive(cases: tuple[Case, ...]) -> Iterator[tuple[Case, ...]]:
    """The sets that are left where of each group only one acts."""
    free = [[case] for case in cases if not case.group]
    grouped: dict[str, list[Case]] = {}
    for case in cases:
        if case.group:
            grouped.setdefault(case.group, []).append(case)
    for choice in product(*free, *grouped.values()):
        yield tuple(sorted(choice, key=cases.index))


def shorter_left_out(
    together: tuple[Case, ...], durations: Sequence[str]
) -> Iterator[tuple[Case, ...]]:
    """The set, and the sets without its shortest cases, for each duration among them.

    A combination without a short action may govern, for its resistance is less.

    Args:
        together: cases that may act at once.
        durations: of the basis, the longest first.
    """
    ranks = sorted({durations.index(case.duration) for case in together}, reverse=True)
    for most in ranks:
        yield tuple(c for c in together if durations.index(c.duration) <= most)


def code_of(permanent: Iterable[Case], variable: Iterable[Case], *, helps: bool) -> str:
    """Such as "G+S+W", the leading one first, or "Gmin+W" where permanent actions help."""
    mark = "min" if helps else ""
    return "+".join([*(f"{c.id}{mark}" for c in permanent), *(c.id for c in variable)])


def terms(weighted: Iterable[tuple[Case, float]]) -> tuple[Term, ...]:
    """Terms of cases with their factors."""
    return tuple(Term(case.id, factor, case.id) for case, factor in weighted)


def each_once(made: Iterable[Combination]) -> tuple[Combination, ...]:
    """Combinations by their codes, in the order in which they came."""
    kept: dict[str, Combination] = {}
    for combination in made:
        kept.setdefault(combination.code, combination)
    return tuple(kept.values())
