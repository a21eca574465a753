"""The side of the girder that comes first where two places are alike in every other way."""

from __future__ import annotations

import numpy as np

from girderply.jobfile.job import Role
from girderply.model.girder import Girder, HungLoad, Member

NEAR = 1e-3  # mm


def tape_side(girder: Girder) -> float:
    """The side where the tape of the bottom chord hooks; it turns with a mirror.

    Of bottom chords that hook at either side the longer ones have it, then all members together;
    where those are alike too, the heavier loads have it, and the left side last.

    Returns:
        -1 for the left side on the front face, 1 for the right one.
    """
    chords = [m for m in girder.members if m.role is Role.BOTTOM_CHORD]
    xs = np.concatenate([m.outline[:, 0] for m in girder.members])
    middle = float(xs.min() + xs.max()) / 2
    told = (
        sum(map(_toward_hook, chords)),
        sum(map(_toward_hook, girder.members)),
        sum((x.x - middle) * _weight(x) for x in girder.loads),
    )
    return next((1.0 if v > 0 else -1.0 for v in told if abs(v) > NEAR), -1.0)


def _toward_hook(member: Member) -> float:
    return member.hook[0] - member.far[0]


def _weight(load: HungLoad) -> float:
    parts = (load.permanent, load.variable, load.uplift, load.design)
    return sum(abs(v) for v in (*(p or 0.0 for p in parts), *dict(load.cases).values()))
