"""Lines of a tick-off sheet, counted from the fasteners and from nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.papers.page.fastener_counts import row_words
from girderply.schedule.types import Schedule, Stage
from girderply.wording import ENGLISH


@dataclass(frozen=True, slots=True)
class DueRow:
    """One line of the tick-off sheet: `due` fasteners of a kind in one row of one member."""

    member: str
    where: str
    kind: str
    face: str
    due: int


def due_rows(schedule: Schedule, stage: Stage) -> list[DueRow]:
    """Lines of one stage: member by member, nails row by row, bolts together."""
    f = schedule.fasteners
    chosen = f.select(f.stage == stage.number)
    rank = {m.id: i for i, m in enumerate(schedule.girder.members)}
    counts: dict[tuple[int, str, str, int, str], int] = {}
    for i in range(len(chosen)):
        kind, member = str(chosen.kind[i]), str(chosen.member[i])
        row = 0 if kind == "bolt" else int(chosen.row[i])
        key = (rank.get(member, 0), member, kind, row, str(chosen.face[i]))
        counts[key] = counts.get(key, 0) + 1
    ordered = sorted(counts, key=lambda k: (k[0], k[2] == "bolt", k[3], k[4]))
    return [
        DueRow(k[1], row_words(ENGLISH, schedule, k[1], k[3]), k[2], k[4], counts[k])
        for k in ordered
    ]
