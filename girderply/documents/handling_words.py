"""Lifts and turns in plain words, the same on the stage sheets and on the handling sheet."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.schedule.handling import (
    LONG,
    MECHANICAL,
    Move,
    StageHandling,
    balance,
    handling,
    one_person,
    team_limit,
    team_shares,
)
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Show

_NUMBERS = {2: "two", 3: "three"}


def stage_handling(schedule: Schedule, stage: Stage) -> StageHandling:
    """The moves of one stage."""
    return next(h for h in handling(schedule) if h.stage == stage.number)


def move_words(move: Move) -> str:
    """What is moved: lay ply 4, turn plies 1 to 6 over, lift the girder off."""
    if move.kind == "lay":
        return f"Lay {plies_words(move.plies, each=True)}"
    if move.kind == "turn":
        return f"Turn {plies_words(move.plies)} over"
    return "Lift the girder off"


def plies_words(plies: Sequence[int], each: bool = False) -> str:
    """Ply 3; plies 1 to 6; plies 5 and 6 one by one."""
    if len(plies) == 1:
        return f"ply {plies[0]}"
    first, last = min(plies), max(plies)
    joint = "and" if last - first == 1 else "to"
    return f"plies {first} {joint} {last}" + (" one by one" if each else "")


def people_words(people: int) -> str:
    """Who moves it."""
    return "crane or hoist" if people == MECHANICAL else f"{_NUMBERS[people]} people or a crane"


def moves_line(schedule: Schedule, stage: Stage, show: Show) -> str:
    """Lifts and turns of a stage with mass and who does it, and what lies there when it is done."""
    part = stage_handling(schedule, stage)
    before = [m for m in part.moves if m.kind != "lift off"]
    said = [f"{move_words(m)}: {show.mass(m.mass)}, {people_words(m.people)}." for m in before]
    if any(m.kind == "turn" for m in before) and balance(schedule.girder).long:
        said.append("Long girder: read the handling sheet before turning.")
    n = len(stage.plies)
    plies = "1 ply" if n == 1 else f"{n} plies"
    said.append(f"On the trestles then: {plies}, {show.mass(part.mass)}.")
    said += [
        f"{move_words(m)} only after inspection: {people_words(m.people)}."
        for m in part.moves
        if m.kind == "lift off"
    ]
    return " ".join(said)


def team_words(show: Show) -> str:
    """What teams may lift, from the guidance, and when it is less."""
    teams = ", ".join(
        f"{_NUMBERS[n]} people {show.mass(team_limit(n, one_person()))}" for n in team_shares()
    )
    return (
        f"Most in the best hold (each {show.mass(one_person())}, close to the body, at waist "
        f"height): {teams}; after UK HSE guidance L23. Less when bending, reaching, twisting or "
        "on rough ground, and for anybody who may lift less. Beyond that: crane or hoist."
    )


def long_words(show: Show) -> list[str]:
    """For girders that are too long to be turned: what to do instead, and what then changes."""
    return [
        f"Longer than {show.span(LONG)} (common practice, no source): lift the plies one by one, "
        "upright, and join them where the girder will stand. Ask the truss designer first. "
        "Then this changes:",
        "Nothing is turned over. Stages that say so are done from the other face, standing up.",
        "Points to clench must be within reach on the far face; if they are not, ask for another "
        "nail before anything is driven.",
        "Bolt holes are drilled in place, with all plies held together by clamps.",
        "Every ply is braced from the moment it stands until the last stage is inspected.",
    ]
