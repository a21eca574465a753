"""Nail plates as a person reads them off a drawing: size, turned with what, centred or moved.

The job file holds centre and angle; here they are said by the joint and the members that meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from girderply.desk.amend import AmendError, Edit
from girderply.desk.amounts import angle_text, length_text, parsed
from girderply.desk.decided import Decided
from girderply.errors import GirderplyError, JobError
from girderply.jobfile.job import Job
from girderply.model.build_girder import build_girder
from girderply.model.girder import Array, Girder, Joint

Plain = dict[str, Any]
LEVEL: Final = "level"
SAME_TURN: Final = math.radians(0.3)  # a plate is turned with a member when nearer than this
SAME_PLACE: Final = 1.0  # mm


class PlateError(GirderplyError, ValueError):
    """A plate that cannot be read."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One plate: joint, width along its axis, height across, turn (rad), moved by (mm)."""

    joint: str
    width: float
    height: float
    turn: float
    dx: float
    dy: float


def girder_of(decided: Decided) -> Girder | None:
    """The girder where the job makes one, whatever is decided about it."""
    if decided.schedule is not None:
        return decided.schedule.girder
    try:
        return build_girder(decided.job)[0] if decided.job else None
    except (JobError, GirderplyError):
        return None


def readings(decided: Decided) -> list[Plain]:
    """Every joint's plate, given or estimated, as texts in the job's units."""
    girder, job = girder_of(decided), decided.job
    if girder is None or job is None:
        return []
    return [_plain(girder, job, j) for j in girder.joints if _outline(girder, j.id) is not None]


def _plain(girder: Girder, job: Job, joint: Joint) -> Plain:
    outline = _outline(girder, joint.id)
    if outline is None:
        raise PlateError(f"there is no plate at {joint.id}")
    read, system = _read(joint, outline), str(job.info.units)
    given = [n for n, p in enumerate(job.girder.plates) if p.joint == joint.id]
    twin = mirrored(girder, joint)
    return {
        "joint": joint.id,
        "entry": given[0] if given else None,
        "assumed": not given,
        "width": length_text(read.width, system),
        "height": length_text(read.height, system),
        "turned": _turned_with(girder, joint, read.turn),
        "choices": [LEVEL, *joint.members],
        "dx": length_text(read.dx, system),
        "dy": length_text(read.dy, system),
        "mirror": twin.id if twin else None,
    }


def _outline(girder: Girder, joint: str) -> Array | None:
    return next((p.outline for p in girder.plates if p.joint == joint), None)


def _read(joint: Joint, outline: Array) -> Reading:
    along, across = outline[1] - outline[0], outline[3] - outline[0]
    x, y = outline.mean(axis=0)
    turn = _folded(math.atan2(along[1], along[0]))
    width, height = np.hypot(*along), np.hypot(*across)
    return Reading(joint.id, float(width), float(height), turn, x - joint.x, y - joint.y)


def _folded(turn: float) -> float:
    """A turn of a plate between -90 and 90 degrees: turned by half a circle it is the same."""
    return (turn + math.pi / 2 - 1e-9) % math.pi - math.pi / 2 + 1e-9


def _turned_with(girder: Girder, joint: Joint, turn: float) -> str:
    """Level, the member it lies along, or its angle."""
    if abs(turn) < SAME_TURN:
        return LEVEL
    for name in joint.members:
        away = abs(_folded(girder.member(name).angle - turn))
        if min(away, math.pi - away) < SAME_TURN:
            return name
    return angle_text(turn)


def mirrored(girder: Girder, joint: Joint) -> Joint | None:
    """The joint on the other half that lies as this one does, or None."""
    xs = [j.x for j in girder.joints]
    x = min(xs) + max(xs) - joint.x
    if abs(x - joint.x) < SAME_PLACE:
        return None
    for other in girder.joints:
        if abs(other.x - x) < SAME_PLACE and abs(other.y - joint.y) < SAME_PLACE:
            return other
    return None


def plate_edits(decided: Decided, said: Mapping[str, Any]) -> list[Edit]:
    """The changes that put a plate into the file as it was read off.

    Args:
        decided: state that it was read for.
        said: joint, width, height, turned (level, a member or an angle), dx, dy as texts, and
            whether the mirrored joint gets the same (`both`).

    Raises:
        PlateError: no such joint. QuantityError: a size that is none.
        AmendError: there is no girder yet.
    """
    girder, job = girder_of(decided), decided.job
    if girder is None or job is None:
        raise AmendError("there is no girder yet; mend what is wrong first")
    joint = next((j for j in girder.joints if j.id == said.get("joint")), None)
    if joint is None:
        raise PlateError(f"there is no joint {said.get('joint')!r}")
    sizes = {k: parsed(said.get(k, "0"), "length", job) for k in ("width", "height", "dx", "dy")}
    read = Reading(joint.id, turn=_turn(girder, job, joint, str(said.get("turned"))), **sizes)
    edits = [*_edits(job, joint, read)]
    twin = mirrored(girder, joint) if said.get("both") else None
    if twin is not None:
        other = Reading(twin.id, read.width, read.height, -read.turn, -read.dx, read.dy)
        edits += _edits(job, twin, other)
    return edits


def _turn(girder: Girder, job: Job, joint: Joint, said: str) -> float:
    if said == LEVEL:
        return 0.0
    if said in joint.members:
        return _folded(girder.member(said).angle)
    return parsed(said, "angle", job)


def _edits(job: Job, joint: Joint, read: Reading) -> Iterator[Edit]:
    system = str(job.info.units)
    values = {
        "x": length_text(joint.x + read.dx, system),
        "y": length_text(joint.y + read.dy, system),
        "width": length_text(read.width, system),
        "height": length_text(read.height, system),
    }
    turned = abs(read.turn) > 1e-9
    for n, plate in enumerate(job.girder.plates):
        if plate.joint == joint.id:
            place = ("girder", "plates", n)
            yield from (Edit((*place, k), "set", v) for k, v in values.items())
            if turned:
                yield Edit((*place, "angle"), "set", angle_text(read.turn))
            else:
                yield Edit((*place, "angle"), "drop")
            return
    angle = {"angle": angle_text(read.turn)} if turned else {}
    yield Edit(("girder", "plates"), "add", {"joint": joint.id, **values, **angle})
