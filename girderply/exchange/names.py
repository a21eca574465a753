"""File names made from the words of a job: no path can escape, no name is refused by a system."""

from __future__ import annotations

import re
import unicodedata

RESERVED = frozenset(
    ["CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"]
    + [f"{port}{n}" for port in ("COM", "LPT") for n in range(10)]
)
LONGEST = 80


def safe_name(text: str) -> str:
    """A file or folder name (without an ending) that says `text` on every usual system.

    Letters and digits of any language, `-` and `_` stay; everything else, dots and slashes
    among it, becomes one `-`. Names that Windows keeps for devices get a `_` behind.

    Args:
        text: anything, a job number for example.

    Returns:
        A name of 1 to 80 characters that holds no separator and starts with no dot.
    """
    plain = unicodedata.normalize("NFKC", text)
    name = re.sub(r"[^\w-]+", "-", plain).strip("-_ ")[:LONGEST].rstrip("-_ ")
    if not name:
        return "unnamed"
    return f"{name}_" if name.upper() in RESERVED else name
