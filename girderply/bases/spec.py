"""What a job says about its basis: which one, its load durations, and its choices."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

Value = bool | int | float | str


@dataclass(frozen=True, slots=True)
class Option:
    """A key of a job's [basis] that this basis reads and others refuse.

    Attributes:
        key: as a job writes it.
        default: what holds where the job leaves it out.
        what: one sentence for an editor.
        least, most: of a number, both allowed. words: allowed texts.
        recommended: a job that says otherwise is told so on the cover.
    """

    key: str
    default: Value
    what: str
    least: float | None = None
    most: float | None = None
    words: tuple[str, ...] = ()
    recommended: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of action that a basis knows.

    Attributes:
        name: as a job gives it. permanent: it always acts.
        duration: load-duration class where a case does not give one.
        factor: combination factor where a case does not give one, no unit.
    """

    name: str
    permanent: bool
    duration: str
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Case:
    """A load case of a job: loads give their values for it by its id.

    Attributes:
        id: as loads and combinations name it.
        kind: name of a kind of the basis. permanent: it always acts.
        duration: load-duration class.
        factor: combination factor where another variable case leads, no unit.
        group: cases of one group never act together; empty: with every other.
        what: in words.
        left_open: keys of it that the job does not give, so that the kind's usual values stand.
    """

    id: str
    kind: str
    permanent: bool
    duration: str
    factor: float = 1.0
    group: str = ""
    what: str = ""
    left_open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BasisSpec:
    """Which basis judges a job, and what the job leaves or changes of it.

    `registry.spec_of` makes one with the basis' own defaults.

    Attributes:
        standard: name of the basis.
        permanent_duration, variable_duration, uplift_duration: load-duration classes of the parts.
        options: key and value of every choice of this basis, in its order.
        reach: how far a load's fasteners stand either side, mm; None: the rule set's.
        cases: load cases; none where loads give permanent, variable, uplift or design values.
    """

    standard: str
    permanent_duration: str
    variable_duration: str
    uplift_duration: str
    options: tuple[tuple[str, Value], ...] = ()
    reach: float | None = None
    cases: tuple[Case, ...] = ()

    def value(self, key: str) -> Value:
        """A choice of the job; KeyError where the basis has no such key."""
        return dict(self.options)[key]

    def number(self, key: str) -> float:
        """A choice that is a number."""
        return float(self.value(key))

    def changed(self, options: Iterable[Option]) -> tuple[tuple[Option, Value], ...]:
        """Choices that differ from what the basis recommends, in its order."""
        known = dict(self.options)
        return tuple(
            (o, known[o.key]) for o in options if o.recommended and known[o.key] != o.default
        )
