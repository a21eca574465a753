"""How the plies share: the worst of every ply, and axial forces per member and ply."""

from __future__ import annotations

from collections.abc import Iterator

from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.types import Schedule
from girderply.strength.sharing.member_forces import MemberForces
from girderply.strength.sharing.shares import PlyShare
from girderply.units.show import Show
from girderply.wording import figures, joined, phrase


def shares_blocks(schedule: Schedule) -> Iterator[Block]:
    """The verdict in front, then the worst share of each ply, then the forces."""
    if schedule.shares is None:
        return
    show = Show(schedule.job.info.units)
    yield b.heading(phrase("sharing.title"))
    yield b.words(phrase("sharing.verdict", words=schedule.shares.words()))
    rows = [_share_row(schedule, s, show) for s in schedule.shares.worst]
    heads = tuple(phrase(f"sharing.head_{n}") for n in ("where", "ply", "share", "when"))
    yield b.table(heads, rows, ("auto", "auto", "auto", "1fr"), ("left", "right", "right", "left"))
    yield from _forces(schedule, show)


def _share_row(schedule: Schedule, s: PlyShare, show: Show) -> list[b.Cell]:
    where: str = s.member
    if s.bearing:
        x = show.span(schedule.girder.bearings[s.bearing - 1].x)
        where = phrase("sharing.bearing", bearing=s.bearing, x=x)
    share = figures(f"{s.share:.2f}")
    return [b.strong(where), f"{s.ply}", b.strong(share), s.circumstances()]


def _forces(schedule: Schedule, show: Show) -> Iterator[Block]:
    """Per member the combination with the largest axial force, and that of every ply in it."""
    hardest: dict[str, MemberForces] = {}
    for force in schedule.forces:
        before = hardest.get(force.member)
        if before is None or abs(force.N) > abs(before.N):
            hardest[force.member] = force
    if not hardest:
        return
    rows: list[list[b.Cell]] = []
    for member, worst in hardest.items():
        plies = sorted(
            (f for f in schedule.forces
             if f.member == member and f.combination == worst.combination),
            key=lambda f: f.ply,
        )  # fmt: skip
        each = joined("; ", [show.force(f.N) for f in plies])
        rows.append([b.strong(member), worst.combination, show.force(worst.equal[0]), each])
    heads = tuple(phrase(f"sharing.head_{n}") for n in ("member", "combination", "equal", "plies"))
    yield b.heading(phrase("sharing.forces_title"))
    yield b.table(heads, rows, ("auto", "auto", "auto", "1fr"), ("left", "left", "right", "left"))
    yield b.words(phrase("sharing.forces_how"))
