"""File names made from the words of a job: no path can escape, no name is refused by a system."""

from __future__ import annotations

import hashlib
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


# What each part of a pack's name may be long, so that the path of a sheet stays within the 260
# characters of Windows (common practice, no source).
_PART = {"number": 32, "mark": 20, "revision": 12}
_TAG = 10  # hex digits that tell apart what the words of a name do not


def folded(text: str) -> str:
    """A name without case, compatibility forms and blanks around it: `A` and `a` are one."""
    return unicodedata.normalize("NFKC", text).strip().casefold()


def pack_folder(number: str, mark: str, revision: str) -> str:
    """Folder name of a pack: job number, girder mark and revision; no two of them share one.

    `RH-101-G1-rev-A` is taken apart from its end in one way only, as long as mark and revision
    hold no hyphen. Where words were lost or shortened on the way, a tag made from all three whole
    follows an underscore, which no plain name ends with.

    Args:
        number: of the job.
        mark: of the girder.
        revision: of the job.

    Returns:
        A name of at most 86 characters, the same for what `folded` does not tell apart.
    """
    words = {"number": number, "mark": mark, "revision": revision}
    parts = {k: safe_name(text)[: _PART[k]].rstrip("-_") for k, text in words.items()}
    name = f"{parts['number']}-{parts['mark']}-rev-{parts['revision']}"
    plain = all(parts[k] == unicodedata.normalize("NFKC", v).strip() for k, v in words.items())
    if plain and not any(sign in parts[k] for k in ("mark", "revision") for sign in "-_"):
        return name
    whole = "\0".join(folded(text) for text in words.values())
    return f"{name}_{hashlib.sha256(whole.encode()).hexdigest()[:_TAG]}"
