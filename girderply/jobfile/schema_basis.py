"""The table [basis]: which basis judges, and the choices it leaves to a job.

Names, durations and choices come from the registry of bases; none is written here.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import AfterValidator, Field, GetCoreSchemaHandler, create_model
from pydantic import GetJsonSchemaHandler as JsonHandler
from pydantic_core import CoreSchema, PydanticKnownError, core_schema

from girderply.bases import registry
from girderply.bases.spec import Option
from girderply.jobfile.fields import Size, Table, Text
from girderply.units.short_text import shown


def durations() -> tuple[str, ...]:
    """Load durations of every basis, each once."""
    known = registry.said(lambda basis: basis.durations)
    return tuple(dict.fromkeys(word for words in known.values() for word in words))


@dataclass(frozen=True, slots=True)
class Word:
    """Marks a text that is one of the words that the registry knows when a job is read."""

    allowed: Callable[[], tuple[str, ...]]

    def __get_pydantic_core_schema__(self, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        """Read by `read`."""
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, _: CoreSchema, __: JsonHandler) -> dict[str, Any]:
        """Text, one of the words."""
        return {"type": "string", "enum": list(self.allowed())}

    def read(self, value: object) -> str:
        """The word itself; anything else is refused with all that are allowed."""
        words = self.allowed()
        if isinstance(value, str) and value in words:
            return value
        raise PydanticKnownError("literal_error", {"expected": " or ".join(map(repr, words))})


def kinds() -> tuple[str, ...]:
    """Kinds of load cases of every basis, each once."""
    known = registry.said(lambda basis: basis.kinds)
    return tuple(dict.fromkeys(kind.name for own in known.values() for kind in own))


_FACES = ("front", "back", "both")


def case_id(text: str) -> str:
    """A short name; the words for faces are taken."""
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_-]*", text) or text.casefold() in _FACES:
        raise ValueError(
            f'{shown(text)} is no name of a load case; a letter, then letters, digits, "-" or '
            '"_" are needed, such as "S1"; front, back and both are taken'
        )
    return text


Standard = Annotated[str, Word(registry.names)]
Duration = Annotated[str, Word(durations)]
ActionKind = Annotated[str, Word(kinds)]
CaseId = Annotated[str, Field(max_length=12), AfterValidator(case_id)]


class CaseTable(Table):
    """A load case: each load gives its value for it under `cases`."""

    id: CaseId = Field(
        description="Name; combinations and sheets use it, so a letter or two is best.",
        examples=["S"],
    )
    kind: ActionKind = Field(description="Kind of action.", examples=["snow"])
    duration: Duration | None = Field(
        None, description="Load duration; left out: the usual one of its kind."
    )
    factor: float | None = Field(
        None,
        ge=0,
        le=1,
        description="Combination factor where another variable case leads (psi_0 of EN 1990); left "
        "out: the largest that is recommended for its kind.",
    )
    group: CaseId | None = Field(
        None,
        description="Cases of one group never act together, such as wind from the left and from "
        "the right; left out: it may act with every other.",
    )
    what: Text = Field("", description="What it is, in words.")


def _usual(which: int) -> str:
    """The usual durations of all bases, for an editor."""
    known = registry.said(lambda basis: (basis.usual_durations[which],))
    return "; ".join(f"{words[0]} ({name})" for name, words in known.items() if words)


class CommonBasisTable(Table):
    """The design basis that judges, and the choices that it leaves to the job."""

    standard: Standard | None = Field(
        None,
        description=f"Left out: {registry.usual('metric')}, in an imperial job "
        f"{registry.usual('imperial')}.",
    )
    permanent_duration: Duration | None = Field(
        None, description=f"Load duration of the permanent part; left out: {_usual(0)}."
    )
    variable_duration: Duration | None = Field(
        None, description=f"Load duration of the variable part; left out: {_usual(1)}."
    )
    uplift_duration: Duration | None = Field(
        None, description=f"Load duration of the uplift; left out: {_usual(2)}."
    )
    reach: Size | None = Field(
        None,
        description="How far the zone of a load reaches either side; left out: the rule set's.",
    )
    cases: list[CaseTable] = Field(
        [],
        max_length=12,
        description="Load cases, where the reactions come per case; left out: loads give "
        "permanent, variable, uplift or design values.",
    )


def owners() -> dict[str, tuple[str, ...]]:
    """Bases that read each choice, by its key."""
    known = registry.said(lambda basis: basis.options)
    keys = dict.fromkeys(option.key for options in known.values() for option in options)
    return {
        key: tuple(name for name, own in known.items() if any(o.key == key for o in own))
        for key in keys
    }


def _field(option: Option, who: str) -> tuple[Any, Any]:
    """A choice as a field that may be left out."""
    kind: Any = type(option.default)
    if option.words:
        kind = Annotated[str, Word(lambda: option.words)]
    limits: dict[str, Any] = {"ge": option.least, "le": option.most}
    return (
        kind | None,
        Field(
            None,
            description=f"{option.what} Read by {who}; left out: {option.default!r}.",
            **{name: value for name, value in limits.items() if value is not None},
        ),
    )


def _with_options() -> type[CommonBasisTable]:
    """The table with the choices of every basis."""
    known = registry.said(lambda basis: basis.options)
    fields: dict[str, Any] = {
        option.key: _field(option, ", ".join(owners()[option.key]))
        for options in known.values()
        for option in options
    }
    return create_model("BasisTable", __base__=CommonBasisTable, **fields)


if TYPE_CHECKING:
    BasisTable = CommonBasisTable
else:
    BasisTable = _with_options()
