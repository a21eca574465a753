"""The order list, with allowance and masses."""

from __future__ import annotations

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.sheet_words import heads
from girderply.schedule.types import OrderLine, Schedule
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words, spec_words


def order_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """What to order for one girder and for all of them, with masses."""
    show = Printed(schedule.job.info.units, voice)
    n, share = schedule.girder.quantity, schedule.job.fastening.order_allowance
    rows = [_order_row(voice, line, n, show) for line in schedule.order]
    every = [voice.phrase("order.for_all", quantity=n)] if n > 1 else []
    names = [*heads(voice, "", "name", "needed", "order"), *every, *heads(voice, "mass", "note")]
    align = ("left", "left", *["right"] * (len(names) - 3), "left")
    how = voice.phrase("order.how_one", share=show.percent(share))
    if n > 1:
        how = voice.phrase("order.how_all", share=show.percent(share), quantity=n)
    return [
        b.heading(voice.phrase("order.title")),
        b.words(how),
        b.table(names, rows, (*["auto"] * (len(names) - 1), "1fr"), align),
    ]  # fmt: skip


def _order_row(voice: Voice, line: OrderLine, n: int, show: Printed) -> list[b.Cell]:
    mass = show.mass(line.mass * n) if line.mass else "\u2013"
    one, every = show.number(line.ordered), b.strong(show.number(line.ordered * n))
    order: list[b.Cell] = [one, every] if n > 1 else [b.strong(one)]
    kind = kind_words(line.kind, 1)
    return [
        voice.told(kind),
        b.strong(voice.told(spec_words(line.spec))),
        show.number(line.needed),
        *order,
        mass,
        voice.told(line.note),
    ]
