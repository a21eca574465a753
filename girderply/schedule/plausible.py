"""Loads and supports that can be read but hardly be meant, each with what is likely meant.

The bounds are common practice, no source: wide enough that a usual girder says nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

from girderply.errors import Finding, Severity
from girderply.jobfile.job import BearingSpec, LoadSpec, Role
from girderply.model.girder import Girder
from girderply.schedule.sums import Sums
from girderply.schedule.types import Schedule
from girderply.units.exact import N_PER_LB
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, said

LIGHT, HEAVY = 100.0, 75_000.0  # N: one hung load outside is asked about
USUAL_LOAD = (500.0, 50_000.0)  # N: where the likely value is looked for
NARROW, WIDE = 35.0, 600.0  # mm: width of a bearing
USUAL_BEARING = (60.0, 400.0)  # mm
FREE_END = 0.15  # of the girder's length beyond the last bearing: a cantilever, or a slip
LIFTS = 0.02  # of all loads: a bearing that lifts by less is rounding
USUAL = 2.5  # N/mm2 that softwood bears across the grain (EN 338, C24, value from memory)
HARD, CRUSHED = 5.0, 15.0  # N/mm2
TENS = (10.0, 0.1, 100.0, 0.01)
POUNDS = N_PER_LB / 1000  # a number in pounds that was read as kN

Shown = Callable[[float], Said]
Rows = Mapping[BearingSpec, int]  # bearing -> its number in the job


def plausible_findings(schedule: Schedule, sums: Sums) -> Iterator[Finding]:
    """What a person would ask about, looking at loads and supports alone."""
    show = Show(schedule.job.info.units)
    yield from _no_load(sums, show)
    for load in schedule.job.loads:
        yield from _load(load, show)
        yield from _fixings(load, schedule.girder, show)
    rows = {b: n for n, b in enumerate(schedule.job.girder.bearings, 1)}
    yield from _supports(schedule.girder, rows, show)
    yield from _reactions(schedule.girder, sums, rows, show)


def likely(value: float, factors: Sequence[float], usual: tuple[float, float], show: Shown) -> Said:
    """A tip with the values that a slip of unit or decimal point would make of this one."""
    low, high = usual
    meant = [show(value * f) for f in factors if low <= abs(value * f) <= high]
    if not meant:
        return said("plausible.look")
    return said("plausible.meant", values=joined(said("plausible.or"), meant[:2]))


def _no_load(sums: Sums, show: Show) -> Iterator[Finding]:
    if not sums.count:
        yield _warning("no-loads", "loads", said("plausible.no_loads"))
    elif set(sums.faces) == {"top"}:
        text = said("plausible.all_on_top", force=show.force(sums.total.design))
        yield _warning("all-on-top", "loads", text, said("plausible.name_face"))


def _load(load: LoadSpec, show: Show) -> Iterator[Finding]:
    value = max(
        abs(v)
        for v in (
            (load.permanent or 0.0) + (load.variable or 0.0),
            load.uplift or 0.0,
            load.design or 0.0,
        )
    )
    where = f"loads.{load.id}"
    if value < LIGHT:
        text = said("plausible.light", load=load.id, force=show.force(value))
        tip = likely(value, (1000.0, 10.0, 100.0), USUAL_LOAD, show.force)
        yield _warning("load-small", where, text, tip)
    elif value > HEAVY:
        text = said("plausible.heavy", load=load.id, force=show.force(value))
        tip = likely(value, (0.001, POUNDS, 0.1, 0.01), USUAL_LOAD, show.force)
        yield _warning("load-large", where, text, tip)


def _fixings(load: LoadSpec, girder: Girder, show: Show) -> Iterator[Finding]:
    """Nails of a bracket that cannot reach as many plies as they are said to, or reach more."""
    bracket = load.bracket
    if bracket is not None and bracket.bolts and load.plies_reached < girder.plies:
        text = said("plausible.reach_bolts", n=load.plies_reached, load=load.id, of=girder.plies)
        where = f"loads.{load.id}.plies_reached"
        yield Finding("bolts-not-counted", Severity.NOTE, where, text)
    if bracket is None or bracket.bolts or bracket.nail_length is None or load.face == "top":
        return
    length, thickness = bracket.nail_length, girder.ply_thickness
    touched = min(girder.plies, max(1, math.ceil(length / thickness - 1e-6)))
    if load.plies_reached < touched:
        text = said(
            "plausible.reach_long", n=load.plies_reached, load=load.id,
            length=show.small(length), touched=touched,
        )  # fmt: skip
        where = f"loads.{load.id}.bracket.nail_length"
        yield Finding("reach-not-counted", Severity.NOTE, where, text)
    if length > girder.stack:
        text = said("plausible.nail_through", load=load.id, length=show.small(length))
        yield _warning("bracket-nail-through", f"loads.{load.id}.bracket.nail_length", text)


def _supports(girder: Girder, rows: Rows, show: Show) -> Iterator[Finding]:
    bearings = girder.bearings
    if len(bearings) == 1:
        text = said("plausible.one_bearing", at=show.span(bearings[0].x))
        yield Finding("one-bearing", Severity.ERROR, "girder.bearings", text)
        return
    for b in bearings:
        number = rows.get(b, 0)
        if not NARROW <= b.width <= WIDE:
            text = said("plausible.bearing_width", n=number, width=show.small(b.width))
            tip = likely(b.width, TENS, USUAL_BEARING, show.small)
            yield _warning("bearing-width", f"girder.bearings[{number}].width", text, tip)
    yield from _free_ends(girder, rows, show)


def _free_ends(girder: Girder, rows: Rows, show: Show) -> Iterator[Finding]:
    """Girder beyond its outermost bearings: a cantilever, or a figure lost."""
    ends = [m.outline[:, 0] for m in girder.members if m.role is Role.BOTTOM_CHORD]
    left, right = float(min(e.min() for e in ends)), float(max(e.max() for e in ends))
    most = FREE_END * (right - left)
    low = min(girder.bearings, key=lambda b: b.x)
    high = max(girder.bearings, key=lambda b: b.x)
    for bearing, free, near in (
        (low, low.x - left, (left, left + most)),
        (high, right - high.x, (right - most, right)),
    ):
        if free > most:
            number = rows.get(bearing, 0)
            text = said(
                "plausible.free_end", at=show.span(bearing.x), free=show.span(free)
            )  # fmt: skip
            tip = likely(bearing.x, TENS, near, show.span)
            yield _warning("free-end", f"girder.bearings[{number}].x", text, tip)


def _reactions(girder: Girder, sums: Sums, rows: Rows, show: Show) -> Iterator[Finding]:
    if sums.reactions is None:
        return
    whole = abs(sums.total.unfactored)
    for b, r in zip(girder.bearings, sums.reactions, strict=True):
        where = f"girder.bearings[{rows[b]}]" if b in rows else "girder.bearings"
        at = show.span(b.x)
        if r.unfactored < -LIFTS * whole:
            text = said("plausible.lifts", at=at, force=show.force(-r.unfactored))
            yield _warning("bearing-lifts", where, text, said("plausible.tie_down"))
        pressure = r.design / (b.width * girder.stack)
        if pressure > HARD:
            text = said(
                "plausible.pressure", at=at, stress=show.stress(pressure), usual=show.stress(USUAL)
            )
            crushed = pressure > CRUSHED
            severity = Severity.ERROR if crushed else Severity.WARNING
            tip = said("plausible.look")
            yield Finding("bearing-pressure", severity, where, text, tip=tip)


def _warning(code: str, where: str, text: Words, tip: Words = "") -> Finding:
    return Finding(code, Severity.WARNING, where, text, tip=tip)
