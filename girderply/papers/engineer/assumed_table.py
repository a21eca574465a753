"""The ledger of what was assumed, whole: what, what stands for it, where, why it matters."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.assumed import folded
from girderply.schedule.types import Schedule
from girderply.wording import Voice


def assumed_blocks(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """Every assumption, those still open first."""
    yield b.heading(voice.phrase("ledger.title"))
    if not schedule.assumed:
        yield b.words(voice.phrase("ledger.nothing"))
        return
    ordered = sorted(folded(schedule.assumed), key=lambda a: a.confirmed)
    confirmed, open_ = voice.phrase("ledger.confirmed"), b.strong(voice.phrase("ledger.open"))
    rows: list[list[b.Cell]] = [
        [
            confirmed if a.confirmed else open_,
            b.strong(voice.told(a.what)),
            *map(voice.told, (a.value, a.where, a.why)),
        ]
        for a in ordered
    ]
    names = tuple(voice.phrase(f"ledger.{n}") for n in ("state", "what", "value", "where", "why"))
    yield b.table(names, rows, ("auto", "1fr", "1fr", "1fr", "1.8fr"), ("left",) * 5)
