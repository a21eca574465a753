"""Webs that are alike: the same cut and the same fasteners at the same stations."""

from __future__ import annotations

import numpy as np

from girderply.model.girder import Member
from girderply.schedule.types import Schedule


def twins(schedule: Schedule) -> list[list[Member]]:
    """Members in the girder's order; webs that are alike share a group."""
    groups: dict[object, list[Member]] = {}
    for member in schedule.girder.members:
        key = member.id if member.role.is_chord else _likeness(schedule, member)
        groups.setdefault(key, []).append(member)
    return list(groups.values())


def _likeness(schedule: Schedule, member: Member) -> object:
    """What is the same for two webs that one drawing serves: cut, fasteners, plates' reach."""
    f = schedule.fasteners
    chosen = f.select(f.member == member.id)
    rows = zip(
        chosen.kind.tolist(), chosen.spec.tolist(), chosen.stage.tolist(), chosen.face.tolist(),
        chosen.row.tolist(), np.round(chosen.station, 1).tolist(),
        np.round(np.abs(chosen.offset), 1).tolist(), strict=True,
    )  # fmt: skip
    outline = np.round(np.abs(member.to_local(member.outline)), 0) + 0.0
    turned = bool(member.far[0] < member.hook[0] - 1e-6)
    cut = sorted((float(x), float(y)) for x, y in outline)
    return (
        round(member.depth, 1),
        round(member.length, 1),
        turned,
        tuple(cut),
        tuple(sorted(rows)),
    )
