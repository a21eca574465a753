"""Key paths of a job file, as findings name them: `girder.shape.span`, `loads[2].at`.

Tables of a list are counted from 1, as a person counts them in the file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from girderply.errors import Finding, Severity
from girderply.units.short_text import shown

Loc = tuple[str | int, ...]


def key_path(loc: Iterable[str | int]) -> str:
    """Write where something is, from keys and positions (0-based in, 1-based out)."""
    text = ""
    for part in loc:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            key = part if re.fullmatch(r"[\w-]{1,60}", part) else shown(part)
            text += f".{key}" if text else key
    return text


def error(code: str, loc: Iterable[str | int], message: str, tip: str = "") -> Finding:
    """A finding of severity error at a place in the job file."""
    return Finding(code, Severity.ERROR, key_path(loc) or "job file", message, tip=tip)


def table(data: object, *keys: str) -> Mapping[str, Any]:
    """The table under these keys of unchecked TOML, or an empty one if there is none."""
    for key in keys:
        data = data.get(key) if isinstance(data, Mapping) else None
    return data if isinstance(data, Mapping) else {}


def tables(data: object, *keys: str) -> Sequence[tuple[int, Mapping[str, Any]]]:
    """Positions and tables of the list under these keys; what is no table is left out."""
    found = table(data, *keys[:-1]).get(keys[-1])
    if not isinstance(found, list):
        return ()
    return [(i, entry) for i, entry in enumerate(found) if isinstance(entry, Mapping)]


def at(data: object, loc: Loc) -> object:
    """The value at a place of unchecked TOML, or None."""
    for part in loc:
        if isinstance(part, int) and isinstance(data, list) and part < len(data):
            data = data[part]
        elif isinstance(data, Mapping):
            data = data.get(part)
        else:
            return None
    return data
