"""Sizes and rows that can be read but look like a slip of the pen, with the value likely meant.

The bounds are common practice, no source: wide enough that a usual girder says nothing. A slip is
a decimal point moved by one or two places, or two neighbouring figures exchanged.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job, LoadSpec, Role
from girderply.model.girder import Girder, HungLoad, Member
from girderply.schedule.plausible import TENS
from girderply.units.exact import MM_PER_IN
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, said
from girderply.wording.words import role_words

DEPTHS = (
    *(38, 45, 50, 60, 63, 70, 72, 75, 80, 90, 95, 97, 100, 110, 112, 115, 120, 122, 125, 140, 145),
    *(147, 150, 160, 170, 172, 175, 180, 195, 197, 200, 220, 222, 225, 235, 240, 245, 247, 250),
    *(260, 270, 280, 295, 297, 300, 315, 320, 340, 350, 360, 380, 400, 420, 440, 450, 460, 480),
)  # mm: sawn, laminated and veneer timber as it is sold
DEPTHS_IN = (1.5, 2.5, 3.5, 4.5, 5.5, 7.25, 9.25, 9.5, 11.25, 11.875, 14.0, 16.0, 18.0)  # in
PLAY = 0.6  # mm between a depth and the one that it is sold as
UNLIKE_CHORDS = 1.8  # of the shallower chord: the deeper one is asked about
HEAVY_PARTS = 4.0, 6.0  # times: permanent of the variable part of one load, and the other way
BRACKET = (30.0, 320.0), (50.0, 500.0)  # mm: width and height of a bracket
USUAL_BRACKET = 38.0, 300.0  # mm
FLUSH = 25.0  # mm between the end of a chord and the edge of a bearing
STEPS = (250.0, 2500.0)  # mm between trusses of a row
USUAL_STEPS = (300.0, 1300.0)  # mm
ON_ROW = 0.02  # steps
FEW = 2  # members that are named one by one
SHORT, FULL = 2.5, 1.5  # steps from a row's end to its chord's: asked about, and usual

Usual = Callable[[float], bool]


def slip_findings(job: Job, girder: Girder) -> Iterator[Finding]:
    """What a person would ask about who has seen many girders.

    Args:
        job: loads as they are written, unit system.
        girder: members, loads.
    """
    show = Show(job.info.units)
    yield from _depths(job, girder, show)
    yield from _bearings(girder, show)
    for load in job.loads:
        yield from _parts(load, show)
        yield from _bracket(load, show)
        mine = [x for x in girder.loads if x.series == load.id]
        if load.every is not None and mine:
            yield from _row(Row(load, mine, girder.member(load.chord).length), show)


def likely_meant(value: float, usual: Usual, unit: float = 1.0) -> list[float]:
    """Values that a slip of the pen would have made this one from, and that are usual.

    Args:
        value: as it was read.
        usual: whether one would be.
        unit: that the figures were written in.
    """
    figures = f"{value / unit:.10g}"
    swapped = []
    digits = [i for i, figure in enumerate(figures) if figure.isdigit()]
    for i, k in pairwise(digits):  # across a decimal point too: 22.5 and 25.2
        row = list(figures)
        row[i], row[k] = row[k], row[i]
        if row[i] != row[k]:
            swapped.append(float("".join(row)) * unit)
    return [v for v in (*swapped, *(value * f for f in TENS)) if usual(v)]


def slip_tip(values: Sequence[float], show: Callable[[float], Said]) -> Said:
    """The values that were likely meant, or where to look."""
    if not values:
        return said("plausible.look")
    names = list(dict.fromkeys(map(show, values)))[:2]
    return said("plausible.meant", values=joined(said("plausible.or"), names))


# --- depths -----------------------------------------------------------------------------------


def _sold(show: Show) -> Usual:
    sold = [v * MM_PER_IN for v in DEPTHS_IN] if show.imperial else DEPTHS
    return lambda v: any(abs(v - depth) <= PLAY for depth in sold)


def _depth_at(job: Job, member: Member) -> str:
    """Where in the file a member's depth stands."""
    spec = job.girder
    numbers = {m.id: n for n, m in enumerate(spec.members, 1)}
    if member.id in numbers:
        return f"girder.members[{numbers[member.id]}].depth"
    own = member.id in spec.own_depths
    return f"girder.sections.{f'members.{member.id}' if own else member.role.replace(' ', '_')}"


