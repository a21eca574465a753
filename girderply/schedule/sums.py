"""The sums of a job: all loads together, what each bearing gets of them, the weight."""

from __future__ import annotations

from dataclasses import dataclass, fields

from girderply.jobfile.job import Job
from girderply.model.girder import Girder, HungLoad
from girderply.model.mass import centre_of_gravity
from girderply.schedule.design_value import design_value
from girderply.strength.reactions import reactions

GRAVITY = 9.80665  # m/s2


@dataclass(frozen=True, slots=True)
class Forces:
    """Sums of the parts of loads, N, downward positive; uplift as it is written, positive up.

    Attributes:
        permanent, variable, uplift, given: as the job gives them, without factors; `given` are
            design values that are given as such.
        design: the largest downward design value of every load, by the job's standard.
    """

    permanent: float
    variable: float
    uplift: float
    given: float
    design: float

    @property
    def unfactored(self) -> float:
        """Permanent and variable together, and values given as they are."""
        return self.permanent + self.variable + self.given


PARTS = tuple(f.name for f in fields(Forces))


@dataclass(frozen=True, slots=True)
class Sums:
    """All hung loads of one girder, and what they give.

    Attributes:
        total: of all loads. faces: face -> of its loads, only faces that are loaded.
        reactions: of the hung loads alone, one per bearing in the order of the bearings; None
            where they cannot be told.
        weight: of the girder with its fasteners, N. weight_reactions: of its own weight at each
            of two bearings, N, else None.
        count: of hung loads.
    """

    total: Forces
    faces: dict[str, Forces]
    reactions: tuple[Forces, ...] | None
    weight: float
    weight_reactions: tuple[float, ...] | None
    count: int


def sums_of(job: Job, girder: Girder, mass: float) -> Sums:
    """Add up.

    Args:
        job: basis, for design values.
        girder: loads, bearings, outlines.
        mass: of the whole girder, kg.
    """
    values = {load.id: _values(load, job) for load in girder.loads}
    weight = mass * GRAVITY
    faces = {}
    for face in ("front", "back", "top"):
        mine = [values[x.id] for x in girder.loads if x.face == face]
        if mine:
            faces[face] = _added(mine)
    return Sums(
        total=_added(list(values.values())),
        faces=faces,
        reactions=_reactions(girder, list(values.values())),
        weight=weight,
        weight_reactions=_of_weight(girder, weight),
        count=len(girder.loads),
    )


def _values(load: HungLoad, job: Job) -> Forces:
    parts = (load.permanent or 0.0, load.variable or 0.0, load.uplift or 0.0, load.design or 0.0)
    return Forces(*parts, design=design_value(load, job.basis)[0])


def _added(parts: list[Forces]) -> Forces:
    return Forces(*(sum(getattr(p, name) for p in parts) for name in PARTS))


def _reactions(girder: Girder, values: list[Forces]) -> tuple[Forces, ...] | None:
    columns = {n: reactions(girder, [getattr(v, n) for v in values]) for n in PARTS}
    if any(c is None for c in columns.values()):
        return None
    rows = zip(*(c.tolist() for c in columns.values() if c is not None), strict=True)
    return tuple(Forces(*row) for row in rows)


def _of_weight(girder: Girder, weight: float) -> tuple[float, ...] | None:
    """Own weight at its centre of gravity, by levers."""
    if len(girder.bearings) != 2 or girder.bearings[0].x == girder.bearings[1].x:
        return None
    a, b = (bearing.x for bearing in girder.bearings)
    right = weight * (centre_of_gravity(girder)[0] - a) / (b - a)
    return (weight - right, right)


def sums_part(sums: Sums) -> dict[str, object]:
    """The sums as plain data, N."""
    return {
        "loads": sums.count,
        **_forces_part(sums.total),
        "faces": {face: _forces_part(f) for face, f in sums.faces.items()},
        "reactions": [_forces_part(r) for r in sums.reactions] if sums.reactions else None,
        "self_weight_N": sums.weight,
        "self_weight_reactions_N": list(sums.weight_reactions) if sums.weight_reactions else None,
    }


def _forces_part(forces: Forces) -> dict[str, object]:
    return {f"{name}_N": getattr(forces, name) for name in PARTS}
