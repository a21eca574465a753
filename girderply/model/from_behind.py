"""The same girder as somebody sees it who stands behind it, every load as two halves."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from girderply.jobfile.job import Job, LoadSpec, Point
from girderply.model.girder import Array, Girder, HungLoad

Load = TypeVar("Load", LoadSpec, HungLoad)
OTHER: dict[str, Any] = {"front": "back", "back": "front", "top": "top", "both": "both"}
HALVES = ("/1", "/2")  # no name of a load has a stroke


def girder_from_behind(girder: Girder) -> Girder:
    """Left is right and front is back; hook ends stay at their ends, so stations stay too.

    Args:
        girder: as its job describes it.
    """
    ends = np.concatenate([m.outline[:, 0] for m in girder.members])
    whole = float(ends.min() + ends.max())

    def over(point: Point) -> Point:
        return whole - point[0], point[1]

    def outline(corners: Array) -> Array:
        return np.asarray(corners * [-1.0, 1.0] + [whole, 0.0])[::-1]

    return replace(
        girder,
        members=tuple(
            replace(m, hook=over(m.hook), far=over(m.far), outline=outline(m.outline))
            for m in girder.members
        ),
        joints=tuple(replace(j, x=whole - j.x) for j in girder.joints),
        plates=tuple(replace(p, outline=outline(p.outline)) for p in girder.plates),
        bearings=tuple(replace(b, x=whole - b.x) for b in reversed(girder.bearings)),
        loads=tuple(
            replace(
                half,
                x=whole - half.x,
                footprint=None if half.footprint is None else outline(half.footprint),
            )
            for load in girder.loads
            for half in _halves(load)
        ),
    )


def job_from_behind(job: Job) -> Job:
    """The job of that girder; what the truss designer says of left and right is left out."""
    loads = tuple(half for load in job.loads for half in _halves(load))
    return replace(job, loads=loads, designer=None)


def _halves(load: Load) -> tuple[Load, ...]:
    """The load on the other face, as two entries; whole where its own fixings carry it."""
    over = replace(load, face=OTHER[load.face])
    bracket = load.bracket
    if bracket is not None and (bracket.bolts or bracket.fixing):
        return (over,)
    return tuple(_half(over, name) for name in HALVES)


def _half(load: Load, name: str) -> Load:
    parts = {part: getattr(load, part) for part in ("permanent", "variable", "uplift", "design")}
    half: dict[str, Any] = {n: None if v is None else v / 2 for n, v in parts.items()}
    own = replace(
        load, id=load.id + name, cases=tuple((case, v / 2) for case, v in load.cases), **half
    )
    return replace(own, entry=load.series + name) if isinstance(own, HungLoad) else own
