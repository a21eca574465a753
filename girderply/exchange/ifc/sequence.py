"""Stages of the assembly as tasks, one after the other, each with what goes in."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from girderply.exchange.ifc.space import Space
from girderply.exchange.ifc.step import Ref, enum
from girderply.schedule.types import Schedule, Stage
from girderply.wording import english


def make_tasks(
    space: Space, schedule: Schedule, project: Ref, fasteners: Mapping[str, Ref]
) -> None:
    """A task for the assembly, one for each stage below it, in their order."""
    whole = _task(space, "assembly", f"Assembly of {schedule.girder.mark}", None)
    declares = (space.guid("declares"), None, None, None, project, (whole,))
    space.step.add("IFCRELDECLARES", *declares)
    tasks = [_stage(space, stage) for stage in schedule.stages]
    nests = (space.guid("stages"), None, None, None, whole, tuple(tasks))
    space.step.add("IFCRELNESTS", *nests)
    for stage, task in zip(schedule.stages, tasks, strict=True):
        _what_goes_in(space, schedule, stage, task, fasteners)
    for number, (first, then) in enumerate(pairwise(tasks), 1):
        space.step.add(
            *("IFCRELSEQUENCE", space.guid("sequence", number), None, None, None, first, then),
            *(None, enum("FINISH_START"), None),
        )


def _task(space: Space, key: str | int, name: str, words: str | None) -> Ref:
    return space.step.add(
        *("IFCTASK", space.guid("task", key), None, name, words, None, str(key), None, None, None),
        *(False, None, None, enum("CONSTRUCTION")),
    )


def _stage(space: Space, stage: Stage) -> Ref:
    words = " ".join(map(english, stage.action)) or None
    return _task(space, stage.number, f"Stage {stage.number}: {english(stage.title)}", words)


def _what_goes_in(
    space: Space, schedule: Schedule, stage: Stage, task: Ref, fasteners: Mapping[str, Ref]
) -> None:
    f = schedule.fasteners
    mine = tuple(fasteners[i] for i in f.id[f.stage == stage.number].tolist())
    if mine:
        guid = space.guid("goes in", stage.number)
        space.step.add("IFCRELASSIGNSTOPROCESS", guid, None, None, None, mine, None, task, None)
