"""What was read from the job, summed up, so that a slip of the pen is seen before it is built."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice


def read_back(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """All hung loads together, what each bearing gets of them, the weight of the girder."""
    sums = schedule.sums
    if sums is None or not sums.count:
        return
    show = Printed(schedule.job.info.units, voice)
    total = sums.total
    pairs = [
        (
            voice.phrase("ledger.loads", n=sums.count),
            voice.phrase("ledger.loads_value", unfactored=show.force(total.unfactored),
                   design=show.force(total.design)),
        ),
        *(
            (voice.phrase("ledger.reaction", bearing=i), show.force(r.unfactored))
            for i, r in enumerate(sums.reactions or (), 1)
        ),
        (voice.phrase("ledger.weight"), show.force(sums.weight)),
    ]  # fmt: skip
    yield b.heading(voice.phrase("ledger.read_back"))
    yield b.facts(pairs)