def _depths(job: Job, girder: Girder, show: Show) -> Iterator[Finding]:
    """Depths that nobody sells, webs deeper than every chord, chords that do not go together."""
    sold, unit = _sold(show), MM_PER_IN if show.imperial else 1.0
    for depth, ids in _alike(girder).items():
        if not sold(depth):
            text = said("slips.depth", members=ids, depth=show.small(depth))
            tip = slip_tip(likely_meant(depth, sold, unit), show.small)
            first = next(m for m in girder.members if m.depth == depth)
            yield _warning("depth-unusual", _depth_at(job, first), text, tip)
    chords = {m.depth for m in girder.members if m.role.is_chord}
    most, least = max(chords, default=0.0), min(chords, default=0.0)
    for m in girder.members:
        if not m.role.is_chord and chords and m.depth > most:
            text = said("slips.deep_web", member=m.id, depth=show.small(m.depth),
                          chord=show.small(most))  # fmt: skip
            meant = likely_meant(m.depth, lambda v: sold(v) and v <= most, unit)
            yield _warning("web-deep", _depth_at(job, m), text, slip_tip(meant, show.small))
    if chords and most > UNLIKE_CHORDS * least:
        shallow = [m for m in girder.members if m.role.is_chord and m.depth == least]
        ids = ", ".join(m.id for m in shallow)
        text = said("slips.chords", members=ids, depth=show.small(least),
                      other=show.small(most))  # fmt: skip
        yield _warning("chords-unlike", _depth_at(job, shallow[0]), text, said("plausible.look"))


def _alike(girder: Girder) -> dict[float, Words]:
    """Depth -> what has it: members by name, of more than two their kind."""
    found: dict[float, list[str]] = {}
    roles: dict[float, set[Role]] = {}
    for m in girder.members:
        found.setdefault(m.depth, []).append(m.id)
        roles.setdefault(m.depth, set()).add(m.role)
    few = {depth: ", ".join(ids) for depth, ids in found.items() if len(ids) <= FEW}
    return few | {
        depth: joined(", ", [role_words(role) for role in sorted(roles[depth])])
        for depth in found
        if depth not in few
    }


# --- bearings ---------------------------------------------------------------------------------


def _bearings(girder: Girder, show: Show) -> Iterator[Finding]:
    """A bearing that is partly beyond the chords, or that a moved point would put at their end."""
    xs = [x for m in girder.members if m.role is Role.BOTTOM_CHORD for x in m.outline[:, 0]]
    left, right = float(min(xs)), float(max(xs))
    for b in girder.bearings:
        half = b.width / 2

        def flush(x: float, half: float = half) -> bool:
            return abs(min(x - left, right - x) - half) <= FLUSH

        values = {"at": show.span(b.x), "width": show.small(b.width)}
        meant = [v for v in likely_meant(b.x, flush) if left < v < right]
        beyond = half - min(b.x - left, right - b.x)
        if beyond > FLUSH:
            text = said("slips.bearing_beyond", beyond=show.span(beyond), **values)
            yield _warning("bearing-beyond", "girder.bearings", text, slip_tip(meant, show.span))
        elif meant and not flush(b.x):
            text = said("slips.bearing_inside", **values)
            yield _warning("bearing-inside", "girder.bearings", text, slip_tip(meant, show.span))
        over = [x.id for x in girder.loads if x.face != "top" and abs(x.x - b.x) < half]
        if over:
            text = said("slips.over_bearing", loads=", ".join(over[:FEW]), at=show.span(b.x))
            yield Finding("load-over-bearing", Severity.NOTE, f"loads.{over[0]}", text)


