"""Text of a STEP file: entities, their attributes, and references between them.

[ISO 10303-21:2016, 6 and 7]: attributes in brackets, text in apostrophes with other characters as
hexadecimal escapes, `$` for nothing, `*` for what is derived.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

DECIMALS: Final = 6
_PLAIN: Final = re.compile(r"[ !#-&(-\[\]-~]*")


@dataclass(frozen=True, slots=True)
class Ref:
    """A reference to an entity of the file."""

    number: int


@dataclass(frozen=True, slots=True)
class Word:
    """An enumeration's value, or `*`, as it stands."""

    text: str


@dataclass(frozen=True, slots=True)
class Typed:
    """A value with the name of its type, where a choice of types is open."""

    name: str
    value: Value


Value = Ref | Word | Typed | str | float | int | bool | None | tuple["Value", ...]
DERIVED: Final = Word("*")


def enum(name: str) -> Word:
    """A value of an enumeration."""
    return Word(f".{name}.")


@dataclass(slots=True)
class StepFile:
    """The entities of one file, numbered as they come."""

    lines: list[str] = field(default_factory=list)
    known: dict[str, Ref] = field(default_factory=dict)

    def add(self, entity: str, *attributes: Value) -> Ref:
        """One more entity of its own."""
        return self._put(f"{entity}({_joined(attributes)})")

    def once(self, entity: str, *attributes: Value) -> Ref:
        """An entity that all may share: the same attributes give the same one."""
        text = f"{entity}({_joined(attributes)})"
        if text not in self.known:
            self.known[text] = self._put(text)
        return self.known[text]

    def _put(self, text: str) -> Ref:
        number = len(self.lines) + 1
        self.lines.append(f"#{number}={text};\n")
        return Ref(number)

    def text(self, description: str, name: str, stamp: str, system: str) -> str:
        """The whole file.

        Args:
            description: view definition that the file follows.
            name: of the file.
            stamp: date and time, ISO 8601.
            system: what wrote it.
        """
        head = (
            f"FILE_DESCRIPTION(({_text(description)}),'2;1');\n"
            f"FILE_NAME({_text(name)},{_text(stamp)},(''),(''),{_text(system)},{_text(system)},'');\n"
            "FILE_SCHEMA(('IFC4'));\n"
        )
        body = "".join(self.lines)
        return f"ISO-10303-21;\nHEADER;\n{head}ENDSEC;\nDATA;\n{body}ENDSEC;\nEND-ISO-10303-21;\n"


def _joined(values: tuple[Value, ...]) -> str:
    return ",".join(map(_said, values))


def _said(value: Value) -> str:  # noqa: PLR0911  a return per kind of value
    if value is None:
        return "$"
    if isinstance(value, Ref):
        return f"#{value.number}"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool):
        return ".T." if value else ".F."
    if isinstance(value, float):
        return real(value)
    if isinstance(value, Word):
        return value.text
    if isinstance(value, Typed):
        return f"{value.name}({_said(value.value)})"
    return f"({_joined(value)})" if isinstance(value, tuple) else str(value)


def real(value: float) -> str:
    """A number with its point, rounded to a millionth."""
    text = f"{value + 0.0:.{DECIMALS}f}".rstrip("0")
    return "0." if text == "-0." else text


def _text(text: str) -> str:
    if _PLAIN.fullmatch(text):  # most texts, and much sooner
        return f"'{text}'"
    return "'" + "".join(map(_character, text)) + "'"


def _character(c: str) -> str:
    if c in "'\\":
        return c * 2
    if " " <= c <= "~":
        return c
    code = ord(c)
    return f"\\X2\\{code:04X}\\X0\\" if code < 0x10000 else f"\\X4\\{code:08X}\\X0\\"
