"""The tables of messages: which languages there are, and what a key says in one of them."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Final, Literal, get_args

from girderply.wording.plurals import category

Language = Literal["en", "en-US", "fr"]

DEFAULT: Final[Language] = "en"
LANGUAGES: Final[tuple[str, ...]] = get_args(Language)
# A language whose tables hold only what it says otherwise than another one.
FALLS_BACK: Final = {"en-US": "en"}

# One text; or one per category of number: {"one": ..., "other": ...}, chosen by the value `n`.
Entry = str | dict[str, str]


def usual_language(units: str) -> Language:
    """What a job with these units speaks where it does not say."""
    return "en-US" if units == "imperial" else "en"


@cache
def area(language: str, name: str) -> dict[str, Entry]:
    """All messages of one area in one language, those that it takes from another one too.

    Raises:
        KeyError: a language or an area that is not there.
    """
    if language not in LANGUAGES:
        raise KeyError(f"no language {language!r}; there are {', '.join(LANGUAGES)}")
    other = FALLS_BACK.get(language)
    own = _file(language, name)
    if other is None and own is None:
        raise KeyError(f"no messages for {name!r} in {language!r}")
    return (area(other, name) if other else {}) | (own or {})


def _file(language: str, name: str) -> dict[str, Entry] | None:
    file = files("girderply.wording") / "data" / language / f"{name}.json"
    if not file.is_file():
        return None
    found: dict[str, Entry] = json.loads(file.read_text("utf-8"))
    return found


def text_of(language: str, key: str, n: object = None) -> str:
    """The text of a message, before its values are put in.

    Args:
        language: one of `LANGUAGES`.
        key: area and name, "stage.lay".
        n: the number that decides between the texts of a message that counts.

    Raises:
        KeyError: a key that is not in the table; TypeError: a number is needed and is not given.
    """
    name, _, rest = key.partition(".")
    entry = area(language, name).get(rest)
    if entry is None:
        home = FALLS_BACK.get(language, language)
        raise KeyError(f"wording/data/{home}/{name}.json has no message {rest!r}")
    if isinstance(entry, str):
        return entry
    if not isinstance(n, int):
        raise TypeError(f"{key} needs a whole number n, not {n!r}")
    return entry.get(category(language, n)) or entry["other"]


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
