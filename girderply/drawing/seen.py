"""What people must see that a fastener's own columns do not say: points to clench, bolt sizes."""

from __future__ import annotations

from girderply.layout.bending import bent_in
from girderply.layout.records import Bools
from girderply.schedule.types import Schedule, Stage
from girderply.wording import Voice
from girderply.wording.words import spec_words


def points_to_clench(schedule: Schedule, stage: Stage) -> Bools:
    """(n,) fasteners whose points are bent over in this stage."""
    return bent_in(schedule.fasteners, schedule.stages, stage)


def bolt_size(voice: Voice, schedule: Schedule, spec: str) -> str:
    """What tells the bolts of a girder apart, for example "M16"; nothing where all are alike."""
    if len(schedule.bolts) < 2 or spec not in schedule.bolts:
        return ""
    keys = [choice.bolt.key for choice in schedule.bolts.values()]
    key = schedule.bolts[spec].bolt.key
    return voice.told(key if keys.count(key) == 1 else spec_words(spec))
