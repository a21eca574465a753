"""The size of a photo, read from its own bytes: what is no JPEG of that size is not taken."""

from __future__ import annotations

import base64
import binascii
from typing import Final

_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}  # start of frame [T.81, B.1.1.3]


def jpeg_size(text: str) -> tuple[int, int] | None:
    """Width and height of a JPEG in base64, or None where it is none.

    [ITU-T T.81 (ISO/IEC 10918-1), B.2.2: the frame header]
    """
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        return None
    at = 2
    if data[:2] != b"\xff\xd8" or not data.rstrip(b"\0").endswith(b"\xff\xd9"):
        return None
    while at + 9 < len(data) and data[at] == 0xFF:
        marker, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if marker in _FRAMES:
            height, width = (int.from_bytes(data[at + i : at + i + 2], "big") for i in (5, 7))
            return width, height
        at += 2 + length
    return None
