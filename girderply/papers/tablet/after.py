"""A tablet page that goes on from a record: what was seen before, and what was to be added."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from girderply.inspection.history import History
from girderply.inspection.record import Record
from girderply.inspection.result_words import place_in_words
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Voice


@dataclass(frozen=True, slots=True)
class After:
    """What the page starts from.

    Attributes:
        seen: all that was seen so far, as one record.
        stages: numbers of the stages that hold what was to be added.
        instead_of: id of a make-good fastener -> id of the one that it was added for.
    """

    seen: Record
    stages: frozenset[int]
    instead_of: Mapping[str, str]

    def as_data(self) -> dict[str, Any]:
        """The record that the next one has to name, and its state as a record of its own.

        The next visit has its own inspector, date and note; a stage that was signed stays signed,
        and what a photo was taken of is not asked for again.
        """
        r = self.seen
        signed = {s.stage: s for s in r.signatures}
        return {
            "record": r.hash,
            "previous": r.previous,
            "piece": r.piece,
            "marks": [asdict(m) for m in r.marks],
            "counts": [asdict(c) for c in r.counts],
            "plies": {"gap_mm": r.gap_mm, "alignment_mm": r.alignment_mm},
            "stages": [asdict(s) for s in r.stages],
            "photos": sorted({p.of for p in r.photos} | set(r.on_paper)),
            "signatures": [asdict(signed[stage]) for stage in sorted(signed)],
        }

    def places(self, voice: Voice, schedule: Schedule, stage: int) -> dict[str, str]:
        """What is to be added in a stage: id -> where, what, from which face, instead of what."""
        show, f = Show(schedule.job.info.units), schedule.fasteners
        rows = {str(row["id"]): row for row in f.select(f.stage == stage).records()}
        return {
            name: voice.told(
                place_in_words(
                    row,
                    self.instead_of.get(name, ""),
                    schedule.girder.member(str(row["member"])),
                    show,
                )
            )
            for name, row in rows.items()
        }


def after(history: History) -> After:
    """Where the records of a girder stand now.

    Raises:
        ValueError: no record was taken yet.
    """
    if history.merged is None:
        raise ValueError("no record was taken yet")
    return After(history.merged, frozenset(history.added), dict(history.stands_for))
