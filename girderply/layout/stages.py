"""Stages of the assembly: which plies lie together, which nails go in from which face.

The stack is built with heads inside and points outside: nails of a stage are driven from the face
that is up, through the ply just laid on, into those below. Points that come out on the far face
are clenched after turning over; bolts go in last. Where plies stand upright nothing is turned
over: people go round to the other face. Where they can reach one face only, nothing is clenched.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from girderply.catalogue import nail as find_nail
from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.errors import CatalogueError
from girderply.jobfile.job import Face
from girderply.layout.brief import Brief
from girderply.rules.rule_set import StageRule

FLUSH = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Pass:
    """Nails driven in one stage from one face.

    Attributes:
        group: index of the rule's stage (nails of one pattern share it).
        stage: stage number. face: they are driven from.
        from_ply, to_ply: ply of the head and of the point.
        protrusion: past the last ply of the stack, mm. point_depth: in `to_ply`, mm.
        share: 0 or 1 when the pattern is shared between the faces, else None.
        fastens: interfaces whose pattern this is. plies: (low, high) of the stack.
    """

    group: int
    stage: int
    face: Face
    nail: Nail
    from_ply: int
    to_ply: int
    protrusion: float
    point_depth: float
    clench: bool
    share: int | None
    fastens: tuple[int, ...]
    plies: tuple[int, int]

    @property
    def reach(self) -> tuple[int, int]:
        """Lowest and highest ply that the nail is in."""
        return min(self.from_ply, self.to_ply), max(self.from_ply, self.to_ply)


@dataclass(frozen=True, slots=True)
class Step:
    """One stage before it is put into words.

    Attributes:
        number: of the stage. face_up: face that people look at. turn: turned over before it.
        round: people go round to this face before it; the plies stand.
        plies: (low, high) of the stack. added: plies laid on, in this order.
        passed: the nails of this stage, or None.
        clench: points that come out of the face that is up are bent over here.
        bolts: bolts go in here.
    """

    number: int
    face_up: Face
    turn: bool
    plies: tuple[int, int]
    added: tuple[int, ...] = ()
    passed: Pass | None = None
    clench: bool = False
    bolts: bool = False
    round: bool = False


def reach_of(shared: Sequence[Pass]) -> tuple[int, int]:
    """Lowest and highest ply that the nails of a rule stage are in."""
    return min(p.reach[0] for p in shared), max(p.reach[1] for p in shared)


def from_back(index: int, count: int) -> int:
    """A ply or interface number; negative ones count from the back (-1 is the last)."""
    return index if index > 0 else count + 1 + index


def opposite(face: Face) -> Face:
    """The other face."""
    return "back" if face == "front" else "front"


def drive(
    nail: Nail, face: Face, plies: tuple[int, int], thickness: float
) -> tuple[int, float, float]:
    """Where a nail driven from a face of a stack ends.

    Args:
        nail: the nail.
        face: it is driven from.
        plies: (low, high) of the stack.
        thickness: of one ply, mm.

    Returns:
        (to_ply, point_depth, protrusion): ply of the point, how deep it is in it (mm), and what
        comes out at the far side (mm).
    """
    low, high = plies
    count = high - low + 1
    crossed = min(count, max(1, math.ceil(nail.length / thickness - 1e-9)))
    protrusion = max(0.0, nail.length - count * thickness)
    depth = thickness if protrusion > FLUSH else nail.length - (crossed - 1) * thickness
    to_ply = low + crossed - 1 if face == "front" else high - crossed + 1
    return to_ply, depth, protrusion


def with_nail(brief: Brief, passed: Pass, nail: Nail) -> Pass:
    """The same nails of a stage, but of another kind, as the truss designer prescribes them."""
    to_ply, depth, protrusion = drive(nail, passed.face, passed.plies, brief.girder.ply_thickness)
    clench = _clenched(brief, nail, protrusion, passed.face)
    return replace(
        passed, nail=nail, to_ply=to_ply, point_depth=depth, protrusion=protrusion, clench=clench
    )


def _clenched(brief: Brief, nail: Nail, protrusion: float, face: Face) -> bool:
    """Whether a point is bent over: where people can reach it; a screw is hard and would break."""
    limits = brief.rules.clench_protrusion
    if limits is None or protrusion <= FLUSH or isinstance(nail, Screw):
        return False
    if not brief.job.assembly.reaches(opposite(face)):
        return False
    return limits[0] - FLUSH <= protrusion <= limits[1] + FLUSH


def plan_steps(brief: Brief, bolted: bool) -> tuple[Step, ...]:
    """All stages of the assembly, in order.

    Args:
        brief: girder and rules.
        bolted: whether any bolt goes in.
    """
    steps: list[Step] = []
    present: tuple[int, int] | None = None
    upright = brief.job.assembly.upright
    for group, rule in enumerate(brief.ply_rule.stages):
        added = tuple(from_back(p, brief.girder.plies) for p in rule.add)
        here = (*added, *(present or ()))
        present = (min(here), max(here))
        for share, face in enumerate(_faces(rule)):
            other = bool(steps) and steps[-1].face_up != face
            number = len(steps) + 1
            shared = share if rule.drive == "alternate" else None
            passed = (
                _pass(brief, rule, group, number, face, present, shared) if rule.fastens else None
            )
            added_now = added if share == 0 else ()
            step = Step(number, face, other and not upright, present, added_now, passed)
            steps.append(replace(step, round=other and upright))
    return tuple(steps + _closing_steps(brief, steps, bolted))


def _faces(rule: StageRule) -> tuple[Face, ...]:
    return ("front", "back") if rule.drive == "alternate" else (rule.drive,)


def _nail(brief: Brief, rule: StageRule) -> Nail:
    """The job's nail, else the stage's own, else the rule's for this number of plies."""
    asked = brief.job.fastening
    if rule.nail and asked.nail is None and asked.screw is None:
        return find_nail(rule.nail)
    if brief.nail is None:
        raise CatalogueError(f"rule set {brief.rules.name} names no nail for a nailed stage")
    return brief.nail


def _pass(
    brief: Brief,
    rule: StageRule,
    group: int,
    number: int,
    face: Face,
    plies: tuple[int, int],
    share: int | None,
) -> Pass:
    nail = _nail(brief, rule)
    to_ply, depth, protrusion = drive(nail, face, plies, brief.girder.ply_thickness)
    return Pass(
        group=group,
        stage=number,
        face=face,
        nail=nail,
        from_ply=plies[0] if face == "front" else plies[1],
        to_ply=to_ply,
        protrusion=protrusion,
        point_depth=depth,
        clench=_clenched(brief, nail, protrusion, face),
        share=share,
        fastens=tuple(from_back(i, brief.girder.plies - 1) for i in rule.fastens),
        plies=plies,
    )


def _closing_steps(brief: Brief, steps: list[Step], bolted: bool) -> list[Step]:
    """Clenching with each face up that points come out of, then bolts."""
    up = steps[-1].face_up if steps else "front"
    points = {opposite(s.passed.face) for s in steps if s.passed and s.passed.clench}
    faces = sorted(points, key=lambda f: f != up)
    whole = (1, brief.girder.plies)
    closing: list[Step] = []
    for face in faces or ([up] if bolted else []):
        other = face != (closing[-1].face_up if closing else up)
        upright = brief.job.assembly.upright
        number = len(steps) + len(closing) + 1
        last = face == (faces or [up])[-1]
        step = Step(number, face, other and not upright, whole, clench=bool(faces))
        closing.append(replace(step, bolts=bolted and last, round=other and upright))
    return closing
