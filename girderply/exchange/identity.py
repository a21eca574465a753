"""Names that programs need for every part, made of what the part is: the same in every run."""

from __future__ import annotations

import hashlib
import json
import uuid
from typing import Final

_SIGNS: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"
_LENGTH: Final = 22


def fixed_uuid(*keys: str | int) -> uuid.UUID:
    """An identifier (RFC 9562, version 8) that follows from the content hash and what is named.

    Args:
        keys: content hash first, then what the thing is; kept apart, so that no two join alike.
    """
    digest = bytearray(hashlib.sha256(json.dumps(keys).encode()).digest()[:16])
    digest[6] = (digest[6] & 0x0F) | 0x80
    digest[8] = (digest[8] & 0x3F) | 0x80
    return uuid.UUID(bytes=bytes(digest))


def ifc_guid(*keys: str | int) -> str:
    """The same identifier in the 22 signs of an IFC file (base 64, first sign 0 to 3)."""
    number, text = fixed_uuid(*keys).int, ""
    for _ in range(_LENGTH):
        number, rest = divmod(number, 64)
        text = _SIGNS[rest] + text
    return text
