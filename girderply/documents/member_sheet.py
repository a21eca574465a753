"""Member elevations: every member as strips with all stages, those alike drawn once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from girderply.documents import blocks as b
from girderply.documents.blocks import Sheet
from girderply.documents.furniture import room
from girderply.documents.twins import twins
from girderply.documents.wording import hook_words, kind_words
from girderply.drawing.scales import scale_words
from girderply.drawing.strip_plan import Block as Strip
from girderply.drawing.strip_plan import StripPlan
from girderply.drawing.strips import shelves, strip_blocks
from girderply.model.girder import Member
from girderply.schedule.types import PatternNote, Schedule
from girderply.units.show import Show

MEMBER_SCALE = 10


def members(schedule: Schedule) -> Sheet:
    """Every member as strips, all stages, front face; webs that are alike drawn once."""
    free = room("A3")
    sheet = Sheet("members", "Member elevations", "A3", scale=scale_words(MEMBER_SCALE))
    plan = StripPlan(MEMBER_SCALE, "front", free.width)
    strips = []
    for group in twins(schedule):
        title = (", ".join(m.id for m in group), _member_words(schedule, group))
        alone = replace(plan, joints=len(group) == 1)
        strips += fitting_blocks(schedule, group[0], alone, title, free.height - 18.0)
    sheet.blocks += [
        b.title("Member elevations", "front face; stations from the hook end; st. = stage"),
        *(b.picture(d) for d in shelves(strips, "members", free.width)),
    ]
    return sheet


def fitting_blocks(
    schedule: Schedule, member: Member, plan: StripPlan, title: tuple[str, str], most: float
) -> list[Strip]:
    """Strips of a member; where the rows of all stages are too many for a page, in two sets."""
    blocks = strip_blocks(schedule, member, plan, title)
    f = schedule.fasteners
    stages = plan.stages or tuple(sorted(set(f.stage[f.member == member.id].tolist())))
    if len(stages) < 2 or max(block.height for block in blocks) <= most:
        return blocks
    middle = (len(stages) + 1) // 2
    found: list[Strip] = []
    for part in (stages[:middle], stages[middle:]):
        name = title[0].partition(", stage")[0]
        span = f"stage {part[0]}" if len(part) == 1 else f"stages {part[0]} to {part[-1]}"
        found += fitting_blocks(
            schedule, member, replace(plan, stages=part), (f"{name}, {span}", title[1]), most
        )
    return found


def _member_words(schedule: Schedule, group: Sequence[Member]) -> str:
    """Length, depth, hook end, counts and pattern of members that are alike."""
    member = group[0]
    show = Show(schedule.job.info.units)
    f = schedule.fasteners
    parts = [
        f"{member.role}, {show.length(member.length)} long, {show.length(member.depth)} deep",
        f"hook end {hook_words(schedule, member.id)}",
    ]
    for kind in ("nail", "bolt", "screw"):
        n = int(((f.member == group[0].id) & (f.kind == kind)).sum())
        if n:
            parts.append(f"{n} {kind_words(kind, n)}{' in each' if len(group) > 1 else ''}")
    parts += [w for p in schedule.patterns if p.member == member.id for w in rows_words(p, show)]
    return "; ".join(parts)


def rows_words(p: PatternNote, show: Show, shared: bool = False) -> Iterator[str]:
    """The pattern of a member in few words: rows, gauge, centres, stick.

    `shared`: only some of its nails are meant, the others stand between them.
    """
    if shared:
        yield "one row" if p.rows == 1 else f"{p.rows} rows {show.length(p.gauge)} apart"
        yield "mark every station: the nails between come from the other face"
    elif p.rows == 1:
        yield f"one row, at most {show.length(p.centres)} apart"
    elif p.slant:
        yield f"{p.rows} rows {show.length(p.gauge)} apart, zigzag centres {show.length(p.centres)}"
        yield f"gauge stick {show.length(p.slant)}"
    else:
        yield f"{p.rows} rows {show.length(p.gauge)} apart, pitch {show.length(p.pitch)}"
