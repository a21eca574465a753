"""Finding a catalogue entry by the name a person typed.

Only spacing, the sign of multiplication and the decimal comma are forgiven.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import TypeVar

from girderply.errors import CatalogueError

T = TypeVar("T")


def squeeze(text: str) -> str:
    """Drop what is forgiven: spaces, "x" for the sign of multiplication, the decimal comma."""
    text = re.sub(r"\s+", "", text).replace("×", "x")
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


def nearest(asked: str, known: Iterable[str], count: int = 3) -> tuple[str, ...]:
    """The known words that look most like what was asked, best first; may be empty."""
    by_shape = {squeeze(k).lower(): k for k in known}
    close = get_close_matches(squeeze(asked).lower(), list(by_shape), n=count, cutoff=0.5)
    return tuple(by_shape[c] for c in close)


def pick(what: str, asked: str, entries: Mapping[str, T], allowed: str = "") -> T:
    """Return the entry of this name.

    Args:
        what: kind of thing, for the message.
        asked: the name as typed.
        entries: name to thing.
        allowed: says what is allowed; empty lists every name.

    Raises:
        CatalogueError: no such name; the message names it, what is allowed and what is near.
    """
    for key, entry in entries.items():
        if squeeze(key) == squeeze(asked):
            return entry
    raise unknown(what, asked, entries, allowed)


def unknown(what: str, asked: str, known: Iterable[str], allowed: str = "") -> CatalogueError:
    """The error for a name that is not known, with what is allowed and what is near."""
    names = list(known)
    allowed = allowed or ", ".join(names)
    close = nearest(asked, names)
    tip = f"; nearest: {', '.join(repr(c) for c in close)}" if close else ""
    return CatalogueError(f"no {what} {asked!r} in the catalogue; allowed: {allowed}{tip}")
