"""How wide text is in the shipped font, and the box it fills on paper.

Widths are the font's own advance widths (templates/fonts/widths.json). Kerning is left out: it
only draws letters together, so a box is never too small.
"""

from __future__ import annotations

import json
import math
import re
from functools import cache, lru_cache

from girderply.drawing.primitives import Point, Text
from girderply.drawing.resources import template_folder
from girderply.drawing.style import SMALL

CAP_HEIGHT = 1493 / 2048  # of DejaVu Sans Condensed, in em: what ISO 3098 calls h
DESCENT = 0.21  # in em, of letters such as g and of brackets
RISE = 0.03  # in em, of digits and brackets over the capitals

_FONTS = {"regular": "DejaVuSansCondensed.ttf", "bold": "DejaVuSansCondensed-Bold.ttf"}
_LAST = 0x2800  # code points measured; beyond this the widest letter is assumed


@cache
def _widths() -> dict[str, dict[str, int]]:
    path = template_folder() / "fonts" / "widths.json"
    data: dict[str, dict[str, int]] = json.loads(path.read_text(encoding="utf-8"))
    return data


@cache
def _table(bold: bool) -> tuple[dict[str, int], int]:
    table = _widths()["bold" if bold else "regular"]
    return table, max(table.values())


def font_size(height: float) -> float:
    """Font size (one em) in mm for capitals of this height in mm."""
    return height / CAP_HEIGHT


def text_width(text: str, height: float, bold: bool = False) -> float:
    """Length of a line of text in mm, for capitals `height` mm high."""
    return _units(text, bold) / 2048 * font_size(height)


@lru_cache(maxsize=8192)
def _units(text: str, bold: bool) -> int:
    """Length of a line in units of the font, 2048 to one em."""
    table, widest = _table(bold)
    return sum(table.get(character, widest) for character in text)


def text_origin(text: Text) -> Point:
    """Where the baseline's anchor lies on paper, mm."""
    drop = {"base": 0.0, "middle": text.height / 2, "top": text.height}[text.level]
    a = math.radians(text.angle)
    x, y = text.at[0] + text.shift[0], text.at[1] + text.shift[1]
    return (x + drop * math.sin(a), y + drop * math.cos(a))


def text_box(text: Text, margin: float = 0.0) -> tuple[Point, Point, Point, Point]:
    """The four corners of the box that the text fills on paper, `margin` mm larger, mm."""
    width, size = text_width(text.text, text.height, text.bold), font_size(text.height)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor] - margin
    right = left + width + 2 * margin
    top, bottom = -(text.height + RISE * size) - margin, DESCENT * size + margin
    x, y = text_origin(text)
    c, s = math.cos(math.radians(text.angle)), math.sin(math.radians(text.angle))

    def corner(u: float, v: float) -> Point:
        return (x + c * u + s * v, y - s * u + c * v)

    return (corner(left, top), corner(right, top), corner(right, bottom), corner(left, bottom))


def wrap(text: str, width: float, height: float = SMALL, bold: bool = False) -> list[str]:
    """Lines no longer than `width` mm; a space that does not break stays where it is.

    Broken between words; a word that is longer than a line is broken itself, never cut off.
    """
    lines: list[str] = []
    line = ""
    words = filter(None, re.split(r"[ \t\r\n]+", text))
    for word in (part for whole in words for part in _broken(whole, width, height, bold)):
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, height, bold) > width:
            lines.append(line)
            longer = word
        line = longer
    return [*lines, line] if line else lines


def breaking(text: str, width: float, height: float = SMALL, bold: bool = False) -> str:
    """The text with places to break in words longer than `width` mm, for whoever sets its lines."""
    words = filter(None, re.split(r"[ \t\r\n]+", text))
    return " ".join("\u200b".join(_broken(word, width, height, bold)) for word in words)


def _broken(word: str, width: float, height: float, bold: bool) -> list[str]:
    """A word in pieces that fit, after a sign where there is one near the end of the line."""
    pieces: list[str] = []
    while len(word) > 1 and text_width(word, height, bold) > width:
        most = max(1, _fitting(word, width, height, bold))
        signs = [k for k in range(most, most // 2, -1) if not word[k - 1].isalnum()]
        cut = signs[0] if signs else most
        pieces.append(word[:cut])
        word = word[cut:]
    return [*pieces, word]


def _fitting(word: str, width: float, height: float, bold: bool) -> int:
    """How many letters of a word fit."""
    return next(k for k in range(len(word)) if text_width(word[: k + 1], height, bold) > width)


def read_font_widths() -> dict[str, dict[str, int]]:
    """Advance widths from the shipped fonts themselves, by character; needs fonttools."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    found: dict[str, dict[str, int]] = {}
    for name, file in _FONTS.items():
        font = TTFont(template_folder() / "fonts" / file)
        metrics, cmap = font["hmtx"], font.getBestCmap()
        found[name] = {chr(c): metrics[g][0] for c, g in sorted(cmap.items()) if c < _LAST}
    return found


if __name__ == "__main__":
    target = template_folder() / "fonts" / "widths.json"
    target.write_text(json.dumps(read_font_widths(), ensure_ascii=True, separators=(",", ":")))
