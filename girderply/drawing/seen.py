"""What people do in a stage that the fasteners' own stage does not say: points to clench."""

from __future__ import annotations

import numpy as np

from girderply.layout.records import Bools
from girderply.schedule.types import Schedule, Stage


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
                if s.number > number and s.face_up != face and "nail" not in s.kinds
            ]
            if later and min(later) == stage.number:
                mask |= f.clench & (f.face == face) & (f.stage == number)
    return mask
