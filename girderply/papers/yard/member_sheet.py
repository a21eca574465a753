"""Member elevations: every member as strips with all stages, those alike drawn once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from girderply.drawing.scales import scale_words
from girderply.drawing.strip_plan import Block as Strip
from girderply.drawing.strip_plan import StripPlan
from girderply.drawing.strips import shelves, strip_blocks
from girderply.model.girder import Member
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Sheet
from girderply.papers.page.furniture import room
from girderply.papers.page.sheet_words import clauses, hook_words
from girderply.papers.page.twins import twins
from girderply.schedule.types import PatternNote, Schedule
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import kind_words, role_words

MEMBER_SCALE = 10


def members(schedule: Schedule) -> Sheet:
    """Every member as strips, all stages, front face; webs that are alike drawn once."""
    free = room("A3")
    name = phrase("members.title")
    sheet = Sheet("members", name, "A3", scale=scale_words(MEMBER_SCALE))
    plan = StripPlan(MEMBER_SCALE, "front", free.width)
    strips = []
    for group in twins(schedule):
        title = (", ".join(m.id for m in group), _member_words(schedule, group))
        alone = replace(plan, joints=len(group) == 1)
        strips += fitting_blocks(schedule, group[0], alone, title, free.height - 18.0)
    sheet.blocks += [
        b.title(name, phrase("members.under")),
        *(b.picture(d) for d in shelves(strips, "members", free.width)),
    ]
    return sheet


def fitting_blocks(
    schedule: Schedule, member: Member, plan: StripPlan, title: tuple[str, str], most: float
) -> list[Strip]:
    """Strips of a member; where the rows of all stages are too many for a page, in two sets."""
    blocks = strip_blocks(schedule, member, plan, (_of_stages(title[0], plan), title[1]))
    f = schedule.fasteners
    stages = plan.stages or tuple(sorted(set(f.stage[f.member == member.id].tolist())))
    if len(stages) < 2 or max(block.height for block in blocks) <= most:
        return blocks
    middle = (len(stages) + 1) // 2
    found: list[Strip] = []
    for part in (stages[:middle], stages[middle:]):
        found += fitting_blocks(schedule, member, replace(plan, stages=part), title, most)
    return found


def _of_stages(name: str, plan: StripPlan) -> str:
    """A member's name with the stages that its strips show, where these are not all."""
    if plan.stages is None:
        return name
    first, last = plan.stages[0], plan.stages[-1]
    if first == last:
        return phrase("members.in_stage", name=name, first=first)
    return phrase("members.in_stages", name=name, first=first, last=last)


def _member_words(schedule: Schedule, group: Sequence[Member]) -> str:
    """Length, depth, hook end, counts and pattern of members that are alike."""
    member = group[0]
    show = Show(schedule.job.info.units)
    f = schedule.fasteners
    sizes = {"length": show.length(member.length), "depth": show.length(member.depth)}
    parts: list[str] = [
        phrase("members.sizes", role=role_words(member.role), **sizes),
        phrase("members.hook_end", hook=hook_words(schedule, member.id)),
    ]
    for kind in ("nail", "bolt", "screw"):
        n = int(((f.member == group[0].id) & (f.kind == kind)).sum())
        if n:
            parts.append(in_each(f"{n} {kind_words(kind, n)}", group))
    parts += [w for p in schedule.patterns if p.member == member.id for w in rows_words(p, show)]
    return clauses(*parts)


def in_each(counts: str, group: Sequence[Member]) -> str:
    """Counts of members that are alike are those of each."""
    return phrase("members.in_each", counts=counts) if len(group) > 1 else counts


def rows_words(p: PatternNote, show: Show, shared: bool = False) -> Iterator[str]:
    """The pattern of a member in few words: rows, gauge, centres, stick.

    `shared`: only some of its nails are meant, the others stand between them.
    """
    rows = {"rows": f"{p.rows}", "gauge": show.length(p.gauge)}
    centres = show.length(p.centres)
    if shared:
        one = p.rows == 1
        yield phrase("sheet.one_row") if one else phrase("members.rows_apart", **rows)
        yield phrase("members.mark_every")
    elif p.rows == 1:
        yield phrase("members.at_most", centres=centres)
    elif p.slant:
        yield phrase("members.zigzag", centres=centres, **rows)
        yield phrase("members.gauge_stick", slant=show.length(p.slant))
    else:
        yield phrase("members.pitch", pitch=show.length(p.pitch), **rows)
