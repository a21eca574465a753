"""A stick: every station of one member as ticks on a strip at 1:1, whole or in pieces.

The heavy line is the edge that is laid along the member, station 0 at its hook end. Each tick
says its station, its row and its stage; bolts are stressed and named.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style
from girderply.drawing.dimension import Figure, spread_figures
from girderply.drawing.lettering import text_width
from girderply.drawing.page import Drawing
from girderply.drawing.primitives import Line, Polygon, Text
from girderply.model.girder import Member
from girderply.schedule.types import Fasteners, Schedule
from girderply.units.show import Printed
from girderply.wording import Voice, figures

UNDER = 6.0  # under the edge of a strip, for its figures, mm
LAP = 7.0  # what a strip shows beyond each of its joins, mm
_TICK = 7.0
_LEAST = 60.0  # a last strip is no shorter where it can be helped, mm
_PITCH = style.SMALL * 1.36 + 0.3  # from label to label, as `spread_figures` sets them


@dataclass(frozen=True, slots=True)
class Mark:
    """One station of the stick: what is there, in words, and whether any of it is a bolt."""

    station: float
    text: str
    bolt: bool
    ids: tuple[str, ...]


def marks(voice: Voice, schedule: Schedule, member: Member) -> list[Mark]:
    """Every station of a member, those nearer than half a millimetre together, rising."""
    show = Printed(schedule.job.info.units, voice)
    f = schedule.fasteners
    mine = f.select(f.member == member.id)
    groups: dict[float, list[int]] = {}
    for i in sorted(range(len(mine)), key=lambda i: (float(mine.station[i]), str(mine.id[i]))):
        groups.setdefault(round(float(mine.station[i]) * 2) / 2, []).append(i)
    return [_mark(voice, mine, group, show) for group in groups.values()]


def _mark(voice: Voice, mine: Fasteners, group: Sequence[int], show: Printed) -> Mark:
    station = float(mine.station[group[0]])
    bolts = [str(mine.id[i]).rpartition("-")[2] for i in group if mine.kind[i] == FastenerKind.BOLT]
    nails: dict[int, list[str]] = {}
    for i in group:
        if mine.kind[i] != FastenerKind.BOLT:
            nails.setdefault(int(mine.row[i]), []).append(f"{mine.stage[i]}")
    said = [
        *bolts,
        *(
            voice.phrase("stick.nail_mark", row=row, stages="+".join(sorted(set(s))))
            for row, s in sorted(nails.items())
        ),
    ]
    ids = tuple(str(mine.id[i]) for i in group)
    return Mark(station, f"{show.station(station)}  {' '.join(said)}", bool(bolts), ids)


def strip(
    voice: Voice,
    schedule: Schedule,
    member: Member,
    found: Sequence[Mark],
    span: tuple[float, float],
) -> Drawing:
    """A piece of the stick between two stations, mm, with a lap at each join, at 1:1."""
    (start, end), edge = span, edge_of(found)
    name = f"stick-{member.id}-{start:g}"
    drawing = Drawing(name, end - start + 2 * LAP, edge + UNDER, scale=1)
    ends = {"start": figures(f"{start:g}"), "end": figures(f"{end:g}")}
    drawing.title = voice.phrase("stick.drawing", member=member.id, **ends)
    low, high = max(0.0, start - LAP), min(member.length, end + LAP)
    drawing.add(Line((low - start + LAP, edge), (high - start + LAP, edge), style.HEAVY, "stick"))
    near = [m for m in found if start - LAP <= m.station <= end + LAP]
    for m in near:
        x = m.station - start + LAP
        pen = style.BOLT if m.bolt else style.MEDIUM
        drawing.add(Line((x, edge), (x, edge - _TICK), pen, tag=f"tick:{','.join(m.ids)}"))
    last = end >= member.length
    own = [m for m in near if start <= m.station and (m.station < end or last)]
    _labels(drawing, own, start)
    _ends(voice, drawing, schedule, member, span)
    return drawing


def _labels(drawing: Drawing, own: Sequence[Mark], start: float) -> None:
    level = drawing.height - UNDER - _TICK
    figures = [Figure(m.station - start + LAP, level, m.text, m.bolt) for m in own]
    across = (_PITCH / 2, drawing.width - _PITCH / 2)
    if figures:
        drawing.add(*spread_figures(figures, level, -1, across)[0])


def _ends(
    voice: Voice, drawing: Drawing, schedule: Schedule, member: Member, span: tuple[float, float]
) -> None:
    """Hook end, far end and the marks where strips join."""
    start, end = span
    left, right, edge = LAP, LAP + end - start, drawing.height - UNDER
    y = edge + 3.4
    if start <= 0.0:
        drawing.add(
            Line((left, edge - 10.0), (left, edge + 1.0), style.HEAVY, tag="hook"),
            Polygon(((left - 1, edge - 6), (left - 5, edge - 4.5), (left - 5, edge - 7.5)),
                    None, 0.0, tag="hook"),
        )  # fmt: skip
    else:
        _join(drawing, left, edge)
    if end >= member.length:
        drawing.add(Line((right, edge - 10.0), (right, edge + 1.0), style.HEAVY, tag="far"))
    else:
        _join(drawing, right, edge)
    show = Printed(schedule.job.info.units, voice)
    near = voice.phrase("stick.hook_end") if start <= 0.0 else show.station(start)
    far = show.station(end)
    if end >= member.length:
        far = voice.phrase("stick.far_end", station=far)
    drawing.add(Text((left + 2.2, y), near, style.SMALL, "start", tag="join-name"))
    name = Text((right - 2.2, y), far, style.SMALL, "end", tag="join-name")
    if not drawing.label([name], drawing.obstacles()):
        drawing.height += 4.4
        drawing.add(replace(name, at=(drawing.width - 0.5, y + 4.2)))


def _join(drawing: Drawing, x: float, edge: float) -> None:
    """Where the next strip is laid on: a dashed line with a hollow triangle on the edge."""
    drawing.add(
        Line((x, edge - _TICK - 2.0), (x, edge + 1.0), style.HIDDEN, tag="join"),
        Polygon(((x, edge), (x - 1.4, edge + 2.0), (x + 1.4, edge + 2.0)), style.THIN, 1.0,
                tag="join"),
    )  # fmt: skip


def cuts(length: float, most: float, found: Sequence[Mark]) -> Iterator[tuple[float, float]]:
    """Stations where the stick is cut: as far as the paper goes and the labels fit, mm."""
    start = 0.0
    while length - start > 1e-9:
        end = min(length, start + most)
        if 0.0 < length - end < _LEAST:
            end = max(length - _LEAST, start + most / 2)
        inside = [m.station for m in found if start <= m.station < end]
        count = len(inside)
        while count > 1 and count > (end - start + 2 * LAP) / _PITCH - 1.0:
            count -= 1
            end = (inside[count - 1] + inside[count]) / 2
        yield start, end
        start = end


def edge_of(found: Sequence[Mark]) -> float:
    """Where the edge lies under the top of a strip, so that the longest label fits, mm."""
    longest = max((text_width(m.text, style.SMALL, m.bolt) for m in found), default=0.0)
    return _TICK + max(8.0, longest + 4.4)
