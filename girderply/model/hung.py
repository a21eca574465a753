"""Hung loads: series expanded, placed on their chord, brackets as footprints."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from girderply.errors import Finding, Severity
from girderply.jobfile.job import LoadSpec, MemberSpec
from girderply.model.frame import as_point, error, nearest
from girderply.model.girder import Array, HungLoad, Member
from girderply.wording import said

MOST = 500  # loads on one girder; more is a slip of the pen
LEAST_EVERY = 1.0  # closer hung loads are a slip of the pen, mm
ASSUMED_WIDTH = 90.0  # mm of a chord, where a bracket has no size; common practice, no source
ON_TIMBER = 0.5  # a bracket with less of its footprint on timber is not fixed to the girder
WHOLE = 0.99  # a bracket with less than this on timber is worth a warning


def load_faults(
    loads: Sequence[LoadSpec], members: Sequence[MemberSpec] | None, plies: int
) -> Iterator[Finding]:
    """What is wrong with the loads before the girder's geometry is known.

    Args:
        loads: as the job gives them.
        members: of the girder, or None while they are not known.
        plies: of the girder.
    """
    seen: set[str] = set()
    for load in loads:
        if load.id in seen:
            yield error("id-twice", f"loads.{load.id}", f"load {load.id!r} is given twice")
        seen.add(load.id)
        yield from _series_faults(load)
        yield from _bracket_faults(load)
        if not 1 <= load.plies_reached <= plies:
            message = f"{load.plies_reached} plies; the girder has {plies}"
            yield error("plies-reached", f"loads.{load.id}.plies_reached", message)
        if members is not None:
            yield from _chord_faults(load, members)
    total = sum(len(stations(load)) for load in loads if not [*_series_faults(load)])
    if total > MOST:
        message = f"{total} loads hang on this girder; at most {MOST} are laid out"
        yield error("too-many-loads", "loads", message, "check `every`, or split the girder")


def _series_faults(load: LoadSpec) -> Iterator[Finding]:
    where = f"loads.{load.id}"
    numbers = [v for v in (load.at, load.to, load.every) if v is not None]
    if not all(map(math.isfinite, numbers)):
        yield error("not-finite", where, "at, to or every is no number")
    elif (load.to is None) != (load.every is None):
        yield error("half-a-series", where, "a series needs both `to` and `every`")
    elif load.to is not None and load.every is not None:
        if load.every < LEAST_EVERY:
            message = f"{load.every:g} mm; at least {LEAST_EVERY:g} mm"
            yield error("zero-length", f"{where}.every", message)
        elif load.to < load.at:
            message = f"{load.to:g} mm is before `at`, {load.at:g} mm"
            yield error("half-a-series", f"{where}.to", message)


def _bracket_faults(load: LoadSpec) -> Iterator[Finding]:
    b = load.bracket
    if b is None:
        return
    where = f"loads.{load.id}.bracket"
    if not all(map(math.isfinite, (b.width, b.height, b.offset))):
        yield error("not-finite", where, "a size of the bracket is no number")
    elif min(b.width, b.height) <= 0:
        message = f"{b.width:g} x {b.height:g} mm; both must be more than zero"
        yield error("zero-length", where, message)


def _chord_faults(load: LoadSpec, members: Sequence[MemberSpec]) -> Iterator[Finding]:
    chords = [m.id for m in members if m.role.is_chord]
    where = f"loads.{load.id}.chord"
    if load.chord in (m.id for m in members):
        if load.chord not in chords:
            message = f"{load.chord} is a web; loads hang on chords"
            yield error("not-a-chord", where, message, "chords: " + ", ".join(chords))
    else:
        tip = nearest(load.chord, chords)
        yield error("unknown-chord", where, f"there is no chord {load.chord!r}", tip)


def stations(load: LoadSpec) -> list[float]:
    """Stations of a load or of its series from the chord's hook end, mm."""
    if load.to is None or not load.every:
        return [load.at]
    count = math.floor((load.to - load.at) / load.every + 1e-6) + 1
    return [load.at + i * load.every for i in range(min(count, MOST + 1))]


