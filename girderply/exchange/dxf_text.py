"""Words of a job made safe for a DXF file: one line, no codes of the format or of its readers."""

from __future__ import annotations

import re

from girderply.units.short_text import one_line

LONGEST = 250  # characters that every reader takes in one text (value from memory)


def dxf_text(text: str) -> str:
    r"""The text as one inert line.

    Line ends would start new group codes, `%%` and `\U+` are codes of drawing programs, and `^`
    starts a control character; the DXF reference writes a plain `^` with a blank behind it
    (value from memory).
    """
    line = one_line(text).replace("\\", "/").replace("^", "^ ")
    line = re.sub("%(?=%)", "% ", line)
    return line[:LONGEST].strip()


def table_name(text: str) -> str:
    """Letters, digits, `-` and `_` only: a name for a block or a layer on every reader."""
    return re.sub(r"[^A-Z0-9]+", "-", text.upper()).strip("-")[:40] or "X"
