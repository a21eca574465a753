"""Lifts and turns in plain words, the same on the stage sheets and on the handling sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from girderply.schedule.balance import LONG, Balance, balance
from girderply.schedule.handling import (
    MECHANICAL,
    Move,
    StageHandling,
    handling,
    lone_lifter,
    one_person,
    team_limit,
    team_shares,
)
from girderply.schedule.types import Schedule, Stage
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import face_words


def stage_handling(schedule: Schedule, stage: Stage) -> StageHandling:
    """The moves of one stage."""
    return next(h for h in handling(schedule) if h.stage == stage.number)


def move_words(voice: Voice, move: Move) -> str:
    """What is moved: lay ply 4, turn plies 1 to 6 over, lift the girder off."""
    if move.kind in ("lay", "stand"):
        return voice.phrase(
            f"handling.{move.kind}", plies=plies_words(voice, move.plies, each=True)
        )
    if move.kind == "turn":
        return voice.phrase("handling.turn", plies=plies_words(voice, move.plies))
    return voice.phrase("handling.lift_off")


def plies_words(voice: Voice, plies: Sequence[int], each: bool = False) -> str:
    """Ply 3; plies 1 to 6; plies 5 and 6 one by one."""
    if len(plies) == 1:
        return voice.phrase("handling.ply", ply=plies[0])
    first, last = min(plies), max(plies)
    two = last - first == 1
    said = voice.phrase(
        "handling.plies_and" if two else "handling.plies_to", first=first, last=last
    )
    return voice.phrase("handling.one_by_one", plies=said) if each else said


def people_words(voice: Voice, move: Move, show: Printed) -> str:
    """Who moves it: by the guidance for teams, in a job of pounds by the weight alone."""
    if show.imperial and move.people != MECHANICAL:
        return voice.phrase("handling.people_by_weight")
    return voice.phrase(f"handling.people_{move.people}")


def moves_line(voice: Voice, schedule: Schedule, stage: Stage, show: Printed) -> str:
    """Lifts and turns of a stage with mass and who does it, and what lies there when it is done."""
    part = stage_handling(schedule, stage)
    before = [m for m in part.moves if m.kind != "lift off"]
    said: list[str] = [_move_line(voice, m, show) for m in before]
    if any(m.kind == "turn" for m in before) and balance(schedule.girder).long:
        said.append(voice.phrase("handling.long_turn"))
    if not stage.upright:  # nobody moves what stands
        said.append(
            voice.phrase("handling.on_trestles", n=len(stage.plies), mass=show.mass(part.mass))
        )
    said += [
        voice.phrase(
            "handling.lift_after", move=move_words(voice, m), people=people_words(voice, m, show)
        )
        for m in part.moves
        if m.kind == "lift off"
    ]
    return " ".join(said)


def _move_line(voice: Voice, move: Move, show: Printed) -> str:
    people = people_words(voice, move, show)
    return voice.phrase(
        "handling.move", move=move_words(voice, move), mass=show.mass(move.mass), people=people
    )


def team_words(voice: Voice, show: Printed) -> str:
    """What teams may lift, from the guidance, and when it is less; in pounds what one may.

    The guidance for teams is British; the one for a job of pounds knows single persons only.
    """
    if show.imperial:
        return voice.phrase("handling.by_weight", each=show.mass(lone_lifter()))
    teams = ", ".join(
        voice.phrase(f"handling.team_{n}", mass=show.mass(team_limit(n, one_person())))
        for n in team_shares()
    )
    return voice.phrase("handling.teams", each=show.mass(one_person()), teams=teams)


def long_words(voice: Voice, show: Printed) -> list[str]:
    """For girders that are too long to be turned: what to do instead, and what then changes."""
    return [
        voice.phrase("handling.long_head", span=show.span(LONG)),
        voice.phrase("handling.long_stages"),
        voice.phrase("handling.long_points"),
        voice.phrase("handling.long_holes"),
        voice.phrase("handling.long_brace"),
    ]


def standing_words(voice: Voice, schedule: Schedule) -> list[str]:
    """What plies that stand while they are fastened ask for, and what these sheets do not give."""
    faces = schedule.job.assembly.faces
    order = (
        voice.phrase("handling.upright_order")
        if faces == "both"
        else voice.phrase("handling.upright_one_face", face=face_words(faces))
    )
    return [voice.phrase("handling.upright_brace"), order, voice.phrase("handling.upright_access")]


def lift_notes(voice: Voice, schedule: Schedule) -> tuple[str, ...]:
    """What the slings are of, and whose the lifting plan is."""
    upright = schedule.job.assembly.upright
    return (
        *((voice.phrase("handling.each_ply"),) if upright else ()),
        voice.phrase("handling.only_words_standing" if upright else "handling.only_words"),
        voice.phrase("handling.masses"),
    )


def slings(voice: Voice, found: Balance, show: Printed) -> Iterator[tuple[str, str]]:
    """Where each sling goes and what it carries."""
    for s in found.slings or ():
        place = voice.phrase(
            "handling.sling_place",
            x=show.span(s.x),
            chord=s.chord,
            station=show.span(s.station),
            share=show.percent(s.share),
        )
        yield voice.phrase("handling.sling_at", joint=s.joint), place