def place(load: LoadSpec, chord: Member) -> list[HungLoad]:
    """One load, or each of a series, on its chord; bracket footprints lie along the chord."""
    at = stations(load)
    spots = chord.to_elevation(np.array([[s, 0.0] for s in at]))
    series = load.to is not None
    return [
        HungLoad(
            id=f"{load.id}-{i}" if series else load.id,
            chord=load.chord,
            face=load.face,
            station=round(s, 6),
            x=as_point(spot)[0],
            y=as_point(spot)[1],
            permanent=load.permanent,
            variable=load.variable,
            uplift=load.uplift,
            design=load.design,
            plies_reached=load.plies_reached,
            bracket=load.bracket,
            footprint=_footprint(load, chord, s),
            what=load.what,
            entry=load.id,
            number=i if series else 0,
            cases=load.cases,
        )
        for i, (s, spot) in enumerate(zip(at, spots, strict=True), 1)
    ]


def upward(chord: Member) -> float:
    """1 when positive offsets of a chord point up (hooked at its left end), else -1."""
    return 1.0 if math.cos(chord.angle) >= 0 else -1.0


def _footprint(load: LoadSpec, chord: Member, station: float) -> Array | None:
    b = load.bracket
    if b is None:
        return None
    w, h, up = b.width / 2, b.height / 2, upward(chord) * b.offset
    local = np.array([[-w, up - h], [w, up - h], [w, up + h], [-w, up + h]])
    return np.round(chord.to_elevation(local + np.array([station, 0.0])), 6)


def kept_clear(load: HungLoad, chord: Member) -> Array | None:
    """(4, 2) elevation rectangle that is kept free for a load's bracket, mm; None for none.

    Its footprint; where nobody has given one, `ASSUMED_WIDTH` over the whole depth of the chord, so
    that nothing stands where the bracket will hang. A load spread over all plies has no bracket.
    """
    if load.footprint is not None or load.face not in ("front", "back"):
        return load.footprint
    w, h = ASSUMED_WIDTH / 2, chord.depth / 2
    local = np.array([[-w, -h], [w, -h], [w, h], [-w, h]]) + [load.station, 0.0]
    return chord.to_elevation(local)


def bracket_bolts(load: HungLoad, chord: Member) -> Array:
    """(k, 2) elevation positions of a bracket's own bolts, mm.

    `along` counts away from the chord's hook end, `across` up, both from the bracket's centre.
    """
    b = load.bracket
    if b is None or not b.bolts:
        return np.empty((0, 2))
    up = upward(chord)
    local = [[load.station + bolt.along, up * (b.offset + bolt.across)] for bolt in b.bolts]
    return chord.to_elevation(np.array(local))


def place_faults(load: HungLoad, chord: Member, timber: BaseGeometry) -> Iterator[Finding]:
    """A load off its chord, or a bracket that is not on the girder.

    Args:
        load: as placed.
        chord: the chord it hangs on.
        timber: all outlines of a ply together.
    """
    where = f"loads.{load.id}"
    if not -1e-6 <= load.station <= chord.length + 1e-6:
        yield error(
            "load-off-chord",
            where,
            f"station {load.station:.0f} mm is off {chord.id}, which is {chord.length:.0f} mm long",
        )
    elif load.footprint is not None:
        shape = Polygon(load.footprint)
        share = shapely.intersection(shape, timber).area / shape.area
        if share < ON_TIMBER:
            message = f"only {100 * share:.0f} % of the bracket's footprint lies on timber"
            yield error("bracket-off-girder", where, message)
        elif share < WHOLE:
            told = said("finding.bracket_edge", share=f"{100 * share:.0f}")
            tip = said("finding.nails_beyond")
            yield Finding("bracket-over-edge", Severity.WARNING, where, told, tip=tip)
        for n, spot in enumerate(bracket_bolts(load, chord), 1):
            if not timber.intersects(shapely.Point(spot)):
                yield error("bracket-off-girder", where, f"bolt {n} of the bracket is in the air")
