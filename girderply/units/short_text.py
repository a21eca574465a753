"""Values of a job as short safe text, and the nearest right word to a misspelt one."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_MOST_SHOWN = 40
_FORMULA = frozenset("=+-@|%＝＋－＠")  # what spreadsheets take for the start of a formula


def shown(value: object) -> str:
    """Show a value that somebody typed, for a message: short, in one line, no control characters.

    Args:
        value: anything that TOML can hold.

    Returns:
        Quoted text, the plain number, or what sort of thing it is.
    """
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**_MOST_SHOWN else "a number of too many digits"
    text = str(value)
    if len(text) > _MOST_SHOWN:
        text = text[: _MOST_SHOWN - 3] + "..."
    return f'"{printable(text)}"' if isinstance(value, str) else text


def printable(text: str) -> str:
    """Write every character that does not print (control, direction, surrogate) as an escape."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def one_line(text: str) -> str:
    """The text with a blank for every character that does not print."""
    return "".join(c if c.isprintable() else " " for c in text)


def inert(text: str) -> str:
    """One line for a cell: an apostrophe before what a spreadsheet could run as a formula."""
    line = one_line(text)
    return f"'{line}" if line.lstrip()[:1] in _FORMULA and line.strip() else line


def one_of(words: Iterable[str]) -> str:
    """List words for a message: `"a", "b" or "c"`."""
    quoted = [f'"{w}"' for w in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return ", ".join(quoted[:-1]) + " or " + quoted[-1]


def did_you_mean(word: object, words: Iterable[str]) -> str:
    """Name the nearest right word.

    Args:
        word: what was typed; anything but text has no near word.
        words: right words.

    Returns:
        `did you mean "pitch"?`, or an empty string where nothing is near.
    """
    if not isinstance(word, str) or len(word) > 100:
        return ""
    known = list(words)
    by_lower = {w.lower(): w for w in reversed(known)}
    near = get_close_matches(word.lower(), list(by_lower), n=1, cutoff=0.6)
    return f'did you mean "{by_lower[near[0]]}"?' if near else ""


def reason(message: str) -> str:
    """A reason as a person reads it, without the name that a library puts before it."""
    return message.removeprefix("Value error, ")
