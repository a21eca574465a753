"""Words for plies that stand while they are fastened: set, braced, slung, gone round."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.layout.stages import Step
from girderply.wording import Said, Words, joined, said
from girderply.wording.words import face_words, kind_words


def in_turn(numbers: Sequence[int]) -> Said:
    """Plies as they are set one after the other: ply 1, then ply 2."""
    return joined(said("action.then"), [said("action.ply_first", ply=n) for n in numbers])


def stand(steps: Sequence[Step], index: int) -> list[Words]:
    """How the plies of a stage are set and held, and to which face people go."""
    step = steps[index]
    lines: list[Words] = []
    if step.round:
        lines.append(said("action.round", face=face_words(step.face_up)))
    if not step.added:
        return lines
    face, rest = face_words(step.face_up), step.added
    if index == 0:
        lines.append(said("action.stand_first", ply=step.added[0]))
        rest = step.added[1:]
    if rest:
        lines.append(said("action.stand_next", face=face, plies=in_turn(rest)))
    return lines


def hold_standing(step: Step, following: Step | None, bolted: bool) -> Words:
    """What may not be done before this stage is counted."""
    if following is None:
        return said("action.hold_stands_bolts" if bolted else "action.hold_stands")
    if following.added and step.passed:
        many = kind_words(step.passed.nail.kind, 2)
        ply = following.added[0]
        return said("action.hold_stand", stage=step.number, many=many, ply=ply)
    if following.round:
        many = kind_words(step.passed.nail.kind if step.passed else FastenerKind.NAIL, 2)
        face = face_words(following.face_up)
        return said("action.hold_round", stage=step.number, many=many, face=face)
    return ""