# --- loads ------------------------------------------------------------------------------------


def _parts(load: LoadSpec, show: Show) -> Iterator[Finding]:
    """Permanent and variable parts of one load that differ as no roof's do."""
    permanent, variable = abs(load.permanent or 0.0), abs(load.variable or 0.0)
    low, high = sorted((permanent, variable))
    most = HEAVY_PARTS[permanent < variable]
    if low <= 0.0 or high <= most * low:
        return
    text = said(
        "slips.parts", load=load.id, permanent=show.force(load.permanent or 0.0),
        variable=show.force(load.variable or 0.0),
    )  # fmt: skip
    meant = [
        *likely_meant(high, lambda v: low / 3 <= v <= 3 * low),
        *likely_meant(low, lambda v: high / 3 <= v <= 3 * high),
    ]
    tip = slip_tip(meant, show.force)
    yield _warning("parts-unlike", f"loads.{load.id}", text, tip)


def _bracket(load: LoadSpec, show: Show) -> Iterator[Finding]:
    """A bracket of a size that nobody makes."""
    if load.bracket is None:
        return
    for key, (low, high) in zip(("width", "height"), BRACKET, strict=True):
        size = getattr(load.bracket, key)
        if not low <= size <= high:
            text = said(f"slips.bracket_{key}", load=load.id, size=show.small(size))
            meant = likely_meant(size, lambda v: USUAL_BRACKET[0] <= v <= USUAL_BRACKET[1])
            where = f"loads.{load.id}.bracket.{key}"
            yield _warning("bracket-size", where, text, slip_tip(meant, show.small))


@dataclass(frozen=True, slots=True)
class Row:
    """A row of loads as it is written, its loads, and the length of its chord, mm."""

    load: LoadSpec
    loads: Sequence[HungLoad]
    length: float


def _row(row: Row, show: Show) -> Iterator[Finding]:
    """A row with steps that no roof has, or one that leaves a part of its chord without loads."""
    load, every = row.load, row.load.every or 0.0
    if not STEPS[0] <= every <= STEPS[1]:
        text = said("slips.step", load=load.id, every=show.span(every))
        tip = slip_tip(
            likely_meant(every, lambda v: USUAL_STEPS[0] <= v <= USUAL_STEPS[1]), show.span
        )
        yield _warning("row-step", f"loads.{load.id}.every", text, tip)
        return
    after = row.length - row.loads[-1].station
    if row.loads[0].station > SHORT * every:
        text = said("slips.row_late", load=load.id, first=show.span(row.loads[0].station))
        meant = likely_meant(load.at, lambda v: v <= FULL * every and _on_row(row, v))
        yield _short(f"loads.{load.id}.at", text, meant, show)
    if after > SHORT * every:
        text = said(
            "slips.row_early", load=load.id, last=show.span(row.loads[-1].station),
            chord=load.chord, length=show.span(row.length),
        )  # fmt: skip
        meant = likely_meant(
            load.to or 0.0, lambda v: 0.0 <= row.length - v <= FULL * every and _on_row(row, v)
        )
        yield _short(f"loads.{load.id}.to", text, meant, show)


def _on_row(row: Row, at: float) -> bool:
    """Whether a station is one of the row's, were it longer."""
    steps = (at - row.loads[0].station) / (row.load.every or 1.0)
    return abs(steps - round(steps)) < ON_ROW


def _short(where: str, text: Words, meant: Sequence[float], show: Show) -> Finding:
    """A row may well be short: it is a warning where a slip explains it, else a note."""
    severity = Severity.WARNING if meant else Severity.NOTE
    return Finding("row-short", severity, where, text, tip=slip_tip(meant, show.span))


def _warning(code: str, where: str, text: Words, tip: Words) -> Finding:
    return Finding(code, Severity.WARNING, where, text, tip=tip)
