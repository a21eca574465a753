"""The ledger of what was assumed, whole: what, what stands for it, where, why it matters."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.assumed import folded
from girderply.schedule.types import Schedule
from girderply.wording import phrase, told


def assumed_blocks(schedule: Schedule) -> Iterator[Block]:
    """Every assumption, those still open first."""
    yield b.heading(phrase("ledger.title"))
    if not schedule.assumed:
        yield b.words(phrase("ledger.nothing"))
        return
    ordered = sorted(folded(schedule.assumed), key=lambda a: a.confirmed)
    rows: list[list[b.Cell]] = [
        [
            phrase("ledger.confirmed") if a.confirmed else b.strong(phrase("ledger.open")),
            b.strong(told(a.what)), told(a.value), told(a.where), told(a.why),
        ]
        for a in ordered
    ]  # fmt: skip
    names = tuple(phrase(f"ledger.{n}") for n in ("state", "what", "value", "where", "why"))
    yield b.table(names, rows, ("auto", "1fr", "1fr", "1fr", "1.8fr"), ("left",) * 5)


def unchecked_blocks() -> Iterator[Block]:
    """What nobody may take for checked here."""
    yield b.heading(phrase("ledger.not_checked"))
    yield b.words(phrase("ledger.not_checked_words"))
