"""What a reader of the read-back is shown of the girder as a whole: rare, and no fault of a value.

The bounds are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from girderply import catalogue
from girderply.model.girder import Girder
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Said, said

SOLD = frozenset({"C16", "C18", "C24", "C30"})  # of EN 338, what trusses are made of
TALL = 4000.0  # mm: higher does not stand on a lorry
INSET = 40.0  # mm between how far two bearings stand from their ends
HEAD, THREAD = 1.6, 6.0  # times the diameter of a screw
DENSER = 1.2  # times the density of the timber


def rare_lines(schedule: Schedule) -> Iterator[Said]:
    """Sentences for the list of what is unusual."""
    show, girder = Show(schedule.job.info.units), schedule.girder
    names = sorted({m.timber or girder.timber for m in girder.members})
    for name in names:
        if name[:1] in "CD" and name[1:].isdigit() and name not in SOLD:
            yield said("unusual.timber", timber=name)
    if girder.height > TALL:
        yield said("unusual.tall", height=show.span(girder.height))
    hung = [x for x in girder.loads if x.face != "top"]
    if len(hung) == 1:
        yield said("unusual.one_load", load=hung[0].id)
    yield from _insets(girder, show)
    yield from _screws(schedule)


def _insets(girder: Girder, show: Show) -> Iterator[Said]:
    """Two bearings of one width, one of them farther from its end of the girder."""
    if len(girder.bearings) != 2:
        return
    ends = [x for m in girder.members if m.role == "bottom chord" for x in m.outline[:, 0]]
    low, high = sorted(girder.bearings, key=lambda b: b.x)
    first, last = low.x - float(min(ends)), float(max(ends)) - high.x
    if abs(low.width - high.width) < 1.0 and abs(first - last) > INSET:
        yield said("unusual.insets", first=show.span(first), last=show.span(last))


def _screws(schedule: Schedule) -> Iterator[Said]:
    """Declared screws with a small head, a short thread, or values for denser timber."""
    grown = [catalogue.timber(m.timber or schedule.girder.timber) for m in schedule.girder.members]
    rho = min((t.rho_k for t in grown if t.rho_k), default=None)
    for screw in schedule.job.fastening.screws:
        if screw.head < HEAD * screw.d:
            yield said("unusual.screw_head", screw=screw.key)
        if screw.thread < THREAD * screw.d:
            yield said("unusual.screw_thread", screw=screw.key)
        if rho is not None and screw.rho_a > DENSER * rho:
            values = {"density": round(screw.rho_a), "timber": round(rho)}
            yield said("unusual.screw_density", screw=screw.key, **values)
