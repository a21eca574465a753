"""The job in plain sentences, one page for a second person to hold against the drawing and sign."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Final

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.read_back import read_back
from girderply.schedule.types import Schedule
from girderply.wording import Said, Voice, Words

OWN: Final = frozenset(
    f"read_back.{key}"
    for key in ("load", "outline", "screw", "prescribed", "case", "table_designer")
)
"""Sentences that have a paragraph each."""
IN_GENERAL: Final = frozenset(
    f"read_back.not_{key}"
    for key in ("truss", "plates", "brackets", "bearings", "beyond_seats", "bracing")
)
"""What is checked of no girder; one sentence says it all."""


def read_back_blocks(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """What the job says, what is unusual for its kind, what nobody has checked; lines to sign on.

    What was assumed follows in the ledger.
    """
    found = read_back(schedule)
    yield b.heading(voice.phrase("ledger.read_back"), voice.phrase("ledger.read_back_how"))
    yield b.words(*_paragraphs(voice, found.said))
    yield b.heading(voice.phrase("ledger.unusual"))
    yield b.words(
        *(map(voice.told, found.unusual) if found.unusual else [voice.phrase("ledger.none_found")])
    )
    yield b.heading(voice.phrase("ledger.not_checked"))
    own = (voice.told(line) for line in found.not_checked if not _one_of(line, IN_GENERAL))
    yield b.words(" ".join((*own, voice.phrase("ledger.not_checked_words"))))
    yield b.keep(b.signatures((voice.phrase("ledger.read_by"), voice.phrase("sheet.date"))))


def _paragraphs(voice: Voice, sentences: Iterable[Words]) -> Iterator[str]:
    """One for each load and for each line of a list; what stands between them runs on."""
    for alone, together in groupby(sentences, key=_one_of):
        lines = map(voice.told, together)
        yield from lines if alone else (" ".join(lines),)


def _one_of(sentence: Words, keys: frozenset[str] = OWN) -> bool:
    return isinstance(sentence, Said) and sentence.key in keys
