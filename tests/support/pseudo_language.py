"""A made-up language that shows which words on a sheet do not come from the table of messages.

Every text of the English table is written in other letters, the values in it are not: what stands
there in Latin letters is data or a word that somebody wrote into the code. That holds however a
text is cut into lines.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from girderply.schedule.types import Schedule
from girderply.wording import Voice
from girderply.wording import messages as tables

NAME = "xx"
_WORD = re.compile(r"[A-Za-z\u00c0-\u024f]{3,}")
_SVG_TEXT = re.compile(r"<text[^>]*>([^<]*)</text>")
_LETTERS = {
    ord("a") + k + capital: chr(0x430 + k + capital) for k in range(26) for capital in (0, -0x20)
}


def _marked(text: str) -> str:
    """The text with Cyrillic letters for Latin ones, values as they are; as wide, nearly."""
    parts = re.split(r"(\{[^}]*\})", text)
    return "".join(p if p.startswith("{") else p.translate(_LETTERS) for p in parts)


def _pseudo(name: str) -> dict[str, Any]:
    if name == "figures":
        return tables.area("en", name)
    return {
        key: _marked(entry) if isinstance(entry, str) else {k: _marked(v) for k, v in entry.items()}
        for key, entry in tables.area("en", name).items()
    }


@contextmanager
def spoken() -> Iterator[Voice]:
    """Speak the made-up language."""
    real = tables.area
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tables, "LANGUAGES", (*tables.LANGUAGES, NAME))
        patch.setattr(tables, "area", lambda lg, n: _pseudo(n) if lg == NAME else real(lg, n))
        yield Voice(NAME)


def in_it(schedule: Schedule) -> Schedule:
    """A schedule whose papers are in the made-up language; only while it is spoken."""
    info = replace(schedule.job.info, language=NAME)
    return replace(schedule, job=replace(schedule.job, info=info))


def unspoken(text: str, known: set[str]) -> list[str]:
    """Words of a text that neither come from the table nor are known data."""
    return [w for w in _WORD.findall(text) if w not in known]


def data_words(job: Path) -> set[str]:
    """Words that are data of a job: whatever stands in its values, no comment and no key."""
    import tomllib  # noqa: PLC0415

    found: set[str] = set()

    def walk(value: Any) -> None:
        if isinstance(value, dict):
            for inner in value.values():
                walk(inner)
        elif isinstance(value, list):
            for inner in value:
                walk(inner)
        elif isinstance(value, str):
            found.update(_WORD.findall(value))

    walk(tomllib.loads(job.read_text("utf-8")))
    return found


def texts_of(value: Any) -> Iterator[str]:
    """Every text that a reader sees in the blocks of a sheet, its drawings included."""
    from girderply.drawing.page import Drawing  # noqa: PLC0415

    if isinstance(value, Drawing):
        yield value.title
        yield from (t.text for t in value.texts())
    elif isinstance(value, dict):
        skip = {"kind", "widths", "align", "width"}
        for key, inner in value.items():
            if key == "svg":
                yield from (html.unescape(t) for t in _SVG_TEXT.findall(inner))
            elif key not in skip:
                yield from texts_of(inner)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from texts_of(inner)
    elif isinstance(value, str):
        yield value
