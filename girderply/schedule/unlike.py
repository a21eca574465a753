"""What a reader of the read-back is shown besides: rare for a girder, and no fault of any value."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from girderply.jobfile.job import LoadSpec
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Said, numeral, said

MANY = 50  # girders of one mark
LITTLE = 0.3  # of the hardest check
PARTS = 2.0, 4.0  # times: permanent of the variable part of one load, and the other way
APART = 8.0  # times: the largest of the smallest load
STEP = 0.02  # of a row's distance


def unlike_lines(schedule: Schedule) -> Iterator[Said]:
    """Sentences for the list of what is unusual; common practice, no source."""
    show, girder = Show(schedule.job.info.units), schedule.girder
    for load in schedule.job.loads:
        yield from _row(schedule, load, show)
        yield from _parts(load)
        if load.face != "top":
            yield from _kinds(load)
    yield from _twice(schedule)
    chords = [m.depth for m in girder.members if m.role.is_chord]
    deep = [
        m.id for m in girder.members if not m.role.is_chord and m.depth == max(chords, default=0)
    ]
    if deep:
        yield said("unusual.as_deep", members=", ".join(deep))
    wide = [x.id for x in schedule.job.loads if x.bracket and x.bracket.width > x.bracket.height]
    if wide:
        yield said("unusual.wide", loads=", ".join(wide))
    high = [x.id for x in schedule.job.loads if x.bracket and x.bracket.offset > 0]
    if high:
        yield said("unusual.high", loads=", ".join(high))
    if girder.quantity > MANY:
        yield said("unusual.many", n=girder.quantity)
    hardest = max((c.utilisation for c in schedule.checks), default=1.0)
    if hardest < LITTLE:
        yield said("unusual.hardly_used", percent=round(100 * hardest))
    yield from _apart(schedule)


def _row(schedule: Schedule, load: LoadSpec, show: Show) -> Iterator[Said]:
    mine = [x.station for x in schedule.girder.loads if x.series == load.id]
    if load.every and load.to is not None and mine and load.to - mine[-1] > STEP * load.every:
        last = show.span(mine[-1])
        yield said("unusual.row_to", load=load.id, to=show.span(load.to), last=last)
    elif load.every and mine:
        after = schedule.girder.member(load.chord).length - mine[-1]
        if abs(mine[0] - after) > (1 - STEP) * load.every:
            yield said(
                "unusual.row_ends", load=load.id, before=show.span(mine[0]), after=show.span(after)
            )


def _kinds(load: LoadSpec) -> Iterator[Said]:
    """What hangs has its own weight and carries something; a design value has its factors in it."""
    if load.design is not None:
        yield said("unusual.design", load=load.id)
    elif not load.cases and bool(load.permanent) != bool(load.variable):
        yield said("unusual.only_permanent" if load.permanent else "unusual.only_variable",
                   load=load.id)  # fmt: skip


def _parts(load: LoadSpec) -> Iterator[Said]:
    """Parts of one load that a heavy roof, or a light one under much snow, may have."""
    heavy, light = abs(load.permanent or 0.0), abs(load.variable or 0.0)
    if heavy > PARTS[0] * light > 0.0:
        yield said("unusual.heavy_roof", load=load.id, times=numeral(heavy / light, ".1f"))
    elif light > PARTS[1] * heavy > 0.0:
        yield said("unusual.light_roof", load=load.id, times=numeral(light / heavy, ".1f"))


def _twice(schedule: Schedule) -> Iterator[Said]:
    """Two entries of the same forces at the same place: one of them typed again, or split."""
    entries, girder = schedule.job.loads, schedule.girder
    at = {x.id: {round(h.station) for h in girder.loads if h.series == x.id} for x in entries}
    for a, b in combinations(entries, 2):
        same = (a.chord, a.face) == (b.chord, b.face) and _forces(a) == _forces(b)
        if same and at[a.id] & at[b.id]:
            yield said("unusual.twice", a=a.id, b=b.id)


def _forces(load: LoadSpec) -> tuple[object, ...]:
    return load.permanent, load.variable, load.uplift, load.design, load.cases


def _apart(schedule: Schedule) -> Iterator[Said]:
    """One load that is many times another: a decimal point, or a girder among trusses."""
    values = {x.id: abs((x.permanent or 0.0) + (x.variable or 0.0) + (x.design or 0.0))
              for x in schedule.job.loads}  # fmt: skip
    values = {name: value for name, value in values.items() if value}
    if values and max(values.values()) > APART * min(values.values()):
        large, small = max(values, key=values.__getitem__), min(values, key=values.__getitem__)
        times = round(values[large] / values[small])
        yield said("unusual.loads_apart", large=large, small=small, times=times)
