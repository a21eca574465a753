"""Webs that are alike: the same cut and the same fasteners at the same stations."""

from __future__ import annotations

import numpy as np

from girderply.drawing.runs_shown import edge_of, height_of
from girderply.model.girder import Array, Member
from girderply.schedule.types import Schedule


def twins(schedule: Schedule, stage: int | None = None) -> list[list[Member]]:
    """Members in the girder's order; webs that are alike (in this stage) share a group."""
    groups: dict[object, list[Member]] = {}
    for member in schedule.girder.members:
        key = member.id if member.role.is_chord else _likeness(schedule, member, stage)
        groups.setdefault(key, []).append(member)
    return list(groups.values())


def _likeness(schedule: Schedule, member: Member, stage: int | None) -> object:
    """What is the same for two webs that are told once: cut, stations, heights, fasteners.

    A web and its mirror image count as alike, wherever the tape hooks, when every station is the
    same and every row is as high above the same edge.
    """
    f = schedule.fasteners
    chosen = f.select((f.member == member.id) & ((f.stage == stage) | (stage is None)))
    heights = np.array([height_of(member, o) for o in chosen.offset.tolist()])
    rows = zip(
        chosen.kind.tolist(), chosen.spec.tolist(), chosen.stage.tolist(), chosen.face.tolist(),
        _whole(chosen.station).tolist(), _whole(heights).tolist(), strict=True,
    )  # fmt: skip
    cut = sorted((float(x), float(y)) for x, y in _whole(np.abs(member.to_local(member.outline))))
    size = (round(member.depth), round(member.length))
    return (*size, edge_of(member, "front"), tuple(cut), tuple(sorted(rows)))


def _whole(value: Array) -> Array:
    """To a millimetre; a half is the next one, whatever the noise of its last digits."""
    return np.asarray(np.floor(value + 0.5 + 1e-4), float)
