"""The job said back in plain sentences: a second person holds them against the drawing, signs."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.read_back import read_back
from girderply.schedule.types import Schedule
from girderply.wording import Voice, Words


def read_back_blocks(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """What was read with a box for each sentence, what is unusual, what was not checked."""
    found = read_back(schedule)
    yield b.heading(voice.phrase("read_back.title"), voice.phrase("read_back.how"))
    rows: list[list[b.Cell]] = [[b.BOX, voice.told(sentence)] for sentence in found.said]
    yield b.table((), rows, ("auto", "1fr"), ("left", "left"))
    yield from _part(voice, "unusual", found.unusual)
    yield from _part(voice, "not_checked", found.not_checked)
    yield b.hold(
        voice.phrase("read_back.compared"),
        voice.phrase("read_back.compared_all"),
        [voice.phrase(f"sheet.{name}") for name in ("name", "signature", "date")],
    )


def _part(voice: Voice, name: str, sentences: tuple[Words, ...]) -> Iterator[Block]:
    if sentences:
        yield b.heading(voice.phrase(f"read_back.head_{name}"))
        yield b.words(*map(voice.told, sentences))
