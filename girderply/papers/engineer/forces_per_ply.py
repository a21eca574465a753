"""Forces of every member and ply and reactions of every ply, for the truss designer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeVar

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.types import Schedule
from girderply.strength.load_sets import load_cases
from girderply.strength.sharing.member_forces import MemberForces, Reaction
from girderply.units.show import Kind, Printed
from girderply.wording import Voice, joined

Row = TypeVar("Row", MemberForces, Reaction)
_PARTS: tuple[tuple[str, Kind], ...] = (("N", "force"), ("V", "force"), ("M", "moment"))
_LEAST = 0.5  # N, and N mm: what is less is nothing


def forces_blocks(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """Per member axial force, shear and moment of each ply, then the reactions of each ply.

    Every row is of the combination that asks for most of some ply; webs are pinned and have their
    axial force alone.
    """
    if not schedule.forces:
        return
    show, n = Printed(schedule.job.info.units, voice), schedule.girder.plies
    used: set[str] = set()
    rows = [*_members(voice, schedule, show, used)]
    under = [*_reactions(voice, schedule, show, used)]
    heads = (
        *(
            voice.phrase(f"sharing.head_{name}")
            for name in ("member", "what", "combination", "equal")
        ),
        *(voice.phrase("sharing.head_ply_n", ply=ply) for ply in range(1, n + 1)),
    )
    widths = ("auto",) * 3 + ("1fr",) * (n + 1)
    wide = ("2.6fr", "1.3fr", "1.6fr", "1.1fr", *("0.9fr",) * n)
    align = ("left", "left", "left", *("right",) * (n + 1))
    yield b.heading(voice.phrase("sharing.forces_title"))
    yield b.table(heads, rows, widths, align)
    yield b.heading(voice.phrase("sharing.reactions_title"))
    yield b.table((voice.phrase("sharing.head_bearing"), *heads[1:]), under, wide, align)
    texts = {case.id: case.text for case in load_cases(schedule.job.basis, schedule.girder)}
    lines = [f"{name}: {voice.told(texts[name])}" for name in sorted(used) if name in texts]
    yield b.words(voice.phrase("sharing.forces_how", combinations=joined("; ", lines)))


def _members(
    voice: Voice, schedule: Schedule, show: Printed, used: set[str]
) -> Iterator[list[b.Cell]]:
    chords = {m.id for m in schedule.girder.members if m.role.is_chord}
    for member in dict.fromkeys(f.member for f in schedule.forces):
        mine = [f for f in schedule.forces if f.member == member]
        for at, (part, kind) in enumerate(_PARTS if member in chords else _PARTS[:1]):
            sizes = [abs(getattr(f, part)) for f in mine]
            if max(sizes) < _LEAST:
                continue
            plies = _plies_of(mine, mine[sizes.index(max(sizes))].combination)
            used.add(plies[0].combination)
            what = voice.phrase(f"sharing.part_{part}", unit=show.unit(kind))
            each = [show.value(getattr(f, part), kind) for f in plies]
            equal = show.value(plies[0].equal[at], kind)
            yield [b.strong(member if not at else ""), what, plies[0].combination, equal, *each]


def _reactions(
    voice: Voice, schedule: Schedule, show: Printed, used: set[str]
) -> Iterator[list[b.Cell]]:
    for bearing in dict.fromkeys(r.bearing for r in schedule.reactions):
        mine = [r for r in schedule.reactions if r.bearing == bearing]
        x = show.span(mine[0].x)
        name: b.Cell = b.strong(voice.phrase("sharing.bearing", bearing=bearing, x=x))
        for part, worst in (
            ("most", max(r.most for r in mine)),
            ("least", min(r.least for r in mine)),
        ):
            if part == "least" and worst > -_LEAST:
                continue  # no ply lifts off
            hardest = next(r for r in mine if getattr(r, part) == worst)
            plies = _plies_of(mine, hardest.combination)
            used.add(plies[0].combination)
            what = voice.phrase(f"sharing.reaction_{part}", unit=show.unit("force"))
            each = [show.value(getattr(r, part), "force") for r in plies]
            yield [name, what, plies[0].combination, show.value(plies[0].equal, "force"), *each]
            name = ""


def _plies_of(rows: Sequence[Row], combination: str) -> list[Row]:
    """The rows of one combination, from the front ply on."""
    return sorted((r for r in rows if r.combination == combination), key=lambda r: r.ply)
