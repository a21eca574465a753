"""What people must see that a fastener's own columns do not say: points to clench, bolt sizes."""

from __future__ import annotations

import numpy as np

from girderply.layout.records import Bools
from girderply.schedule.types import Schedule, Stage
from girderply.wording.words import spec_words


def points_to_clench(schedule: Schedule, stage: Stage) -> Bools:
    """(n,) fasteners whose points are bent over in this stage.

    That is the first stage after their own in which no nails are driven and the face that the
    points come out of is up.
    """
    f = schedule.fasteners
    mask = np.zeros(len(f), bool)
    for face in ("front", "back"):
        for number in sorted(set(f.stage[f.clench & (f.face == face)].tolist())):
            later = [
                s.number
                for s in schedule.stages
                if s.number > number and s.face_up != face and not {"nail", "screw"} & set(s.kinds)
            ]
            if later and min(later) == stage.number:
                mask |= f.clench & (f.face == face) & (f.stage == number)
    return mask


def bolt_size(schedule: Schedule, spec: str) -> str:
    """What tells the bolts of a girder apart, for example "M16"; nothing where all are alike."""
    if len(schedule.bolts) < 2 or spec not in schedule.bolts:
        return ""
    keys = [choice.bolt.key for choice in schedule.bolts.values()]
    key = schedule.bolts[spec].bolt.key
    return key if keys.count(key) == 1 else spec_words(spec)
