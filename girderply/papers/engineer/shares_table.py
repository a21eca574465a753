"""How the plies share: the worst of every ply, and the forces of members and plies."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.papers.engineer.forces_per_ply import forces_blocks
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.types import Schedule
from girderply.strength.sharing.shares import PlyShare
from girderply.units.show import Printed
from girderply.wording import Voice, figures


def shares_blocks(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """The verdict in front, then the worst share of each ply, then the forces."""
    if schedule.shares is None:
        return
    show = Printed(schedule.job.info.units, voice)
    yield b.heading(voice.phrase("sharing.title"))
    yield b.words(voice.phrase("sharing.verdict", words=schedule.shares.words()))
    rows = [_share_row(voice, schedule, s, show) for s in schedule.shares.worst]
    heads = tuple(voice.phrase(f"sharing.head_{n}") for n in ("where", "ply", "share", "when"))
    yield b.table(heads, rows, ("auto", "auto", "auto", "1fr"), ("left", "right", "right", "left"))
    yield from forces_blocks(voice, schedule)


def _share_row(voice: Voice, schedule: Schedule, s: PlyShare, show: Printed) -> list[b.Cell]:
    where: str = s.member
    if s.bearing:
        x = show.span(schedule.girder.bearings[s.bearing - 1].x)
        where = voice.phrase("sharing.bearing", bearing=s.bearing, x=x)
    share = figures(f"{s.share:.2f}")
    return [b.strong(where), f"{s.ply}", b.strong(voice.told(share)), voice.told(s.circumstances())]
