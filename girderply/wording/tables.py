"""The tables of messages: which languages there are, and what a key says in one of them."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Final

DEFAULT: Final = "en"
LANGUAGES: Final = ("en", "fr")

# One text; or one per number: {"one": ..., "other": ...}, chosen by the value `n`.
Entry = str | dict[str, str]


@cache
def area(language: str, name: str) -> dict[str, Entry]:
    """All messages of one area in one language.

    Raises:
        KeyError: a language or an area that is not there.
    """
    if language not in LANGUAGES:
        raise KeyError(f"no language {language!r}; there are {', '.join(LANGUAGES)}")
    file = files("girderply.wording") / "data" / language / f"{name}.json"
    if not file.is_file():
        raise KeyError(f"no messages for {name!r} in {language!r}")
    found: dict[str, Entry] = json.loads(file.read_text("utf-8"))
    return found


def text_of(language: str, key: str, n: object = None) -> str:
    """The text of a message, before its values are put in.

    Args:
        language: one of `LANGUAGES`.
        key: area and name, "stage.lay".
        n: the number that decides between one and other, where the message has both.

    Raises:
        KeyError: a key that is not in the table; TypeError: a number is needed and is not given.
    """
    name, _, rest = key.partition(".")
    entry = area(language, name)[rest]
    if isinstance(entry, str):
        return entry
    if not isinstance(n, int):
        raise TypeError(f"{key} needs a whole number n, not {n!r}")
    return entry["one" if _is_one(language, n) else "other"]


def _is_one(language: str, n: int) -> bool:
    """Whether a count takes the singular. [Unicode CLDR, plural rules: en 1; fr 0 and 1]."""
    return n in ((0, 1) if language == "fr" else (1,))


def signs(language: str) -> dict[int, str]:
    """What stands for the decimal point and for the comma between thousands.

    [ISO 80000-1:2009, 7.3.1: comma or point on the line, thousands by a space; ours: the comma in
    French, the point in English, a comma between thousands only in English with inches]
    """
    found = area(language, "figures")
    return {ord("."): str(found["decimal"]), ord(","): str(found["thousands"])}


@cache
def field_help(language: str) -> dict[str, str]:
    """What every field of a job file means, by its place ("girder.plates[].x").

    English stands in the job file's own schema, so only other languages have a table; none comes
    back for a language without one.
    """
    file = files("girderply.wording") / "help" / f"{language}.json"
    return dict(json.loads(file.read_text("utf-8"))) if file.is_file() else {}
